"""The equipment list: every item the page finds, with all that its record holds."""

from __future__ import annotations

from django.utils.translation import gettext_lazy

from inspections.filters import ItemFilter
from inspections.lists.cautions import IN_DATE, STAND_IN
from inspections.lists.judged import (
    LOT,
    day_of_reader,
    item_columns,
    judged,
    spot_columns,
    verdict_columns,
)
from register.exports.columns import code, day, number, text, yes_no
from register.lists.listing import Asked, Asking, Listing, filters_of, refuse_unread
from register.models import Item
from register.wording import condition_name, quarantine_reason, use_class_name


def _equipment(asking: Asking) -> Asked:
    items = Item.objects.visible_to(asking.user).with_product()
    today = day_of_reader(asking.user, asking.at)
    found = ItemFilter(asking.given, items, user=asking.user, today=today)
    refuse_unread(found.form)
    chosen = found.qs.select_related("bound_for", "delivery").order_by("code")
    rows = judged(chosen.iterator(chunk_size=LOT), asking.at)
    return Asked(rows, chosen.count(), filters_of(found.form))


EQUIPMENT = Listing(
    name="equipment",
    title=gettext_lazy("Equipment"),
    page="inspections:item-list",
    need="item.see",
    address="lists/equipment/",
    ask=_equipment,
    at_once=2_500,
    cautions=(IN_DATE, STAND_IN),
    columns=(
        *item_columns(),
        code("batch", gettext_lazy("Batch"), "item.batch"),
        text("size", gettext_lazy("Size"), "item.size"),
        text("standards", gettext_lazy("Standards"), "item.product.standards"),
        number(
            "rated_from_kg",
            gettext_lazy("Rated from (kg)"),
            "item.product.min_user_kg",
            gettext_lazy("Empty: the maker states none."),
        ),
        number(
            "rated_to_kg",
            gettext_lazy("Rated to (kg)"),
            "item.product.max_user_kg",
            gettext_lazy("Empty: the maker states none."),
        ),
        number("length_m", gettext_lazy("Length (m)"), "item.product.length_m"),
        yes_no("edge_tested", gettext_lazy("Tested over an edge"), "item.product.edge_tested"),
        *verdict_columns(),
        text(
            "condition",
            gettext_lazy("Condition"),
            lambda row: condition_name(row.item.condition),
        ),
        text(
            "quarantined_for",
            gettext_lazy("Quarantined for"),
            lambda row: (
                row.item.quarantine_reason and quarantine_reason(row.item.quarantine_reason)
            ),
        ),
        *spot_columns(),
        text("bound_for", gettext_lazy("On its way to"), "item.bound_for.name"),
        day("due_back_on", gettext_lazy("Due back"), "item.due_back_on"),
        day(
            "made_first_on",
            gettext_lazy("Made, earliest day"),
            "item.made_first_on",
            gettext_lazy("Where only a month or a year is known, its first day."),
        ),
        day("made_last_on", gettext_lazy("Made, latest day"), "item.made_last_on"),
        day("bought_on", gettext_lazy("Bought"), "item.purchased_on"),
        day("accepted_on", gettext_lazy("Accepted"), "item.accepted_on"),
        day("first_used_on", gettext_lazy("First used"), "item.first_used_on"),
        text(
            "conditions_of_use",
            gettext_lazy("Conditions of use"),
            lambda row: use_class_name(row.item.use_class),
        ),
        text("owner", gettext_lazy("Owner"), "item.owner", gettext_lazy("Empty: our own.")),
        day("hire_ends_on", gettext_lazy("Hire ends"), "item.hire_end_on"),
        text("delivery_note", gettext_lazy("Delivery note"), "item.delivery.delivery_note"),
        text("remarks", gettext_lazy("Remarks"), "item.remarks"),
    ),
)
