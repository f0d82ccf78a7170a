"""Safety notices, and every piece that one of them means."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from django.db.models import QuerySet
from django.http import Http404
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections import notice_board as board
from inspections.lists.judged import item_columns, spot_columns
from inspections.models import Notice, NoticeMatch
from inspections.notice_wording import certainty_name, doubt_words, outcome_name
from register.exports.columns import code, day, moment, number, text, there, yes_no
from register.lists.listing import Asked, Asking, Filters, Listing
from register.models import Item
from register.wording import condition_name

if TYPE_CHECKING:
    from django.utils.functional import _StrPromise as StrPromise

SHOWS: dict[str, StrPromise] = {
    "open": gettext_lazy("still to be settled"),
    "silent": gettext_lazy("no answer in time"),
    "settled": gettext_lazy("settled"),
    "all": gettext_lazy("all"),
}
CAUTION = gettext_lazy(
    "Read the maker’s own words: this list is worked out from what the register holds of serials,"
    " batches and dates."
)


@dataclass(frozen=True, slots=True)
class NoticeRow:
    """A notice with its counts at the reader's sites."""

    notice: Notice
    counts: board.Counts


def _notices(asking: Asking) -> Asked:
    notices = Notice.objects.visible_to(asking.user).select_related("revised_by")
    counts = board.counts_of(Item.objects.visible_to(asking.user))
    rows = [NoticeRow(one, counts.get(one.pk, board.NONE)) for one in notices]
    rows.sort(key=lambda row: not row.notice.is_in_force)
    return Asked(rows, len(rows))


NOTICES = Listing(
    name="notices",
    title=gettext_lazy("Safety notices"),
    page="inspections:notice-list",
    need="notice.see",
    address="lists/notices/",
    ask=_notices,
    cautions=(CAUTION,),
    columns=(
        text("issuer", gettext_lazy("Issued by"), "notice.issuer"),
        code("reference", gettext_lazy("Reference"), "notice.reference"),
        number("version", gettext_lazy("Version"), "notice.version"),
        text("kind", gettext_lazy("Kind"), lambda row: row.notice.get_kind_display()),
        yes_no("in_force", gettext_lazy("In force"), "notice.is_in_force"),
        day("received_on", gettext_lazy("Received"), "notice.received_on"),
        day("deadline_on", gettext_lazy("Last day of use"), "notice.deadline_on"),
        number("certain", gettext_lazy("Certainly meant"), "counts.certain"),
        number("possible", gettext_lazy("Possibly meant"), "counts.possible"),
        number("to_settle", gettext_lazy("To be settled"), "counts.to_settle"),
        number("not_told", gettext_lazy("Not told yet"), "counts.not_told"),
        text("says", gettext_lazy("What it says"), "notice.text"),
    ),
)


def matches_chosen(
    mine: QuerySet[NoticeMatch], chosen: str, now: datetime
) -> QuerySet[NoticeMatch]:
    """The rows of the state asked for: open, silent, settled, all."""
    open_ones = NoticeMatch.objects.to_settle().filter(pk__in=mine.values("pk"))
    if chosen == "silent":
        return open_ones.filter(board.silent_since(now))
    if chosen == "settled":
        return mine.exclude(pk__in=open_ones.values("pk"))
    return mine if chosen == "all" else open_ones


def _matches(asking: Asking) -> Asked:
    notice = Notice.objects.visible_to(asking.user).filter(pk=asking.named["pk"]).first()
    if notice is None:
        raise Http404
    asked = asking.given.get("show", "open")
    chosen = asked if asked in SHOWS else "open"
    mine = NoticeMatch.objects.visible_to(asking.user).filter(notice=notice)
    rows = board.traced(matches_chosen(mine, chosen, asking.at))
    filters: Filters = ((_("Notice"), str(notice)), (_("Shown"), str(SHOWS[chosen])))
    return Asked(rows.iterator(chunk_size=500), rows.count(), filters)


NOTICE_ITEMS = Listing(
    name="notice-items",
    title=gettext_lazy("Items that a safety notice means"),
    page="inspections:notice-detail",
    need="notice.see",
    address="lists/notice-items/<int:pk>/",
    ask=_matches,
    at_once=5_000,
    cautions=(CAUTION,),
    columns=(
        text("notice", gettext_lazy("Notice"), lambda row: str(row.notice)),
        *item_columns(),
        text("meant", gettext_lazy("Meant"), lambda row: certainty_name(row.certainty)),
        text("doubts", gettext_lazy("In doubt because"), lambda row: doubt_words(row.doubts)),
        *spot_columns(),
        text(
            "condition", gettext_lazy("Condition"), lambda row: condition_name(row.item.condition)
        ),
        moment("found_at", gettext_lazy("Found"), there("matched_at", "item.site")),
        moment("told_at", gettext_lazy("Knows since"), there("acknowledged_at", "item.site")),
        text("told_how", gettext_lazy("Who said so, and how"), "acknowledged_how"),
        text(
            "settled",
            gettext_lazy("Settled"),
            lambda row: row.outcome and outcome_name(row.outcome),
        ),
        moment("settled_at", gettext_lazy("Settled at"), there("closed_at", "item.site")),
        text("settled_because", gettext_lazy("Why"), "closed_because"),
        yes_no(
            "proof_gone",
            gettext_lazy("Open again"),
            "proof_is_gone",
            gettext_lazy("Its inspection was corrected after it was settled."),
        ),
    ),
)
