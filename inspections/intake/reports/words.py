"""The words in which examiners give a verdict, name a kind of inspection and grade a defect."""

from __future__ import annotations

import re

from inspections.rules.kinds import KINDS
from inspections.rules.verdict import VERDICTS
from register.intake.fields import normal_heading

# The first line that fits decides, the worse above the better: 'failed, was ok' is a fail. A word
# that only denies something ('not', 'nie') is asked about, and never read as a pass.
# From memory of the trade's talk in English and Polish, to be verified.
# fmt: off
_VERDICTS: tuple[tuple[str, str], ...] = (
    ("not-presented", r"not (presented|seen|found|located|available|produced|examined|inspected)|\bmissing\b|\blost\b|nie (okaza|przedstaw|odnalez|udostepn|badan|skontrol)|nieokazan|\bbrak sztuki\b|zagubion"),
    ("not-accessible", r"(no|not|could not) (access|reach)|inaccessible|nie ?dostepn|brak dostepu"),
    ("not-identified", r"not (identified|identifiable)|unidentif|no (id|label|serial)\b|label (missing|illegible)|nie ?zidentyf|brak (oznacz|etykiet|numeru)"),
    ("fail", r"\bfail|reject|condemn|scrap|destroy|\bunfit\b|\bunsafe\b|unserviceable|unsatis|not (fit|safe|ok|satis|serviceable|acceptable|suitable|to be used)|do not use|\bdnu\b|withdraw|remove(d)? from (use|service)|out of service|quarantin|red tag|^red$|beyond repair|negatyw|niezdatn|nie (zdatn|nadaje|dopuszcz|spelnia|sprawn|uzywac)|niedopuszcz|niesprawn|odrzuc|wycof|\bzlom|zniszcz|kasacj|zakaz"),
    ("refer", r"\brefer|to (the )?(maker|manufacturer|be repaired)|needs? (repair|service)|repair required|service required|requires? (repair|service|attention)|on hold|further (exam|inspection|investig)|do (naprawy|serwisu|producenta|wyjasnienia|ponownej)|wymaga (naprawy|serwisu)|skierowan|wstrzym"),
    ("pass-with-conditions", r"pass(ed)? (with|subject)|conditional|with (condition|advis|observ|remark)|advisory|restricted|warunkow|\bz uwag|pod warunk"),
    ("pass", r"no (visible |apparent )?(defect|fault|damage)s?( found| seen)?$|^(bez|brak) (uwag|wad|usterek|uszkodzen)"),
    ("", r"\bnot?\b|\bnie\b|\bdefect|\bfault|\bdamage|\bbrak\b|uszkodz|usterk|\bwad[ay]\b|pending|await|overdue|expired|unknown"),
    ("pass", r"^(pass(ed)?|ok|good|fit|safe|sat|satisfactory|serviceable|accept(ed|able)?|compliant|approved|green|yes|y|p|a1)\b|in good (order|condition)|fit for (use|purpose|service)|safe (to|for) use|pozytyw|^(zdatn|sprawn|dopuszcz|dobr|tak$|spelnia|pozytywny|zgodn)"),
)
_KINDS: tuple[tuple[str, str], ...] = (
    ("thorough-examination", r"thorough|\bloler\b|\bte\b|gruntown|dozor technicz|\budt\b"),
    ("installation", r"install|proof (test|load)|montaz|instalac|odbior"),
    ("maker-service", r"service|serwis|manufacturer|producent"),
    ("after-event", r"after (event|fall|arrest|incident)|post (fall|arrest)|po (upadku|zdarzeniu)|doraz"),
    ("acceptance", r"accept|first use|pre ?delivery|przyjeci"),
    ("interim", r"interim|intermediate|posredni|kwartaln"),
    ("kit-check", r"kit check|contents check|zawartosc"),
    ("pre-use", r"pre ?use|before use|przed uzyciem"),
    ("detailed", r"periodic|detailed|annual|yearly|en ?365|formal|6 month|12 month|six month|okresow|roczn|szczegol"),
)
_GRADES: tuple[tuple[str, str], ...] = (
    ("A", r"^a$|immediate|imminent|existing|danger now|^1$|^high$|natychmiast|bezposred|krytyczn"),
    ("B", r"^b$|could become|will become|may become|timed|moze sta|^2$|^medium$"),
    ("C", r"^c$|\bobs|advis|minor|^3$|^low$|spostrzez|drobn"),
)
# fmt: on
_Table = tuple[tuple[str, re.Pattern[str]], ...]


def _compiled(table: tuple[tuple[str, str], ...]) -> _Table:
    return tuple((slug, re.compile(pattern)) for slug, pattern in table)


_VERDICT_TABLE, _KIND_TABLE, _GRADE_TABLE = map(_compiled, (_VERDICTS, _KINDS, _GRADES))
_TICKS = {"✓": "pass", "✔": "pass", "☑": "pass", "✗": "fail", "✘": "fail", "☒": "fail"}
_OWN_VERDICTS = {normal_heading(name): slug for slug, name in VERDICTS.items()}
_OWN_KINDS = {normal_heading(one.name): slug for slug, one in KINDS.items()}


def _first(table: _Table, plain: str) -> str:
    return next((slug for slug, pattern in table if pattern.search(plain)), "") if plain else ""


def verdict_of(text: str) -> str:
    """The verdict that words such as 'U/S' or 'dopuszczony' mean, '' where they may mean anything."""
    plain = normal_heading(text)
    if not plain:
        return _TICKS.get(text.strip(), "")
    if plain in {"u s", "us", "n s", "f", "x"}:
        return {"u s": "fail", "us": "fail", "f": "fail", "n s": "not-presented"}.get(plain, "")
    return _OWN_VERDICTS.get(plain, "") or _first(_VERDICT_TABLE, plain)


def kind_of(text: str) -> str:
    """The kind of inspection that the words mean, or ''."""
    plain = normal_heading(text)
    return _OWN_KINDS.get(plain, "") or _first(_KIND_TABLE, plain)


def grade_of(text: str) -> str:
    """A, B or C as in inspections.rules.verdict, or ''."""
    return _first(_GRADE_TABLE, normal_heading(text))
