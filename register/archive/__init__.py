"""The whole register as one file of documented tables, out and in again: any model, read from its own fields."""
