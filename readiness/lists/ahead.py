"""What will be short at a site in the weeks ahead, as a list."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.lists.cautions import COVER
from readiness.board.weeks_ahead import Ahead, Shortage, ahead_of
from readiness.lists.tasks import site_asked
from register.clock import day_at
from register.exports.columns import day, number, text
from register.lists.listing import Asked, Asking, Listing

QUARTER = 13  # weeks


@dataclass(frozen=True, slots=True)
class Short:
    """One shortage of one week; a week without any stands once, with none."""

    ahead: Ahead
    shortage: Shortage | None = None


def _ahead(asking: Asking) -> Asked:
    site = site_asked(asking, "cover.see")
    rows = list(_shortages(ahead_of(site, day_at(site, asking.at), QUARTER)))
    return Asked(rows, len(rows), ((_("Site"), site.name),))


def _shortages(found: Sequence[Ahead]) -> Iterator[Short]:
    for ahead in found:
        yield from [Short(ahead, one) for one in ahead.shortages] or [Short(ahead)]


WEEKS_AHEAD = Listing(
    name="weeks-ahead",
    title=gettext_lazy("Weeks ahead"),
    page="readiness:site-ahead",
    need="cover.see",
    address="lists/weeks-ahead/<slug:site>/",
    ask=_ahead,
    cautions=(COVER, gettext_lazy("The counts say what is short, not that enough of it would do.")),
    columns=(
        day("week_of", gettext_lazy("Week of"), "ahead.week.monday"),
        number("task_hours", gettext_lazy("Hours of tasks"), "ahead.week.hours"),
        number("covered_hours", gettext_lazy("Hours covered"), "ahead.week.covered"),
        text("short_of", gettext_lazy("Short of"), "shortage.words"),
        number("needed", gettext_lazy("Needed"), "shortage.need.needed"),
        number("there", gettext_lazy("There"), "shortage.need.there"),
        day("act_by", gettext_lazy("Act by"), "shortage.act_by"),
    ),
)
