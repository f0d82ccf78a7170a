"""Rows for tests, with a sensible rest; factory-boy, and nothing else."""

from __future__ import annotations

import base64
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

import factory

from inspections.conditions import refresh_due
from inspections.models import Authorisation, Inspection, Intake
from readiness.models import RotaFeed
from register.actions.marking import fresh_codes, tag_of
from register.models import (
    Document,
    Grant,
    Item,
    Kit,
    KitPart,
    Person,
    Product,
    Role,
    Shift,
    Site,
    Stamp,
    User,
    Zone,
)
from register.rules.conditions import Condition
from register.rules.serials import serial_key

DAY = date(2026, 3, 9)
PNG = base64.b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mP8z8BQDwAEhQGAhKmMIQAAAABJRU5ErkJggg=="
)
NOON = datetime(2026, 3, 9, 12, 0, tzinfo=UTC)


class SiteFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Site

    code = factory.Sequence(lambda n: f"site-{n}")
    name = factory.Sequence(lambda n: f"Site {n}")


class ZoneFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Zone

    site = factory.SubFactory(SiteFactory)
    code = factory.Sequence(lambda n: f"z{n}")
    name = factory.Sequence(lambda n: f"Zone {n}")


class ShiftFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Shift

    site = factory.SubFactory(SiteFactory)
    name = "Day"
    begins = time(6)
    ends = time(18)


class PersonFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Person

    name = factory.Sequence(lambda n: f"Person {n}")


class UserFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = User

    username = factory.Sequence(lambda n: f"user-{n}")
    person = factory.SubFactory(PersonFactory)


class ProductFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Product

    maker = "Halvard Textiles"
    designation = factory.Sequence(lambda n: f"Model {n}")
    equipment_class = "harness"


class ItemFactory(factory.django.DjangoModelFactory):
    """An item in service and accepted on DAY - 30, with its tag."""

    class Meta:
        model = Item

    code = factory.LazyFunction(lambda: fresh_codes(1)[0])
    product = factory.SubFactory(ProductFactory)
    serial = factory.Sequence(lambda n: f"HT-{n:05}")
    serial_key = factory.LazyAttribute(lambda item: serial_key(item.serial))
    made_first_on = date(2025, 1, 1)
    made_last_on = date(2025, 1, 31)
    made_precision = "month"
    condition = Condition.IN_SERVICE
    accepted_on = DAY - timedelta(days=30)
    site = factory.SubFactory(SiteFactory)

    @classmethod
    def _create(cls, model_class: type[Item], *args: Any, **kwargs: Any) -> Item:
        item: Item = super()._create(model_class, *args, **kwargs)
        tag_of(item, stamp()).save()
        refresh_due([item])
        return item


def stamp(by: User | None = None, at: datetime = NOON) -> Stamp:
    """Who acts, at noon of DAY."""
    return Stamp(by=by, at=at)


def user_as(role: Role | str, site: Site | None = None, **particulars: Any) -> User:
    """A user who holds one role, at one site or at all."""
    user: User = UserFactory(**particulars)
    Grant.objects.create(user=user, role=role, site=site)
    return user


def inspector(site: Site | None = None, on: date = DAY) -> User:
    """A competent person authorised for every class and kind around the day."""
    user = user_as(Role.COMPETENT, site)
    Authorisation.objects.create(
        person=user.person,
        from_on=on - timedelta(days=365),
        through_on=on + timedelta(days=365),
    )
    return user


def passed(
    item: Item, on: date = DAY, kind: str = "detailed", verdict: str = "pass", **particulars: Any
) -> Inspection:
    """A pass that counts, on record for the item."""
    moment = datetime.combine(on, time(10), tzinfo=UTC)
    inspection = Inspection.objects.create(
        item=item,
        kind=kind,
        verdict=verdict,
        performed_on=on,
        performed_at=moment,
        recorded_at=moment,
        counts=True,
        **particulars,
    )
    refresh_due([item])
    return inspection


def kit_of(site: Site, *roles: str, name: str = "RK-01", on: date = DAY) -> Kit:
    """A sealed kit in service at the site, each part in date from the day."""
    bag = ItemFactory(
        site=site, product=ProductFactory(equipment_class="rescue-kit"), custody="site"
    )
    passed(bag, on, "thorough-examination", covers_periodic=True)
    passed(bag, on, "kit-check")
    kit = Kit.objects.create(item=bag, name=name, seal_number="S-1", seal_intact=True)
    for role in roles or ("descender", "rope"):
        kind = role if role in ("descender", "rope", "pulley", "connector") else "sling"
        part = ItemFactory(
            site=site, product=ProductFactory(equipment_class=kind), custody="kit", kit=kit
        )
        passed(part, on, "thorough-examination", covers_periodic=True)
        KitPart.objects.create(kit=kit, role=role, item=part)
    return kit


def files_in(document: Document, site: Site) -> dict[str, int]:
    """One file of each kind that brings something in, just read."""
    kinds = [kind for kind in Intake.Kind if kind != Intake.Kind.EQUIPMENT]
    lacks = {"kind": False, "examiner": False, "performed": False}
    words: dict[str, Any] = {"verdicts": {}, "kinds": {}, "examiners": {}, "lacks": lacks}
    lacks_of_people = {"dated": False, "employer": False, "site": False, "zone": False}
    words |= {"trainings": {}, "people": [], "needs": lacks_of_people, "taken": [], "bare": []}
    words |= {"sites": {}, "shifts": {}}
    seen = {"sheets": [], "order": "day-first", "examples": [], **words}
    times = {"brought_on": DAY, "started_at": NOON, "moved_at": NOON}
    common = {"document": document, "site": site, "leftover": document, "seen": seen, **times}
    return {str(kind): Intake.objects.create(kind=kind, **common).pk for kind in kinds}


def rota_feed(site: Site, zone: Zone) -> RotaFeed:
    """A calendar that the rota of the site follows, not yet asked."""
    address = f"https://calendar.example/{site.code}.ics"
    return RotaFeed.objects.create(site=site, zone=zone, address=address, followed_at=NOON)
