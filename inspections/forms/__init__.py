"""The forms of this app's pages."""
