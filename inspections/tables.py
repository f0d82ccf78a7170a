"""The tables of this app's lists."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import django_tables2 as tables
from django.template.loader import render_to_string
from django.utils.html import format_html
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.models import NoticeMatch
from inspections.models.notices import OUT_ALREADY
from inspections.notice_board import spot_words
from inspections.notice_wording import certainty_name, doubt_words, outcome_name
from inspections.rules.notice_kinds import ACKNOWLEDGE_WITHIN_DAYS
from inspections.rules.verdict import Verdict
from inspections.wording import reason
from register.models import Item
from register.wording import shown_day


class ItemTable(tables.Table):  # type: ignore[misc]
    """Items in dense rows; ``verdicts`` holds the answer for each row of the page shown."""

    code = tables.Column(gettext_lazy("Tag"), linkify=True)
    equipment_class = tables.Column(gettext_lazy("Class"), accessor="product__equipment_class")
    product = tables.Column(
        gettext_lazy("Product"), order_by=("product__maker", "product__designation")
    )
    size = tables.Column(gettext_lazy("Size"), default="")
    serial = tables.Column(gettext_lazy("Serial"), order_by=("serial_key",))
    where = tables.Column(
        gettext_lazy("Where and with whom"), order_by=("site__name", "holder__name", "code")
    )
    condition = tables.Column(gettext_lazy("Condition"))
    until = tables.Column(
        gettext_lazy("Usable until"), empty_values=(), order_by=("due__last_good_on", "code")
    )

    class Meta:
        attrs = {"class": "rows"}
        row_attrs = {"id": lambda record: f"item-{record.code}"}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.verdicts: dict[int, Verdict] = {}

    @property
    def shown_items(self) -> list[Item]:
        """The items of the page shown."""
        return [row.record for row in self.paginated_rows]

    def render_code(self, record: Item) -> str:
        return format_html('<span class="code">{}</span>', record.shown_code)

    def render_equipment_class(self, record: Item) -> str:
        return record.product.kind_name

    def render_serial(self, record: Item) -> str:
        return format_html('<span class="code">{}</span>', record.serial)

    def render_condition(self, record: Item) -> str:
        chip = {"condition": record.condition, "words": record.get_condition_display()}
        return render_to_string("parts/_condition.html", chip)

    def render_until(self, record: Item) -> str:
        verdict = self.verdicts[record.pk]
        if verdict.through:
            only_for = dict(verdict.facts).get("restricted_to", "")
            day = shown_day(verdict.through)
            return (
                _("%(day)s, for %(use)s only") % {"day": day, "use": only_for} if only_for else day
            )
        return format_html("<b>No:</b> {}", reason(verdict.code, verdict.facts))


class TraceTable(tables.Table):  # type: ignore[misc]
    """Who has each piece that a notice means, whether they know, and how it ended."""

    code = tables.Column(gettext_lazy("Tag"), accessor="item__code", order_by=("item__code",))
    notice = tables.Column(gettext_lazy("Notice"), order_by=("notice__received_on", "notice"))
    product = tables.Column(
        gettext_lazy("What"),
        accessor="item__product",
        order_by=("item__product__maker", "item__serial_key"),
    )
    certainty = tables.Column(gettext_lazy("Meant"))
    spot = tables.Column(
        gettext_lazy("Who has it"),
        accessor="item",
        order_by=("item__holder__name", "item__kit__name", "item__custody", "item__place"),
    )
    site = tables.Column(
        gettext_lazy("Site"), accessor="item__site", order_by=("item__site__name", "item__code")
    )
    told = tables.Column(
        gettext_lazy("Knows"), accessor="pk", order_by=("acknowledged_at", "matched_at")
    )
    ended = tables.Column(gettext_lazy("Settled"), accessor="pk", order_by=("outcome", "closed_at"))
    todo = tables.Column(gettext_lazy("To do"), accessor="pk", orderable=False)

    class Meta:
        attrs = {"class": "rows"}

    told_by: datetime

    def render_code(self, record: NoticeMatch) -> str:
        item = record.item
        return format_html(
            '<a href="{}"><span class="code">{}</span></a>',
            item.get_absolute_url(),
            item.shown_code,
        )

    def render_notice(self, record: NoticeMatch) -> str:
        return format_html('<a href="{}">{}</a>', record.notice.get_absolute_url(), record.notice)

    def render_product(self, record: NoticeMatch) -> str:
        item = record.item
        return format_html(
            _('{}, serial <span class="code">{}</span>'),
            item.product,
            item.serial or _("not known"),
        )

    def render_certainty(self, record: NoticeMatch) -> str:
        name = certainty_name(record.certainty)
        if not record.doubts:
            return name
        return format_html("{}: {}", name, doubt_words(record.doubts))

    def render_spot(self, record: NoticeMatch) -> str:
        return spot_words(record.item)

    def render_told(self, record: NoticeMatch) -> str:
        if record.acknowledged_at:
            return f"{shown_day(record.acknowledged_at)}: {record.acknowledged_how}"
        if record.matched_at <= self.told_by - timedelta(days=ACKNOWLEDGE_WITHIN_DAYS):
            return format_html(_("<b>no answer since {}</b>"), shown_day(record.matched_at))
        return _("not yet")

    def render_ended(self, record: NoticeMatch) -> str:
        if record.certainty == "none":
            return _("label read: not meant")
        if not record.outcome:
            return (
                record.item.get_condition_display()
                if record.item.condition in OUT_ALREADY
                else _("open")
            )
        if record.proof_is_gone:
            return format_html("<b>{}</b>", _("open again: its inspection was corrected"))
        by = f", {record.closed_by}" if record.closed_by else ""
        when = shown_day(record.closed_at) if record.closed_at else ""
        return f"{outcome_name(record.outcome)}, {when}{by}: {record.closed_because}"

    def render_todo(self, record: NoticeMatch) -> str:
        return render_to_string("inspections/_match_acts.html", {"match": record})
