"""The employer's regime: which schemes apply, and where its own intervals are shorter."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from django.db import transaction
from django.db.models import QuerySet
from django.utils.translation import gettext as _

from inspections.conditions import refresh_due
from inspections.models import Regime
from inspections.regime import regime_in_force, scheme, scheme_slugs
from inspections.regime_wording import own_interval_words
from inspections.rules.schemes import Interval, interval
from register.actions.locking import locked_items
from register.models import Item, Site, Stamp, record
from register.refusal import Refusal
from register.rules.classes import CLASSES, USE_CLASSES

AT_ONCE = 500
COUNTED_AT_ONCE = 2_500  # items; under a second. More are counted anew in the background
ONE_ROW = 1  # two who save the first regime at once meet here


@transaction.atomic
def change_regime(
    *,
    schemes: Sequence[str],
    shorter: Mapping[str, int],
    anniversary_is_late: bool = False,
    stamp: Stamp,
) -> Regime:
    """Choose schemes and own intervals ('class/use', '*' for any, to months); they only shorten.

    Every item's dates are counted anew from its last inspection; some may be out today. The copies
    for lists are counted here where they are few; until they are, lists show them as not known.
    """
    _refuse_unknown(schemes)
    for key, months in shorter.items():
        _refuse_unless_shorter(key, months, schemes)
    regime, _made = Regime.objects.select_for_update().get_or_create(pk=ONE_ROW)
    regime.schemes, regime.shorter = list(schemes), dict(shorter)
    regime.anniversary_is_late = anniversary_is_late
    regime.full_clean()
    regime.save()
    facts = {
        "schemes": list(schemes),
        "shorter": [f"{k}: {m}" for k, m in sorted(shorter.items())],
        "anniversary_is_late": anniversary_is_late,
    }
    record("change-regime", {regime: facts}, stamp=stamp, sites=Site.objects.all())
    if Item.objects.count() <= COUNTED_AT_ONCE:
        count_anew()
    return regime


def not_counted_yet() -> QuerySet[Item]:
    """Items whose copy for lists was made under another regime; lists take them as not known."""
    return Item.objects.exclude(due__regime=regime_in_force().mark)


def count_anew() -> int:
    """Bring every such copy up to date, so many in a transaction; whoever changes one waits."""
    keys = list(not_counted_yet().order_by("pk").values_list("pk", flat=True))
    for start in range(0, len(keys), AT_ONCE):
        _count_some(keys[start : start + AT_ONCE])
    return len(keys)


@transaction.atomic
def _count_some(keys: Sequence[int]) -> None:
    """Locked first: an inspection that is being recorded is not counted without."""
    locked = locked_items(Item(pk=key) for key in keys)
    rows = Item.objects.filter(pk__in=[item.pk for item in locked])
    refresh_due(list(rows.select_related("product")))


def _refuse_unknown(schemes: Sequence[str]) -> None:
    if not schemes:
        raise Refusal("no-scheme", _("Choose at least one scheme: without one nothing is in date."))
    if unknown := sorted(set(schemes) - set(scheme_slugs())):
        raise Refusal(
            "scheme-unknown",
            _("There is no scheme called %(unknown)s.") % {"unknown": ", ".join(unknown)},
        )


def _refuse_unless_shorter(key: str, months: int, schemes: Sequence[str]) -> None:
    """The employer may ask for more than the schemes do, never for less."""
    kind, _slash, use = key.partition("/")
    if (kind != "*" and kind not in CLASSES) or (use != "*" and use not in USE_CLASSES):
        raise Refusal(
            "interval-unknown", _("“%(key)s” is no class and conditions of use.") % {"key": key}
        )
    if months < 1:
        raise Refusal("interval-too-short", _("An interval is one month or more."))
    law = _longest_law(kind, use, schemes)
    if law and law.months < months:
        raise Refusal(
            "interval-longer",
            _(
                "%(own_interval_words)s is longer than the %(months)s months of %(source)s. An own"
                " interval may only be shorter."
            )
            % {
                "own_interval_words": own_interval_words(key, months),
                "months": law.months,
                "source": law.source,
            },
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
