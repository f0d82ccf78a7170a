"""The lists of equipment, of what falls due and of what was found, as files."""
