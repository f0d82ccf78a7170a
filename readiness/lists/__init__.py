"""The lists of who is where, what they are trained for, what is covered and what hangs on what."""
