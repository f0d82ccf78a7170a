"""Calendar feeds: what was told is kept, and written as RFC 5545 wants it."""
