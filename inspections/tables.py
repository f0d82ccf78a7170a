"""The tables of this app's lists."""

from __future__ import annotations

from typing import Any

import django_tables2 as tables
from django.template.loader import render_to_string
from django.utils.html import format_html

from inspections.rules.verdict import Verdict
from inspections.wording import reason
from register.models import Item
from register.wording import shown_day


class ItemTable(tables.Table):  # type: ignore[misc]
    """Items in dense rows; ``verdicts`` holds the answer for each row of the page shown."""

    code = tables.Column("Tag", linkify=True)
    equipment_class = tables.Column("Class", accessor="product__equipment_class")
    product = tables.Column("Product", order_by=("product__maker", "product__designation"))
    size = tables.Column("Size", default="")
    serial = tables.Column("Serial", order_by=("serial_key",))
    where = tables.Column("Where and with whom", order_by=("site__name", "holder__name", "code"))
    condition = tables.Column("Condition")
    until = tables.Column("Usable until", empty_values=(), order_by=("due__last_good_on", "code"))

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
        return record.product.kind.name

    def render_serial(self, record: Item) -> str:
        return format_html('<span class="code">{}</span>', record.serial)

    def render_condition(self, record: Item) -> str:
        chip = {"condition": record.condition, "words": record.get_condition_display()}
        return render_to_string("parts/_condition.html", chip)

    def render_until(self, record: Item) -> str:
        verdict = self.verdicts[record.pk]
        if verdict.through:
            return shown_day(verdict.through)
        return format_html("<b>No:</b> {}", reason(verdict.code, verdict.facts))
