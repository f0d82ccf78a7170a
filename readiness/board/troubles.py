"""The troubles of one site, and the cheapest sets for all of them together."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from readiness.board.remedies import Question, SetBoard, reasons_of, set_board
from readiness.rules.remedies import one_after_another, troubles
from readiness.rules.remedies.candidates import offered
from readiness.rules.statement import names_in
from readiness.wording.acts import hours_words


@dataclass(frozen=True, slots=True)
class JointRow:
    """One task with the set chosen for it beside those of the tasks before it; None: it stops."""

    task: str
    set: SetBoard | None


def joint_rows(asked: Question) -> list[JointRow]:
    """The cheapest for each task that is not covered, with nothing promised twice between them."""
    ours = [one for one in troubles(asked.bench, asked.site.code) if one.kind != "unbacked"]
    wanted = list(dict.fromkeys(one.key for one in ours))
    acts = {key: offered(asked.bench, key, asked.means).acts for key in wanted}
    found = one_after_another(asked.bench, wanted, acts, lambda each: each.cheapest)
    return [
        JointRow(key[1], set_board(one, ("cheapest",), "", asked) if one else None)
        for key, one in found.items()
    ]


@dataclass(frozen=True, slots=True)
class TroubleRow:
    task: str
    name: str
    kind: str
    hours: str
    reasons: tuple[str, ...]


KINDS = {
    "uncovered": gettext_noop("Not covered"),
    "contested": gettext_noop("Contested"),
    "lapsing": gettext_noop("Will lapse"),
    "unbacked": gettext_noop("Covered, no backup"),
}


def trouble_rows(asked: Question) -> list[TroubleRow]:
    """Each task of the site with each kind of trouble it is in, what is not covered first."""
    names = names_in(asked.bench.timelines[asked.site.code]).tasks
    return [
        TroubleRow(
            task=one.key[1],
            name=names.get(one.key[1], one.key[1]),
            kind=_(KINDS[one.kind]),
            hours=hours_words(one.hours, asked.zone, most=1),
            reasons=reasons_of([one], asked),
        )
        for one in troubles(asked.bench, asked.site.code)
    ]
