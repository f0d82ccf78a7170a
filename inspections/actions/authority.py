"""Who relied on what right to inspect, and whether the inspection counts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from inspections.models import Authorisation
from inspections.rules.kinds import MOVES_NOTHING
from register.models import Item, Movement, Person


@dataclass(frozen=True, slots=True)
class Standing:
    """Why an inspection does not count ('' where it does), and the authorisation relied on."""

    not_because: str
    authority: Authorisation | None = None


def standing_of(item: Item, inspector: Person | None, kind: str, on: date) -> Standing:
    """Judged for the class, the kind and the day, and for whether they inspect their own."""
    if inspector is None:
        return Standing("no-inspector")
    authority = authority_of(inspector, item, kind, on)
    if kind in MOVES_NOTHING:
        return Standing("kind-moves-nothing", authority)
    if authority is None:
        return Standing("not-authorised")
    holds = inspector.pk in users_of(item, _end_of(item, on))
    return Standing("holds-the-item" if holds else "", authority)


def why_it_does_not_count(item: Item, inspector: Person | None, kind: str, on: date) -> str:
    """'' where it counts, else 'no-inspector', 'kind-moves-nothing', 'not-authorised' or
    'holds-the-item'."""
    return standing_of(item, inspector, kind, on).not_because


def users_of(item: Item, moment: datetime) -> set[int]:
    """To whom it was issued last before the moment, and who holds it though no issue says since
    when: not independent. Who got it later is no reason, whenever the look is recorded."""
    issues = item.movements.filter(kind=Movement.Kind.ISSUED)
    before = issues.filter(at__lt=moment).order_by("-at", "-pk")
    last = before.values_list("person_id", flat=True).first()
    later = item.holder_id and issues.filter(person=item.holder_id, at__gte=moment).exists()
    return {pk for pk in (last, None if later else item.holder_id) if pk is not None}


def authority_of(inspector: Person, item: Item, kind: str, on: date) -> Authorisation | None:
    """The authorisation for this class and kind on that day, of several the one that runs longest.

    None also for somebody who had left by then.
    """
    given = _authorisations(inspector, item, on)
    return next((one for one in given if not one.kinds or kind in one.kinds), None)


def authorised_for_class(person: Person, item: Item, on: date) -> bool:
    """Whether the person held an authorisation for this class on that day, for whatever kind."""
    return bool(_authorisations(person, item, on))


def _authorisations(person: Person, item: Item, on: date) -> list[Authorisation]:
    """Those for the class on that day, the one that runs longest first."""
    if person.left_on and person.left_on <= on:
        return []
    given = Authorisation.objects.filter(person=person, from_on__lte=on, through_on__gte=on)
    kind = item.product.equipment_class
    rows = given.order_by("-through_on", "pk")
    return [one for one in rows if not one.classes or kind in one.classes]


def _end_of(item: Item, day: date) -> datetime:
    return datetime.combine(day + timedelta(days=1), time(0), tzinfo=ZoneInfo(item.site.time_zone))
