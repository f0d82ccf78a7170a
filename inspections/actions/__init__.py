"""The only ways in which what was found changes: one function, one transaction, one act."""
