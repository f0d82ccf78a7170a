"""What falls due within the weeks asked for: of one site, or of every site of the reader."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, pgettext_lazy

from inspections.due_board import Row, due_rows
from inspections.forms.due import WEEKS, DueForm
from inspections.lists.cautions import IN_DATE, LAST_GOOD_DAY
from inspections.lists.judged import item_columns, spot_columns
from inspections.rules.due_weeks import OVERDUE, UNKNOWN
from register import clock
from register.access import sites_for
from register.exports.columns import day, text, yes_no
from register.lists.listing import Asked, Asking, Listing, filters_of, refuse_unread


def _due(asking: Asking) -> Asked:
    form = DueForm({"weeks": WEEKS, **asking.given.dict()}, user=asking.user)
    refuse_unread(form)
    chosen = form.cleaned_data["site"]
    sites = [chosen] if chosen else list(sites_for(asking.user, "due.see"))
    rows = [
        row
        for site in sites
        for row in due_rows(site, clock.day_at(site, asking.at), form.cleaned_data["weeks"])
    ]
    return Asked(rows, len(rows), filters_of(form))


def _state(row: Row) -> str:
    return {UNKNOWN: _("Not known"), OVERDUE: _("Overdue")}.get(row.week, "")


DUE = Listing(
    name="due",
    title=pgettext_lazy("of an item", "Due"),
    page="inspections:due-list",
    need="due.see",
    address="lists/due/",
    ask=_due,
    at_once=5_000,
    cautions=(
        LAST_GOOD_DAY,
        IN_DATE,
        gettext_lazy("Items away, withdrawn or in quarantine are not listed."),
    ),
    columns=(
        day(
            "due_on",
            pgettext_lazy("of an item", "Due"),
            "due_on",
            gettext_lazy("The last good day. Empty: not known, so do not use."),
        ),
        text("state", gettext_lazy("State"), _state),
        text("clock", gettext_lazy("Clock"), "clock"),
        *item_columns(),
        *spot_columns(),
        yes_no("held_by_a_notice", gettext_lazy("Held by a safety notice"), "held"),
        day("visit_on", gettext_lazy("Visit accepted for"), "visit_on"),
    ),
)
