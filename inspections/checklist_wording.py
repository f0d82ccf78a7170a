"""Points, answers and misfits of a checklist become words for the bench and the record."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, pgettext

from inspections.rules.answering import Misfit
from inspections.rules.checklists import ANSWERS, HOW, STATEMENTS, Checklist, Part, Point
from inspections.rules.contents import CardLine
from inspections.rules.cues import cues_for
from register.rules.tags import shown

_MISFITS = {
    "outside-limits": gettext_noop(
        "Measured outside the limit: %(points)s. Answer Not OK there, and fail or refer the item."
    ),
    "point-takes-it-out": gettext_noop(
        "Not OK: %(points)s. The checklist takes the item out for that: fail it or refer it. Where it"
        " is still within what is allowed, answer OK and tell an observation."
    ),
    "not-a-plain-pass": gettext_noop(
        "Not OK: %(points)s. Give another verdict: pass with conditions, refer or fail."
    ),
    "defect-unwritten": gettext_noop(
        "Not OK, and nothing is written about it yet: %(points)s. Describe it as a defect, and choose"
        " that point in it."
    ),
    "unmeasured": gettext_noop(
        "Not measured: %(points)s. Measure it, or answer that it does not apply."
    ),
    "unanswered": gettext_noop(
        "Nothing is said yet of: %(points)s. Look at them and tick “all other points looked at, "
        "good”, or answer each."
    ),
}
_CONTENTS = {
    "not-ticked": gettext_noop(
        "Not ticked: %(pieces)s. Hold each piece, compare its serial and tick it; what is not there, "
        "take off the card (the kit is then out), or fail the kit."
    ),
    "was-opened": gettext_noop(
        "This look opens the kit: tick each piece against the card and close it with a new seal."
    ),
}
_MOST_NAMED = 3
_IF_NOT = {
    "fail": gettext_noop("else fail"),
    "refer": gettext_noop("else refer"),
    "observation": gettext_noop("else an observation"),
}


def worded(found: Checklist) -> Checklist:
    """The list in the reader's language, to be shown alone: what is kept and hashed stays as its file
    has it. Words that no file has any more stay in their own language."""
    return replace(found, parts=tuple(_part_worded(part) for part in found.parts))


def _part_worded(part: Part) -> Part:
    points = tuple(
        replace(point, look=_said(point.look), accept=_said(point.accept), unit=_said(point.unit))
        for point in part.points
    )
    return Part(part.slug, _said(part.name), points)


def _said(words: str) -> str:
    """The words of a file, which `manage.py texts` collects under this very context."""
    return pgettext("checklist", words)


def misfit_sentence(found: Misfit) -> str:
    """Why the answers do not go with the verdict, the points named, and what to do."""
    return _(_MISFITS[found.code]) % {"points": _named(found.points)}


def _named(points: Iterable[Point]) -> str:
    names = [f"“{_said(point.look)}”" for point in points]
    if len(names) <= _MOST_NAMED:
        return ", ".join(names)
    shown = ", ".join(names[:_MOST_NAMED])
    return _("%(shown)s and %(more)d more") % {"shown": shown, "more": len(names) - _MOST_NAMED}


def contents_sentence(code: str, unseen: Sequence[CardLine]) -> str:
    """Why the kit cannot pass as it was looked at, and what to do."""
    pieces = ", ".join(f"{line.role} {shown(line.code)}" for line in unseen)
    return _(_CONTENTS[code]) % {"pieces": pieces or _("the card has no pieces")}


def how_words(point: Point) -> str:
    """'Measure, under 1 mm': what to do with it, and the limit where there is one."""
    limits = [
        _(words) % {"n": value, "unit": point.unit}
        for words, value in (
            (gettext_noop("at least %(n)s %(unit)s"), point.least),
            (gettext_noop("at most %(n)s %(unit)s"), point.most),
            (gettext_noop("under %(n)s %(unit)s"), point.under),
        )
        if value is not None
    ]
    return ", ".join([_(HOW[point.how]), *limits])


def if_not_words(point: Point) -> str:
    """'else fail'."""
    return _(_IF_NOT[point.if_not])


def answer_name(slug: str) -> str:
    """'OK', 'Not OK', 'Not applicable'."""
    return _(ANSWERS[slug])


def statement_words(slug: str) -> str:
    """What was said of the points as a whole."""
    return _(STATEMENTS[slug]) if slug else _("Nothing was said of the points as a whole")


def point_name(part: Part, point: Point) -> str:
    """'Webbing: both edges, bent over the thumb'."""
    return f"{part.name}: {point.look[:1].lower()}{point.look[1:]}"


def cues_shown(equipment_class: str) -> list[tuple[str, list[str]]]:
    """Each part with its usual defects, in the reader's language."""
    return [(_(part), [_(one) for one in usual]) for part, usual in cues_for(equipment_class)]
