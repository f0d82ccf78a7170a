"""Papers: their content as a plain value, the house style, and how one is issued and checked."""
