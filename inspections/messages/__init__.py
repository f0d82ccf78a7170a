"""What the morning's letter says of equipment: to the stores, to who holds it, to who inspects it."""
