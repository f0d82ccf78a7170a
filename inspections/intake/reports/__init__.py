"""Bringing in what an inspection company sends: one line an item, matched surely or left out."""
