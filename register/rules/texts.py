"""Marks the names that rules give to things, so that translators find them; rules know no language."""


def gettext_noop(text: str) -> str:
    """The text as it is; the wording modules translate it where it is shown."""
    return text
