"""Who in the register a line of a file means: surely one, or nobody and why. Nothing is merged."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from difflib import SequenceMatcher

from register.intake.keys import name_key
from register.intake.rows import Problem

# How alike two names are that may be one person's, misspelt. Common practice, no source: a missed
# one is somebody new on a list that is shown; a wrong one is only asked about.
_ALIKE = 0.86
_NEAR_SHOWN = 3


@dataclass(frozen=True, slots=True)
class Known:
    """Somebody in the register."""

    pk: int
    name: str
    employer: str = ""
    number: str = ""


@dataclass(frozen=True, slots=True)
class Who:
    """Somebody as a line names them."""

    name: str
    employer: str = ""
    number: str = ""

    @property
    def key(self) -> str:
        """The same for the same words, however they are spaced."""
        return "|".join(map(name_key, (in_order(self.name), self.employer, self.number)))


@dataclass(frozen=True, slots=True)
class Found:
    """person, or the problem; near: who may be meant, misspelt; is_new: nobody is like them."""

    person: Known | None = None
    problem: Problem | None = None
    near: tuple[Known, ...] = ()
    is_new: bool = False


@dataclass(frozen=True, slots=True)
class People:
    """Everybody by name and by number, as compared."""

    everybody: tuple[Known, ...] = ()
    by_name: Mapping[str, tuple[Known, ...]] = field(default_factory=dict)
    by_number: Mapping[str, tuple[Known, ...]] = field(default_factory=dict)


def people_of(everybody: Iterable[Known]) -> People:
    by_name: dict[str, list[Known]] = {}
    by_number: dict[str, list[Known]] = {}
    held = tuple(everybody)
    for one in held:
        by_name.setdefault(name_key(one.name), []).append(one)
        if one.number:
            by_number.setdefault(name_key(one.number), []).append(one)
    return People(
        held,
        {key: tuple(people) for key, people in by_name.items()},
        {key: tuple(people) for key, people in by_number.items()},
    )


def in_order(name: str) -> str:
    """'Kowalska, Anna' as 'Anna Kowalska'; without a comma the words stay as they are."""
    last, comma, first = name.partition(",")
    return f"{first.strip()} {last.strip()}" if comma and "," not in first else name


def found(who: Who, people: People) -> Found:
    """By number, then by name with employer; what contradicts is told, and nobody is meant."""
    numbered = people.by_number.get(name_key(who.number), ()) if who.number else ()
    of_employer = [one for one in numbered if _same_employer(who, one)]
    if len(of_employer) == 1:
        return _by_number(who, of_employer[0])
    named = people.by_name.get(name_key(in_order(who.name)), ()) if who.name else ()
    if not named:
        return _nobody(who, people)
    fits = [one for one in named if _same_employer(who, one)]
    if not fits:
        facts = {"value": who.name, "stated": who.employer, "ours": named[0].employer}
        return Found(problem=Problem("person-employer", "name", facts), near=named)
    if len(fits) > 1:
        return Found(
            problem=Problem("person-of-two", "name", {"value": who.name}), near=tuple(fits)
        )
    one = fits[0]
    if who.number and one.number and name_key(who.number) != name_key(one.number):
        facts = {"value": who.name, "stated": who.number, "ours": one.number}
        return Found(problem=Problem("person-number", "number", facts), near=(one,))
    return Found(person=one)


def _by_number(who: Who, one: Known) -> Found:
    if who.name and not _alike(_plain(in_order(who.name)), _plain(one.name)):
        facts = {"value": who.number, "stated": who.name, "ours": one.name}
        return Found(problem=Problem("number-of-another", "number", facts), near=(one,))
    return Found(person=one)


def _nobody(who: Who, people: People) -> Found:
    if not who.name:
        code = "number-unknown" if who.number else "nobody-named"
        return Found(problem=Problem(code, "number", {"value": who.number}))
    near = nearest(who, people)
    if near:
        peers = ", ".join(one.name for one in near)
        facts = {"value": who.name, "peers": peers}
        return Found(problem=Problem("person-near", "name", facts), near=near)
    return Found(problem=Problem("person-unknown", "name", {"value": who.name}), is_new=True)


def nearest(who: Who, people: People) -> tuple[Known, ...]:
    """Those whose name is one slip of the pen away: an accent, a letter, the order, an initial."""
    plain = _plain(in_order(who.name))
    scored = [(_likeness(plain, _plain(one.name)), one) for one in people.everybody]
    close = sorted((pair for pair in scored if pair[0] >= _ALIKE), key=lambda pair: -pair[0])
    return tuple(one for _score, one in close[:_NEAR_SHOWN])


def _same_employer(who: Who, one: Known) -> bool:
    stated, ours = name_key(who.employer), name_key(one.employer)
    return not stated or not ours or stated == ours


def _plain(name: str) -> tuple[str, ...]:
    """The words of a name without case and accents, in alphabetical order."""
    letters = unicodedata.normalize("NFKD", name.casefold().replace("ł", "l"))
    kept = "".join(
        mark if mark.isalnum() else " " for mark in letters if not unicodedata.combining(mark)
    )
    return tuple(sorted(kept.split()))


def _alike(one: tuple[str, ...], other: tuple[str, ...]) -> bool:
    return _likeness(one, other) >= _ALIKE


def _likeness(one: tuple[str, ...], other: tuple[str, ...]) -> float:
    """1 for the same words in any order, or initials of them; else the share of letters alike."""
    if one == other or _initials(one, other) or _initials(other, one):
        return 1.0
    matcher = SequenceMatcher(None, " ".join(one), " ".join(other))
    if matcher.real_quick_ratio() < _ALIKE or matcher.quick_ratio() < _ALIKE:
        return 0.0
    return matcher.ratio()


def _initials(short: tuple[str, ...], full: tuple[str, ...]) -> bool:
    """'J Kowalski' for 'Jan Kowalski': some word whole, every other a first letter."""
    if len(short) != len(full) or not any(len(word) == 1 for word in short):
        return False
    left = list(full)
    for word in sorted(short, key=len, reverse=True):
        fits = [one for one in left if one == word or (len(word) == 1 and one.startswith(word))]
        if not fits:
            return False
        left.remove(fits[0])
    return any(len(word) > 1 for word in short)
