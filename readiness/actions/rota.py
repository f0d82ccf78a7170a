"""Who is where on which shift. Who is not on the rota is absent."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.db import transaction

from readiness.actions.checking import refuse_other_site
from readiness.models import RotaEntry
from register.models import Person, Shift, Site, Stamp, Zone, record
from register.refusal import Refusal
from register.wording import shown_day

MOST_DAYS = 62
"""Two months at once: more is rather a slip of the pen than a rota."""


@transaction.atomic
def put_on_rota(
    site: Site,
    *,
    people: Sequence[Person],
    days: Sequence[date],
    shift: Shift,
    zone: Zone,
    stamp: Stamp,
) -> list[RotaEntry]:
    """Put each of these people on the shift on each of these days, starting from the zone."""
    people = _locked(people)
    wanted = sorted(set(days))
    _refuse_too_few_or_many(people, wanted)
    refuse_other_site([shift, zone], site)
    _refuse_who_left(people, wanted)
    _refuse_double(people, wanted, shift)
    entries = [
        RotaEntry(site=site, person=person, day_on=day, shift=shift, zone=zone)
        for person in people
        for day in wanted
    ]
    kept = RotaEntry.objects.bulk_create(entries)
    facts = {
        "site": site.code,
        "shift": shift.name,
        "zone": zone.code,
        "days": [day.isoformat() for day in wanted],
    }
    record("put-on-rota", dict.fromkeys(people, facts), stamp=stamp, sites=[site])
    return kept


def _locked(people: Sequence[Person]) -> list[Person]:
    ids = [person.pk for person in people]
    return list(Person.objects.select_for_update().filter(pk__in=ids).order_by("pk"))


def _refuse_too_few_or_many(people: Sequence[Person], days: Sequence[date]) -> None:
    if not people or not days:
        raise Refusal("nobody", "Choose at least one person and one day.")
    if len(days) > MOST_DAYS:
        raise Refusal("too-many-days", f"At most {MOST_DAYS} days at once.")


def _refuse_who_left(people: Sequence[Person], days: Sequence[date]) -> None:
    gone = [one for one in people if one.left_on is not None and one.left_on <= days[-1]]
    if gone:
        names = ", ".join(f"{one} ({shown_day(one.left_on)})" for one in gone if one.left_on)
        raise Refusal("has-left", f"No longer employed by then: {names}.")


def _refuse_double(people: Sequence[Person], days: Sequence[date], shift: Shift) -> None:
    """Nobody is twice on one shift, nor at two sites in the same hours (each in its own time)."""
    near = sorted({day + timedelta(days=by) for day in days for by in (-1, 0, 1)})
    held = RotaEntry.objects.filter(person__in=people, day_on__in=near)
    for entry in held.select_related("person", "shift__site", "site").order_by("day_on", "pk"):
        where = f"{entry.person} on {shown_day(entry.day_on)}"
        if entry.shift_id == shift.pk and entry.day_on in days:
            raise Refusal(
                "on-the-rota-already", f"{where}: on this shift already. Take that off first."
            )
        if entry.site_id != shift.site_id and _meets(entry, days, shift):
            raise Refusal(
                "at-another-site",
                f"{where}: at {entry.site} then ({entry.shift.hours}). Take that off first.",
            )


def _meets(entry: RotaEntry, days: Sequence[date], shift: Shift) -> bool:
    begins, ends = hours_of(entry.shift, entry.day_on)
    spans = (hours_of(shift, day) for day in days)
    return any(starts < ends and begins < stops for starts, stops in spans)


def hours_of(shift: Shift, day: date) -> tuple[datetime, datetime]:
    """When the shift of that day begins and ends, on its own site's clock."""
    place = ZoneInfo(shift.site.time_zone)
    last = day if shift.ends > shift.begins else day + timedelta(days=1)
    begins = datetime.combine(day, shift.begins, tzinfo=place)
    ends = datetime.combine(last, shift.ends, tzinfo=place)
    return begins.astimezone(UTC), ends.astimezone(UTC)


@transaction.atomic
def take_off_rota(entry: RotaEntry, *, stamp: Stamp) -> None:
    """The person is not there after all."""
    entry = (
        RotaEntry.objects.select_for_update(of=("self",))
        .select_related("person", "shift", "site")
        .get(pk=entry.pk)
    )
    facts = {
        "site": entry.site.code,
        "shift": entry.shift.name,
        "days": [entry.day_on.isoformat()],
    }
    record("take-off-rota", {entry.person: facts}, stamp=stamp, sites=[entry.site])
    entry.delete()
