"""The employer's regime: which schemes apply, and where its own intervals are shorter."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from django.db import transaction

from inspections.conditions import refresh_due, scheme, scheme_slugs
from inspections.models import Regime
from inspections.rules.schemes import Interval, interval
from inspections.wording import own_interval_words
from register.models import Item, Site, Stamp, record
from register.refusal import Refusal
from register.rules.classes import CLASSES, USE_CLASSES

AT_ONCE = 500
ONE_ROW = 1  # two who save the first regime at once meet here


@transaction.atomic
def change_regime(*, schemes: Sequence[str], shorter: Mapping[str, int], stamp: Stamp) -> Regime:
    """Choose schemes and own intervals ('class/use', '*' for any, to months); they only shorten.

    Every item's dates are counted anew from its last inspection, at once; some may be out today.
    """
    if not schemes:
        raise Refusal("no-scheme", "Choose at least one scheme: without one nothing is in date.")
    if unknown := sorted(set(schemes) - set(scheme_slugs())):
        raise Refusal("scheme-unknown", f"There is no scheme called {', '.join(unknown)}.")
    for key, months in shorter.items():
        _refuse_unless_shorter(key, months, schemes)
    regime, _made = Regime.objects.select_for_update().get_or_create(pk=ONE_ROW)
    regime.schemes, regime.shorter = list(schemes), dict(shorter)
    regime.full_clean()
    regime.save()
    facts = {"schemes": list(schemes), "shorter": [f"{k}: {m}" for k, m in sorted(shorter.items())]}
    record("change-regime", {regime: facts}, stamp=stamp, sites=Site.objects.all())
    _count_anew()
    return regime


def _refuse_unless_shorter(key: str, months: int, schemes: Sequence[str]) -> None:
    """The employer may ask for more than the schemes do, never for less."""
    kind, _, use = key.partition("/")
    if (kind != "*" and kind not in CLASSES) or (use != "*" and use not in USE_CLASSES):
        raise Refusal("interval-unknown", f"“{key}” is no class and conditions of use.")
    if months < 1:
        raise Refusal("interval-too-short", "An interval is one month or more.")
    law = _longest_law(kind, use, schemes)
    if law and law.months < months:
        raise Refusal(
            "interval-longer",
            f"{own_interval_words(key, months)} is longer than the {law.months} months of"
            f" {law.source}. An own interval may only be shorter.",
        )


def _longest_law(kind: str, use: str, schemes: Sequence[str]) -> Interval | None:
    """The longest that the schemes leave to anything meant; None where they leave something free."""
    chosen = [scheme(slug) for slug in schemes]
    found = [
        interval(chosen, each_kind, each_use, "detailed")
        for each_kind in (CLASSES if kind == "*" else (kind,))
        for each_use in (USE_CLASSES if use == "*" else (use,))
    ]
    laws = [law for law in found if law]
    return max(laws, key=lambda law: law.months) if len(laws) == len(found) else None


def _count_anew() -> None:
    keys = list(Item.objects.order_by("pk").values_list("pk", flat=True))
    for start in range(0, len(keys), AT_ONCE):
        some = Item.objects.filter(pk__in=keys[start : start + AT_ONCE])
        refresh_due(list(some.select_related("product")))
