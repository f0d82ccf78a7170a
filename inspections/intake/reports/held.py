"""What the register holds, as a report needs it: a fixed number of queries, however many items."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from inspections.intake.reports.matching import Held, Register, register_of
from inspections.models import BroughtIn, Inspection, Intake
from register.intake.keys import tag_key
from register.models import Item, Tag

_COLUMNS = (
    *("pk", "code", "serial", "product__maker", "product__designation"),
    *("product__equipment_class", "made_first_on", "made_last_on"),
)
OnRecord = dict[tuple[int, date, str], list[str]]


def sites_of(intake: Intake) -> list[int] | None:
    """The sites whose items may be meant, as whoever looks has the right; None is every site."""
    kept: list[int] | None = intake.choices.get("site_ids", [])
    return kept


def register_now(intake: Intake) -> Register:
    """Items at these sites by serial and by every mark they bear or bore."""
    sites = sites_of(intake)
    rows = Item.objects.order_by("pk")
    if sites is not None:
        rows = rows.filter(site__in=sites)
    items = [
        Held(
            pk=row[0],
            code=row[1],
            serial=row[2],
            maker=row[3],
            product=row[4],
            class_slug=row[5],
            made_first_on=row[6],
            made_last_on=row[7],
        )
        for row in rows.values_list(*_COLUMNS).iterator(chunk_size=5000)
    ]
    return register_of(items, _marks())


def _marks() -> dict[str, set[int]]:
    """A mark may have been another item's in the workbook it came from: then it names neither."""
    found: dict[str, set[int]] = {}
    old = BroughtIn.objects.exclude(old_mark="").values_list("old_mark", "item_id")
    for mark, item in (*Tag.objects.values_list("code", "item_id").iterator(), *old.iterator()):
        found.setdefault(tag_key(mark), set()).add(item)
    return found


def on_record(items: Iterable[int]) -> OnRecord:
    """Verdicts that stand, by item, day and kind."""
    wanted = list(items)
    found: OnRecord = {}
    for start in range(0, len(wanted), 500):
        rows = Inspection.objects.standing().filter(item__in=wanted[start : start + 500])
        for item, day, kind, verdict in rows.values_list(
            "item_id", "performed_on", "kind", "verdict"
        ):
            found.setdefault((item, day, kind), []).append(verdict)
    return found


def items_by_key(keys: Iterable[int]) -> dict[int, Item]:
    """Whole items, with all that a sentence about one needs."""
    wanted = list(keys)
    found: dict[int, Item] = {}
    for start in range(0, len(wanted), 500):
        rows = Item.objects.with_product().select_related("part_of__kit", "site")
        found |= {one.pk: one for one in rows.filter(pk__in=wanted[start : start + 500])}
    return found
