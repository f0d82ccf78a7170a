"""The only ways in which the register changes: one function, one transaction, one act."""
