"""One form of a maker's serial for comparing; what is shown is always the serial as marked."""

import unicodedata

# Typists leave these out or put them in as they please; the marks left over tell items apart.
# O and 0, I and 1 stay different: two items must never become one by a kind reading.
_DASHES = "-‐‑‒–—―−"
_LEFT_OUT = str.maketrans("", "", _DASHES + "/\\⁄∕")


def serial_key(serial: str) -> str:
    """Capitals without blanks, dashes and slashes: '04-12/ab 7' and '0412AB7' are one serial."""
    capitals = unicodedata.normalize("NFKC", serial).upper()
    plain = unicodedata.normalize("NFKC", capitals).translate(_LEFT_OUT)
    kept = "".join(mark for mark in plain if mark.isprintable() and not mark.isspace())
    return unicodedata.normalize("NFKC", kept)  # an accent may now stand beside its letter
