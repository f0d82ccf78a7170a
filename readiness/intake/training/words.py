"""The words of a training matrix: which training rescues, what a cell says, what a heading dates."""

from __future__ import annotations

import re

from readiness.models.people import FAMILIES
from register.intake.fields import normal_heading

FIRST_AID = "first aid"

# A first guess that is shown and can be changed; from memory of the trade's talk, to be verified.
# fmt: off
_TRAININGS: tuple[tuple[str, str], ...] = (
    (FIRST_AID, r"first aid|\b[ef]aw\b|pierwsz\w* pomoc|ersthelfer|secouris"),
    ("controlled descent", r"(controlled|rescue) descent|descen[dt]\w* device|rescue by descen|urzadzen\w* (ewakuac|zjazd)|kontrolowan\w* (zjazd|opuszcz)"),
    ("haul and lower", r"haul|lower(ing)? (system|device)|wyciagan|podnoszen\w* i opuszcz"),
    ("raise from shaft", r"shaft|tripod|confined space rescue|\bdavit|trojnog|studni|przestrzen\w* zamkn"),
    ("remote attach", r"remote (attach|hook)|reach pole|rescue pole|zdaln|wysiegnik"),
    ("evacuation descent", r"evacuat\w* (descen|device)|self evac|ewakuac"),
)
_UNTIL = r"valid (until|to|till|through)|expir\w*|until|renewal|due|wazn\w* do|waznosc\w*|wygasa"
_TAKEN = r"taken|date|completed|attended|passed|issued|from|data|ukonczon\w*|odbyt\w*|wazn\w* od"
# fmt: on
_TABLE = tuple((slug, re.compile(pattern)) for slug, pattern in _TRAININGS)
_DATED = tuple(
    (what, re.compile(rf"\s*\b(?:{words})$"))
    for what, words in (("through", _UNTIL), ("taken", _TAKEN))
)
_NONE = frozenset(
    {"", "n a", "na", "none", "no", "nil", "not required", "nie", "nie dotyczy", "brak"}
)
_UNDATED = frozenset(
    {"x", "y", "yes", "ok", "done", "valid", "current", "trained", "pass", "passed", "tak", "ma"}
    | {"wazne", "aktualne", "unlimited", "no expiry", "lifetime", "bezterminowo"}
)
_ENDED = re.compile(r"expired|lapsed|out of date|wygas|przetermin|niewazn|nieaktual")
_REVOKED = re.compile(r"revoked|withdrawn|cancelled|suspended|cofniet|odebran|uniewazn|zawieszon")


def meaning_of(training: str) -> str:
    """'first aid', a family of kits, or '' for what is none of them."""
    plain = normal_heading(training)
    own = next((slug for slug in FAMILIES if slug == plain), "")
    return own or next((slug for slug, pattern in _TABLE if pattern.search(plain)), "")


def heading_of(text: str) -> tuple[str, str]:
    """The training a heading names, and whether its days are 'through', 'taken' or not said ('')."""
    plain = normal_heading(text)
    for what, pattern in _DATED:
        rest = plain
        while (shorter := pattern.sub("", rest)) not in {"", rest}:
            rest = shorter
        if rest != plain:
            return rest, what
    return plain, ""


def cell_says(text: str) -> str:
    """Of a cell that is no day: 'none', 'undated', 'ended', 'revoked' or '' for anything else."""
    plain = normal_heading(text)
    if plain in _NONE:
        return "none" if plain or not text.strip() or not _is_tick(text) else "undated"
    if _REVOKED.search(plain):
        return "revoked"
    if _ENDED.search(plain):
        return "ended"
    return "undated" if plain in _UNDATED else ""


def _is_tick(text: str) -> bool:
    return any(mark in text for mark in "✓✔☑√")
