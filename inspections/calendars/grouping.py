"""Pieces in one line, and the sites and classes that a feed is asked for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from register.models import Item, Person, Site
from register.wording import class_name, lower_first

AHEAD_DAYS = 91
"""How far ahead what falls due is told: a quarter, as on the page of the work ahead."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """These sites, on the site's own today; of one class or all; of all people or of one.

    One's own calendar names the site in each line and asks about what the person holds or is to do.
    """

    sites: Sequence[Site]
    today: date
    equipment_class: str = ""
    person: Person | None = None

    @property
    def until(self) -> date:
        return self.today + timedelta(days=AHEAD_DAYS)

    def of_class(self, items: QuerySet[Item]) -> QuerySet[Item]:
        if not self.equipment_class:
            return items
        return items.filter(product__equipment_class=self.equipment_class)


def classes_words(classes: Iterable[str], most: int = 100) -> str:
    """'harness 12; lanyard 4', the most first; of many classes the rest is counted together."""
    counted = sorted(Counter(classes).items(), key=lambda one: (-one[1], one[0]))
    said = [f"{lower_first(class_name(slug))} {number}" for slug, number in counted[:most]]
    if rest := sum(number for _slug, number in counted[most:]):
        said.append(_("others %(n)d") % {"n": rest})
    return "; ".join(said)


def address_of(site: Site) -> str:
    return ", ".join(part for part in (site.name, site.address) if part)
