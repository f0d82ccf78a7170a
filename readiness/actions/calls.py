"""What the wall sheet tells beside the answers of cover: the alarm, and that a sheet was begun."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from django.db import transaction

from readiness.actions.checking import refuse_unless_valid
from readiness.models import RescueCall, ShiftSheet
from register.models import Shift, Site, Stamp, record


@transaction.atomic
def write_call(
    site: Site,
    *,
    alarm: str,
    numbers: Sequence[tuple[str, str]],
    meeting_place: str = "",
    stamp: Stamp,
) -> RescueCall:
    """Keep how the alarm is raised, whom to ring and where help is met; a sheet that tells otherwise
    is superseded by it."""
    Site.objects.select_for_update().get(pk=site.pk)
    call = RescueCall.objects.filter(site=site).first() or RescueCall(site=site)
    call.alarm, call.meeting_place = " ".join(alarm.split()), " ".join(meeting_place.split())
    call.numbers = [[whom, number] for whom, number in numbers]
    refuse_unless_valid(call)
    call.save()
    told = "; ".join(f"{whom} {number}" for whom, number in numbers)
    notes = {"alarm": call.alarm, "numbers": told, "meeting_place": call.meeting_place}
    record("write-rescue-call", {site: {"numbers": len(numbers)}}, stamp=stamp, notes=notes)
    return call


@transaction.atomic
def begin_sheet(shift: Shift, *, day_on: date, stamp: Stamp) -> ShiftSheet:
    """The one sheet of this shift of this day, begun where there is none."""
    Site.objects.select_for_update().get(pk=shift.site_id)
    known = ShiftSheet.objects.filter(shift=shift, day_on=day_on).first()
    if known:
        return known
    sheet = ShiftSheet.objects.create(shift=shift, day_on=day_on)
    record("begin-sheet", {sheet: {"shift": shift.pk, "day_on": day_on.isoformat()}}, stamp=stamp)
    return sheet
