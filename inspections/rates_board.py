"""Reject rates and the end of lives, counted by the database and judged by the rules."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from statistics import median
from typing import NamedTuple

from django.db.models import Count, Max, Min
from django.utils.translation import gettext as _

from inspections.models import Inspection
from inspections.regime import RegimeInForce, regime_in_force
from inspections.rules.life_wave import Alike, Wave, ends_on, wave
from inspections.rules.rates import Rate, age_band, looks_hurried
from inspections.rules.spares import away_at_once, covered_by, spares_for
from register.models import Item, Site
from register.rules.conditions import Condition
from register.wording import class_name, use_class_name

KINDS = ("detailed", "thorough-examination", "interim")
EXAMINED = ("pass", "pass-with-conditions", "fail")
SHOWN = (*EXAMINED, "not-presented")
GONE = (Condition.WITHDRAWN, Condition.DESTROYED, Condition.LEFT, Condition.NOT_LOCATED)
PACED_FROM = 10  # harnesses of one inspector on one day, or their pace says nothing


class Examined(NamedTuple):
    """Inspections alike in all that is asked, and how many."""

    site: int
    equipment_class: str
    product: str
    use_class: str
    band: str
    verdict: str
    number: int


@dataclass(frozen=True, slots=True)
class SpareRow:
    """How many spares one class needs for what was rejected in a year."""

    name: str
    rejected: int
    mean: float
    spares: int
    chance: float


def examined_since(sites: Sequence[Site], since: date) -> list[Examined]:
    """What counts, or was not presented; fails of what was at the end of its life are no rejects."""
    rows = (
        Inspection.objects.standing()
        .filter(kind__in=KINDS, verdict__in=SHOWN, performed_on__gte=since, item__site__in=sites)
        .exclude(counts=False, verdict__in=EXAMINED)
        .order_by()
        .values_list(
            *("item__site_id", "item__product__equipment_class", "item__product__maker"),
            *("item__product__designation", "item__use_class", "verdict", "performed_on"),
            *("item__made_first_on", "item__first_used_on"),
            *(
                "item__product__life_from_made_months",
                "item__product__life_from_first_use_months",
            ),
        )
        .annotate(n=Count("pk"))
    )
    regime = regime_in_force()
    return [one for row in rows if (one := _examined(row, regime))]


def _examined(row: tuple[object, ...], regime: RegimeInForce) -> Examined | None:
    site, slug, maker, model, use, verdict, on, made, used, from_made, from_use, number = row
    alike = Alike(slug, made, used, from_made, from_use, 1)  # type: ignore[arg-type]
    if verdict == "fail":
        last, _limited = ends_on(alike, regime.schemes)
        if last and isinstance(on, date) and on > last:
            return None
    band = age_band(_months(made, on))
    return Examined(site, slug, f"{maker} {model}", use, band, verdict, number)  # type: ignore[arg-type]


def _months(made: object, on: object) -> int | None:
    if not isinstance(made, date) or not isinstance(on, date):
        return None
    return (on.year - made.year) * 12 + on.month - made.month - (on.day < made.day)


def rates_by(rows: Sequence[Examined], part: str, names: dict[object, str]) -> list[Rate]:
    """A rate for each value of 'site', 'equipment_class', 'product', 'use_class' or 'band'."""
    found: dict[object, list[int]] = defaultdict(lambda: [0, 0, 0])
    for row in rows:
        counts = found[getattr(row, part)]
        if row.verdict == "not-presented":
            counts[2] += row.number
        else:
            counts[0] += row.number
            counts[1] += row.number * (row.verdict == "fail")
    rates = [Rate(names.get(key, str(key)), *counts, key=key) for key, counts in found.items()]
    return sorted(rates, key=lambda rate: (rate.name, str(rate.key)))


def names_of(rows: Sequence[Examined], sites: Sequence[Site]) -> dict[str, dict[object, str]]:
    """What each value is called, by part."""
    return {
        "site": {site.pk: site.name for site in sites},
        "equipment_class": {row.equipment_class: class_name(row.equipment_class) for row in rows},
        "use_class": {row.use_class: use_class_name(row.use_class) for row in rows},
        "product": {},
        "band": {row.band: _(row.band) for row in rows},
    }


def seconds_a_harness(sites: Sequence[Site], since: date) -> dict[object, int]:
    """The median pace at each site, from days on which one inspector looked at enough harnesses.

    Only records made at the item tell a pace, and only those of a day that differ in their moment.
    """
    rows = (
        Inspection.objects.standing()
        .filter(kind__in=KINDS, verdict__in=EXAMINED, performed_on__gte=since, source="direct")
        .filter(item__product__equipment_class="harness", item__site__in=sites)
        .order_by()
        .values_list("item__site_id", "inspector_id", "performed_on")
        .annotate(n=Count("pk"), first=Min("performed_at"), last=Max("performed_at"))
        .filter(n__gte=PACED_FROM)
    )
    paces: dict[int, list[float]] = defaultdict(list)
    for site, _who, _day, number, first, last in rows:
        if last > first:
            paces[site].append((last - first).total_seconds() / (number - 1))
    return {site: round(median(each)) for site, each in paces.items()}


def hurried(rates: Sequence[Rate], paces: Mapping[object, int]) -> list[str]:
    """Sites where nothing is ever rejected and the looks are quick: look at the inspecting."""
    return [rate.name for rate in rates if looks_hurried(rate, paces.get(rate.key))]


def spare_rows(rows: Sequence[Examined], days: int, days_away: int) -> list[SpareRow]:
    """Each class of which anything was rejected in the days looked at."""
    found = []
    for rate in rates_by(rows, "equipment_class", names_of(rows, [])["equipment_class"]):
        if rate.rejected:
            mean = away_at_once(rate.rejected * 365 / days, days_away)
            spares = spares_for(mean)
            found.append(SpareRow(rate.name, rate.rejected, mean, spares, covered_by(spares, mean)))
    return found


def life_wave(sites: Sequence[Site], today: date) -> Wave:
    """Every piece that may still be used, by the month in which its life ends."""
    rows = (
        Item.objects.filter(site__in=sites)
        .exclude(condition__in=GONE)
        .order_by()
        .values_list(
            *("product__equipment_class", "made_first_on", "first_used_on"),
            *("product__life_from_made_months", "product__life_from_first_use_months"),
        )
        .annotate(n=Count("pk"))
    )
    return wave((Alike(*row) for row in rows), regime_in_force().schemes, today)


def since(moment: datetime, days: int) -> date:
    """The first day looked at."""
    return (moment - timedelta(days=days)).date()
