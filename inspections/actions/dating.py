"""Facts that start or end clocks, stated or put right: of one item, and of what its maker says."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from inspections.conditions import refresh_due
from register import clock
from register.actions.locking import locked_item
from register.models import Item, Product, Site, Stamp, record
from register.refusal import Refusal
from register.rules.conditions import Condition
from register.wording import shown_day

ITEM_FACTS = ("owner", "hire_end_on", "first_used_on", "proof_test_months")
LIMITS = (
    *("periodic_months", "service_months", "storage_months"),
    *("life_from_made_months", "life_from_first_use_months"),
)
AT_ONCE = 500


@transaction.atomic
def state_dates(
    item: Item,
    *,
    owner: str,
    hire_end_on: date | None,
    first_used_on: date | None,
    proof_test_months: int | None,
    because: str,
    stamp: Stamp,
) -> Item:
    """Say whose the item is and until when, since when it is used, how often its fixing is tested.

    What stood before stays in the ledger, with the reason; every date follows at once.
    """
    item = locked_item(item)
    told = {
        "owner": " ".join(owner.split()),
        "hire_end_on": hire_end_on,
        "first_used_on": first_used_on,
        "proof_test_months": proof_test_months,
    }
    _refuse_unless_true(item, first_used_on, proof_test_months, stamp)
    facts = _changed(item, told, because)
    item.full_clean(validate_unique=False, exclude=["serial_key"])
    item.save(update_fields=list(told))
    record("state-dates", {item: facts}, stamp=stamp, notes={"because": because}, sites=[item.site])
    refresh_due([Item.objects.select_related("product").get(pk=item.pk)])
    return item


@transaction.atomic
def state_limits(
    product: Product, *, limits: Mapping[str, int | None], because: str, stamp: Stamp
) -> Product:
    """What the maker says of every piece of a product; blank where the maker states none.

    Every item of it is counted anew at once; some may be out today.
    """
    product = Product.objects.select_for_update().get(pk=product.pk)
    facts = _changed(product, {name: limits[name] for name in LIMITS}, because)
    product.full_clean()
    product.save(update_fields=list(LIMITS))
    keys = list(product.items.order_by("pk").values_list("pk", flat=True))
    sites = Site.objects.filter(items__product=product).distinct()
    record("state-limits", {product: facts}, stamp=stamp, notes={"because": because}, sites=sites)
    for start in range(0, len(keys), AT_ONCE):
        rows = Item.objects.filter(pk__in=keys[start : start + AT_ONCE])
        refresh_due(list(rows.select_related("product")))
    return product


def _changed(row: Item | Product, told: Mapping[str, object], because: str) -> dict[str, object]:
    """Sets what is told, and gives what differs for the ledger: 'name: before, after'."""
    differing = [name for name, value in told.items() if getattr(row, name) != value]
    if not differing:
        raise Refusal("nothing-changed", _("Nothing differs from what is on record."))
    if not because.strip():
        raise Refusal("reason-missing", _("Say where this is known from."))
    facts: dict[str, object] = {
        name: [_plain(getattr(row, name)), _plain(told[name])] for name in differing
    }
    for name in differing:
        setattr(row, name, told[name])
    return facts


def _refuse_unless_true(
    item: Item, first_used_on: date | None, proof_test_months: int | None, stamp: Stamp
) -> None:
    if item.condition == Condition.DESTROYED:
        raise Refusal(
            "destroyed",
            _("%(item)s was destroyed: its record stays as it is.") % {"item": item.shown_code},
        )
    if first_used_on and item.made_first_on and first_used_on < item.made_first_on:
        raise Refusal(
            "used-before-made",
            _("%(item)s was made in %(made_first_on)s: it cannot have been used on %(day)s.")
            % {
                "item": item.shown_code,
                "made_first_on": shown_day(item.made_first_on, "MONTH"),
                "day": shown_day(first_used_on),
            },
        )
    if first_used_on and first_used_on > clock.day_at(item.site, stamp.at):
        raise Refusal(
            "in-the-future", _("%(day)s lies in the future.") % {"day": shown_day(first_used_on)}
        )
    _refuse_after_issue(item, first_used_on)
    if first_used_on is None and item.movements.filter(kind="issued").exists():
        raise Refusal(
            "used-already",
            _("%(item)s was on issue: it has been used.") % {"item": item.shown_code},
        )
    if proof_test_months and not item.product.kind.is_anchor:
        raise Refusal("no-anchor", _("Only anchors and lines are proof tested."))


def _refuse_after_issue(item: Item, first_used_on: date | None) -> None:
    """A life that began with an issue does not begin later by saying so."""
    issued = item.movements.filter(kind="issued").order_by("at").values_list("at", flat=True)
    first = issued.first()
    if first and first_used_on and first_used_on > clock.day_at(item.site, first):
        raise Refusal(
            "used-earlier",
            _("%(item)s was on issue on %(day)s already: it was first used then or earlier.")
            % {"item": item.shown_code, "day": shown_day(clock.day_at(item.site, first))},
        )


def _plain(value: object) -> object:
    return value.isoformat() if isinstance(value, date) else value
