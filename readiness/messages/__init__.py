"""The morning's and the week's letters, and what they say of cover."""
