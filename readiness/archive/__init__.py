"""The whole register as one archive: what is in it, taking it out, bringing it into an empty one."""
