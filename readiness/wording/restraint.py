"""The answer for restraint in words: the verdict, each edge, what is missing, the cautions."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from readiness.rules.sums.restraint import Hold
from readiness.rules.sums.restraint_figures import RestraintAnswer
from readiness.wording.fall import caution
from readiness.wording.lengths import Unit, length_words, needed_words, there_words
from readiness.wording.rescue_sums import restraint_lines, restraint_verdict

_ASSUMES = (
    gettext_noop("points as measured, on one level"),
    gettext_noop("the lanyard at the longest it can be set"),
    gettext_noop("anchor, rail or line hold"),
    gettext_noop("one person on the lanyard"),
)


@dataclass(frozen=True, slots=True)
class EdgeRow:
    """One edge or area: how far it is, what reaches that way, what is left."""

    name: str
    distance: str
    total: str
    spare: str
    can_be_passed: bool


@dataclass(frozen=True, slots=True)
class RestraintWords:
    verdict: str
    brief: str
    proven: bool
    lines: tuple[str, ...]
    missing: str
    sum: str
    edges: tuple[EdgeRow, ...]
    caution: str


def restraint_words(answer: RestraintAnswer, unit: Unit) -> RestraintWords:
    found = answer.found
    return RestraintWords(
        verdict=restraint_verdict(found, unit),
        brief=_brief(answer, unit),
        proven=answer.proven,
        lines=tuple(restraint_lines(found, unit)[0 if found.passed else 1 :]),
        missing=_missing(answer, unit),
        sum=_sum(answer, unit),
        edges=tuple(_edge(hold, unit) for hold in found.holds),
        caution=caution(_ASSUMES),
    )


def _brief(answer: RestraintAnswer, unit: Unit) -> str:
    """The verdict in a few words."""
    spare = answer.found.holds[0].spare_m
    if answer.found.passed:
        return _("Can be passed by %(past)s") % {"past": needed_words(-spare, unit)}
    if not answer.proven:
        return _("Not proven")
    return _("Proven, %(spare)s to spare") % {"spare": there_words(spare, unit)}


def _missing(answer: RestraintAnswer, unit: Unit) -> str:
    """Which side of an open rim is not drawn."""
    if answer.case.closed:
        return ""
    if not answer.case.rim:
        return _("Missing: all corners of the rim. Draw it all round, guarded sides as well.")
    first, last = answer.case.rim[0], answer.case.rim[-1]
    told = {"last": _point(last, unit), "first": _point(first, unit)}
    return (
        _(
            "Missing: what lies between the last corner (%(last)s) and the first (%(first)s). Draw it, "
            "guarded sides as well, and join the last corner to the first."
        )
        % told
    )


def _point(point: tuple[float, float], unit: Unit) -> str:
    return ", ".join(length_words(side, unit) for side in point)


def _sum(answer: RestraintAnswer, unit: Unit) -> str:
    found = answer.found
    told = {
        "reach": needed_words(found.reach_m, unit),
        "give": needed_words(answer.tightest.deflection_m, unit),
        "allowance": needed_words(found.allowance_m, unit),
    }
    return (
        _(
            "Reach %(reach)s, the line gives up to %(give)s there, the employer’s allowance is "
            "%(allowance)s. It is proven where these together are not more than the way to every edge."
        )
        % told
    )


def _edge(hold: Hold, unit: Unit) -> EdgeRow:
    passed = hold.can_be_passed
    spare = (
        _("passed by %(past)s") % {"past": needed_words(-hold.spare_m, unit)}
        if passed
        else _("%(spare)s to spare") % {"spare": there_words(hold.spare_m, unit)}
    )
    return EdgeRow(
        hold.name,
        there_words(hold.distance_m, unit),
        needed_words(hold.total_m, unit),
        spare,
        passed,
    )
