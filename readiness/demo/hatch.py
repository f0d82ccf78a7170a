"""Over the hatch: who was given what, what came back, and what went from the stores to a site."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from functools import partial

from inspections.actions.using import issue, take_back
from readiness.demo.world import Happening, World
from register.actions.custody import arrive, dispatch
from register.models import Item, Person
from register.refusal import Refusal
from register.rules.conditions import Condition

WORN = ("harness", "energy-absorbing-lanyard", "positioning-lanyard", "retractable", "helmet")
MORNINGS = {"corrick": 10, "skelhope": 9, "hollin": 6, "pellow": 5, "northmere": 6, "ashby": 2}
AT_THE_HATCH = 7  # pieces handed out in a morning
TAKES = {"ashby": "petra", "corrick": "morag", "skelhope": "sunniva"}
BACK_ANSWERS = (("no", "no"),) * 7 + (("unsure", "no"), ("no", "yes"), ("no", "unsure"))
SENT_OUT = ((26, "corrick"), (19, "northmere"), (12, "hollin"), (1, "skelhope"))


def hatch(world: World) -> Iterator[Happening]:
    for site, mornings in MORNINGS.items():
        for number in range(mornings):
            days = 2 + number * 56 // mornings + world.chance.randint(0, 2)
            yield Happening(world.moment(-days, 6, 35), partial(_morning, world, site, -days))
    for days, site in SENT_OUT:
        yield Happening(world.moment(-days, 12), partial(_send_out, world, site, days))


def _morning(world: World, site: str, day: int, at: datetime) -> None:
    """Some things come back, then the queue is served."""
    _take_some_back(world, site, at)
    items = _sample(world, _on_the_rack(site), world.some(AT_THE_HATCH))
    wearers = Person.objects.filter(home_site=world.sites[site], authorisations=None)
    people = list(wearers.order_by("pk"))
    for number, item in enumerate(items):
        stamp = world.stamp(TAKES.get(site, "petra"), at + timedelta(minutes=2 * number))
        try:
            issue(item, to=world.chance.choice(people), due_back_on=_due(world, day), stamp=stamp)
        except Refusal:
            continue  # as at any hatch: not in date for so long, and the next one is taken


def _due(world: World, day: int) -> date | None:
    """For some days or weeks, or for as long as the person stays; some of them have passed."""
    lot = world.chance.random()
    return world.on(day + world.chance.randint(7, 75)) if lot < 0.6 else None  # noqa: PLR2004


def _on_the_rack(site: str) -> list[Item]:
    rack = Item.objects.filter(
        site__code=site,
        custody="stores",
        condition=Condition.IN_SERVICE,
        product__equipment_class__in=WORN,
    )
    rack = rack.exclude(use_class="rescue")
    return list(rack.select_related("product", "site").order_by("pk"))


def _sample(world: World, items: list[Item], count: int) -> list[Item]:
    return world.chance.sample(items, min(count, len(items)))


def _take_some_back(world: World, site: str, at: datetime) -> None:
    held = list(Item.objects.filter(site__code=site, custody="person").order_by("pk"))
    for item in _sample(world, held, world.some(len(held) / 14 / world.share) if held else 0):
        loaded, wrong = world.chance.choice(BACK_ANSWERS)
        stamp = world.stamp(TAKES.get(site, "petra"), at)
        take_back(item, loaded=loaded, wrong=wrong, note="over the hatch", stamp=stamp)


def _send_out(world: World, site: str, days: int, at: datetime) -> None:
    """A few pieces from the stores; what was sent yesterday is still on its way."""
    for item in _sample(world, _on_the_rack("ashby"), world.some(6)):
        dispatch(item, to=world.sites[site], stamp=world.stamp("petra", at))
        if days > 1:
            stamp = world.stamp("petra", at + timedelta(hours=20))
            arrive(item, at=world.sites[site], stamp=stamp)
