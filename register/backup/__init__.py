"""Back-ups: a consistent copy while the register is in use, and its proof after it is put back."""
