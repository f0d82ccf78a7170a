"""Polish."""
