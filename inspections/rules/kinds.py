"""The kinds of inspection, and which kinds each of them stands in for."""

from __future__ import annotations

from dataclasses import dataclass

from register.rules.texts import gettext_noop


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of inspection.

    satisfies: the kinds whose clock it restarts. satisfies_detailed_if_told: restarts the periodic
    clock too where the report says that the maker's periodic examination procedure was followed.
    """

    slug: str
    name: str
    satisfies: frozenset[str]
    satisfies_detailed_if_told: bool = False


def _kind(slug: str, name: str, *weaker: str) -> Kind:
    return Kind(slug, name, frozenset({slug, *weaker}))


def _told(slug: str, name: str, *weaker: str) -> Kind:
    return Kind(slug, name, frozenset({slug, *weaker}), satisfies_detailed_if_told=True)


_KINDS = (
    _kind("pre-use", gettext_noop("Pre-use check")),
    _kind("acceptance", gettext_noop("Acceptance"), "pre-use"),
    _kind("interim", gettext_noop("Interim inspection"), "pre-use"),
    _kind("detailed", gettext_noop("Periodic examination"), "interim", "pre-use"),
    _told("thorough-examination", gettext_noop("Thorough examination"), "interim", "pre-use"),
    _told("after-event", gettext_noop("After-event inspection"), "pre-use"),
    _told("special", gettext_noop("Special inspection for a safety notice")),
    _told("maker-service", gettext_noop("Maker's service")),
    _kind(
        "installation",
        gettext_noop("Installation and proof test"),
        "detailed",
        "interim",
        "pre-use",
    ),
    _kind("kit-check", gettext_noop("Kit contents and seal check")),
    _kind("sighting", gettext_noop("Stock-take sighting")),
)
KINDS: dict[str, Kind] = {kind.slug: kind for kind in _KINDS}
KIND_CHOICES: tuple[tuple[str, str], ...] = tuple((kind.slug, kind.name) for kind in _KINDS)

# These prove that somebody saw the item, and nothing about its fitness: no clock moves, and a bad
# one quarantines whoever gives it.
MOVES_NOTHING = frozenset({"pre-use", "sighting"})

_AFTER = frozenset({"after-event", "detailed", "thorough-examination"})

# A quarantine is ended by a pass of one of these kinds, performed after it began.
RELEASED_BY: dict[str, frozenset[str]] = {
    "safety-notice": frozenset({"special"}),
    "age-not-established": frozenset({"detailed", "thorough-examination"}),
    "back-from-service": frozenset({"acceptance", "detailed", "thorough-examination"}),
    "contents-wrong": frozenset({"kit-check", "detailed", "thorough-examination"}),
    "seal-broken": frozenset({"kit-check", "detailed", "thorough-examination"}),
    "out-of-date": frozenset({"detailed", "thorough-examination"}),
    "load-tested": frozenset({*_AFTER, "installation"}),
    "used-in-drill": frozenset({*_AFTER, "kit-check"}),
}


def satisfies(kind: str, wanted: str, *, covers_periodic: bool) -> bool:
    """Whether an inspection of the kind restarts the clock of the wanted kind."""
    one = KINDS[kind]
    if wanted in one.satisfies:
        return True
    return wanted == "detailed" and covers_periodic and one.satisfies_detailed_if_told


def may_release(reason: str, kind: str) -> bool:
    """Whether a pass of the kind can end a quarantine for the reason."""
    return kind in RELEASED_BY.get(reason, _AFTER)
