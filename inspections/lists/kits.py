"""Rescue kits, and what each is made of."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections import record
from inspections.lists.cautions import IN_DATE, STAND_IN
from inspections.lists.judged import Judged, item_columns, spot_columns, verdict_columns
from inspections.wording import reason
from register.exports.columns import code, day, number, text, yes_no
from register.lists.listing import Asked, Asking, Listing
from register.models import Kit, KitPart

ITEM = ("item__site", "item__zone", "item__product", "item__holder", "item__kit")


def _kits(asking: Asking) -> Asked:
    kits = Kit.objects.visible_to(asking.user).select_related(*ITEM)
    verdicts = record.verdicts_at([kit.item for kit in kits], asking.at)
    rows = [Judged(kit.item, verdicts[kit.item_id], kit) for kit in kits]
    return Asked(rows, len(rows))


KITS = Listing(
    name="kits",
    title=gettext_lazy("Rescue kits"),
    page="inspections:kit-list",
    need="kit.see",
    address="lists/kits/",
    ask=_kits,
    at_once=200,
    cautions=(IN_DATE, STAND_IN),
    columns=(
        code("kit", gettext_lazy("Kit"), "row.name"),
        code("tag", gettext_lazy("Tag"), "item.shown_code"),
        *verdict_columns(),
        *(one for one in spot_columns() if one.name != "kit"),
        yes_no("sealed", gettext_lazy("Sealed"), "row.seal_intact"),
        code("seal", gettext_lazy("Seal"), "row.seal_number"),
        day("sealed_on", gettext_lazy("Sealed on"), "row.sealed_on"),
        number("contents_version", gettext_lazy("Version of the contents"), "row.contents_version"),
    ),
)


@dataclass(frozen=True, slots=True)
class Missing:
    """A line of a contents card that nothing fills."""

    row: KitPart
    item: None = None
    verdict: None = None


def _parts(asking: Asking) -> Asked:
    kits = Kit.objects.visible_to(asking.user)
    rows = KitPart.objects.filter(kit__in=kits).select_related(*ITEM, "kit")
    parts = list(rows.order_by("kit__name", "position", "pk"))
    verdicts = record.verdicts_at([part.item for part in parts if part.item], asking.at)
    told = [
        Judged(part.item, verdicts[part.item.pk], part) if part.item else Missing(part)
        for part in parts
    ]
    return Asked(told, len(told))


def _why_not(row: Judged | Missing) -> str:
    if row.verdict is None:
        return _("missing from the kit")
    return "" if row.verdict.usable else reason(row.verdict.code, row.verdict.facts)


KIT_PARTS = Listing(
    name="kit-parts",
    title=gettext_lazy("Parts of rescue kits"),
    page="inspections:kit-list",
    need="kit.see",
    address="lists/kit-parts/",
    ask=_parts,
    at_once=1_000,
    cautions=(IN_DATE, STAND_IN),
    columns=(
        code("kit", gettext_lazy("Kit"), "row.kit.name"),
        number("position", gettext_lazy("Place on the card"), "row.position"),
        text("part", gettext_lazy("Part"), "row.role"),
        yes_no("required", gettext_lazy("Must be there"), "row.required"),
        *item_columns(),
        yes_no(
            "usable", gettext_lazy("Usable"), lambda row: bool(row.verdict and row.verdict.usable)
        ),
        day(
            "usable_until",
            gettext_lazy("Usable until"),
            lambda row: row.verdict and row.verdict.through,
        ),
        text("why_not", gettext_lazy("Why not"), _why_not),
    ),
)
