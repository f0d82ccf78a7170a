"""Who is where on which shift. Who is not on the rota is absent."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, time, timedelta
from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils.translation import gettext as _

from readiness.actions.checking import refuse_other_site
from readiness.models import RotaEntry
from readiness.rules.windows import Window, hours_of, hours_there
from register.models import Person, Shift, Site, Stamp, Zone, record
from register.refusal import Refusal
from register.wording import shown_day

OwnHours = tuple[time | None, time | None]
"""When somebody comes and goes; None is with the shift."""

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
    own_hours: OwnHours = (None, None),
    stamp: Stamp,
) -> list[RotaEntry]:
    """Put each of these people on the shift on each of these days, starting from the zone.

    `own_hours`: who comes later or goes earlier than the shift counts only in the hours between.
    """
    people = _locked(people)
    wanted = sorted(set(days))
    _refuse_too_few_or_many(people, wanted)
    refuse_other_site([shift, zone], site)
    _refuse_who_left(people, wanted)
    entries = _entries(site, (people, wanted), shift, zone, own_hours)
    _refuse_hours(entries)
    kept = RotaEntry.objects.bulk_create(entries)
    facts = {"zone": zone.code, "days": [day.isoformat() for day in wanted], **_told(own_hours)}
    facts |= {"site": site.code, "shift": shift.name}
    record("put-on-rota", dict.fromkeys(people, facts), stamp=stamp, sites=[site])
    return kept


def _entries(
    site: Site,
    who: tuple[Sequence[Person], Sequence[date]],
    shift: Shift,
    zone: Zone,
    own_hours: OwnHours,
) -> list[RotaEntry]:
    """One for each person and day, not yet kept."""
    people, days = who
    begins, ends = own_hours
    there = {"site": site, "shift": shift, "zone": zone, "begins": begins, "ends": ends}
    return [RotaEntry(person=person, day_on=day, **there) for person in people for day in days]


def _locked(people: Sequence[Person]) -> list[Person]:
    ids = [person.pk for person in people]
    return list(Person.objects.select_for_update().filter(pk__in=ids).order_by("pk"))


def _refuse_too_few_or_many(people: Sequence[Person], days: Sequence[date]) -> None:
    if not people or not days:
        raise Refusal("nobody", _("Choose at least one person and one day."))
    if len(days) > MOST_DAYS:
        raise Refusal(
            "too-many-days", _("At most %(MOST_DAYS)s days at once.") % {"MOST_DAYS": MOST_DAYS}
        )


def _refuse_who_left(people: Sequence[Person], days: Sequence[date]) -> None:
    gone = [one for one in people if one.left_on is not None and one.left_on <= days[-1]]
    if gone:
        names = ", ".join(f"{one} ({shown_day(one.left_on)})" for one in gone if one.left_on)
        raise Refusal("has-left", _("No longer employed by then: %(names)s.") % {"names": names})


def _told(own: OwnHours) -> dict[str, str]:
    """For the ledger, where they differ from the shift's."""
    both = zip(("comes_at", "goes_at"), own, strict=True)
    return {key: at.isoformat("minutes") for key, at in both if at is not None}


def _refuse_hours(entries: Sequence[RotaEntry]) -> None:
    _refuse_outside(entries[0])
    _refuse_double(entries)


def _refuse_outside(entry: RotaEntry) -> None:
    """Hours of one's own lie within those of the shift, the coming before the going."""
    shift, zone = entry.shift, ZoneInfo(entry.shift.site.time_zone)
    first, last = hours_of(entry.day_on, shift.begins, shift.ends, zone)
    comes, goes = _there(entry)
    if not first <= comes < goes <= last:
        raise Refusal(
            "outside-the-shift",
            _(
                "%(shift)s runs %(hours)s: who comes later or goes earlier does so within these"
                " hours, and comes before they go. Put it right, or leave it empty."
            )
            % {"shift": entry.shift, "hours": entry.shift.hours},
        )


def _refuse_double(entries: Sequence[RotaEntry]) -> None:
    """Nobody is twice on one shift, nor in two places in the same hours, here or elsewhere."""
    new = {(one.person_id, one.day_on): one for one in entries}
    near = {one.day_on + timedelta(days=by) for one in entries for by in (-1, 0, 1)}
    held = RotaEntry.objects.filter(
        person__in={one.person_id for one in entries}, day_on__in=sorted(near)
    )
    for entry in held.select_related("person", "shift__site", "site").order_by("day_on", "pk"):
        for by in (0, -1, 1):
            other = new.get((entry.person_id, entry.day_on + timedelta(days=by)))
            clash = clash_of(other, entry) if other is not None else None
            if clash:
                raise clash


def clash_of(new: RotaEntry, held: RotaEntry) -> Refusal | None:
    """Why one person cannot be on both: the same shift twice, or two places in the same hours."""
    where = f"{held.person} on {shown_day(held.day_on)}"
    if (held.day_on, held.shift_id) == (new.day_on, new.shift_id):
        return Refusal(
            "on-the-rota-already",
            _("%(where)s: on this shift already. Take that off first.") % {"where": where},
        )
    if abs(held.day_on - new.day_on) > timedelta(days=1) or not _meet(held, new):
        return None
    return Refusal(
        "on-two-shifts" if held.site_id == new.site_id else "at-another-site",
        _("%(where)s: at %(site)s then (%(shift)s, %(hours)s). Take that off first.")
        % {"where": where, "site": held.site, "shift": held.shift, "hours": held.shift.hours},
    )


def _meet(one: RotaEntry, other: RotaEntry) -> bool:
    (begins, ends), (starts, stops) = _there(one), _there(other)
    return begins < stops and starts < ends


def _there(entry: RotaEntry) -> Window:
    """When the person comes and goes, by the clock of the shift's own site."""
    shift = entry.shift
    zone, own = ZoneInfo(shift.site.time_zone), (entry.begins, entry.ends)
    return hours_there(entry.day_on, (shift.begins, shift.ends), own, zone)


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
