"""A rota on its way in: what it would do, doing it, taking it back."""

from __future__ import annotations

from datetime import date, timedelta

from django.db import transaction
from django.utils.translation import gettext_noop, ngettext

from inspections.intake.ways import Line, ListOf, Undone, Way
from inspections.models import Intake
from readiness.actions.rota import put_on_rota, take_off_rota
from readiness.intake.known import people_now, sites_now
from readiness.intake.rota.answers import Answered, questions, see
from readiness.intake.rota.calendars import read_rota
from readiness.intake.rota.columns import ROTA
from readiness.intake.rota.judging import Judge, Put
from readiness.intake.rota.stated import NAMED_BY, lines_of
from readiness.intake.training.columns import PERSONAL
from readiness.models import RotaEntry
from register.intake.reading import Sheets
from register.models import Person, Shift, Site, Stamp, Zone
from register.refusal import Refusal

# fmt: off
LISTS = (
    ListOf(slug="absent", name=gettext_noop("Not clearly named, so absent"), about=gettext_noop("Nobody counts by these lines, whoever may be meant."), stays_out=True, is_loud=True),
    ListOf(slug="in", name=gettext_noop("Go in"), acts=True),
    ListOf(slug="out", name=gettext_noop("Stay out"), about=gettext_noop("Once the others are in you get these lines back as a workbook, each with its reason."), stays_out=True),
    ListOf(slug="differs", name=gettext_noop("Differ from the rota")),
    ListOf(slug="known", name=gettext_noop("On the rota already")),
    ListOf(slug="twice", name=gettext_noop("Same line again")),
    ListOf(slug="off", name=gettext_noop("Not there")),
    ListOf(slug="past", name=gettext_noop("Over already")),
)
# fmt: on


def plan(intake: Intake, sheets: Sheets) -> list[Line]:
    """What each line would do; nothing is changed."""
    seen = intake.seen
    proved = seen["order"] if seen["order"] in {"day-first", "month-first"} else ""
    order = intake.choices.get("date_order", "") or proved
    left_out = frozenset(intake.choices.get("left_out", ()))
    judge = judge_of(intake, intake.brought_on)
    mapping = ROTA_WAY.mapping(intake)
    return judge.lines(lines_of(sheets, mapping, order=order, left_out=left_out))


def judge_of(intake: Intake, on: date) -> Judge:
    """All that lines are judged by, read in a fixed number of queries."""
    sites = list(sites_now(intake))
    shifts: dict[int, list[Shift]] = {}
    zones: dict[int, list[Zone]] = {}
    for shift in Shift.objects.filter(site__in=sites).select_related("site").order_by("begins"):
        shifts.setdefault(shift.site_id, []).append(shift)
    for zone in Zone.objects.filter(site__in=sites):
        zones.setdefault(zone.site_id, []).append(zone)
    held: dict[int, list[RotaEntry]] = {}
    entries = RotaEntry.objects.filter(day_on__gte=on - timedelta(days=2))
    for entry in entries.select_related("person", "shift__site", "site").order_by("day_on", "pk"):
        held.setdefault(entry.person_id, []).append(entry)
    return Judge(
        on=on,
        answered=Answered(intake),
        people=people_now(intake),
        sites=sites,
        shifts=shifts,
        zones=zones,
        held=held,
    )


def act(intake: Intake, line: Line, stamp: Stamp) -> str:
    """Put one person on one shift; the key of the entry."""
    return str(put(line.act, stamp).pk)


def put(wanted: Put, stamp: Stamp) -> RotaEntry:
    """By the rota's own act, which refuses what has come in the way meanwhile."""
    (entry,) = put_on_rota(
        Site.objects.get(pk=wanted.site),
        people=[Person.objects.get(pk=wanted.person)],
        days=[wanted.day],
        shift=Shift.objects.select_related("site").get(pk=wanted.shift),
        zone=Zone.objects.get(pk=wanted.zone),
        own_hours=wanted.own_hours,
        stamp=stamp,
    )
    return entry


def undo(intake: Intake, stamp: Stamp) -> Undone:
    """Off the rota again, but for the days that have begun: people were there, or were counted on."""
    entries = RotaEntry.objects.filter(pk__in=intake.made).select_related("site", "person")
    begun = [one for one in entries if one.day_on <= stamp.at.date()]
    stays, number = ([_days_stay(len(begun))] if begun else []), 0
    for one in entries:
        if one in begun:
            continue
        try:
            with transaction.atomic():
                take_off_rota(one, stamp=stamp.again())
        except Refusal as refusal:
            stays.append(refusal.sentence)
        else:
            number += 1
    return Undone(taken_back=number, stays=stays)


def _days_stay(number: int) -> str:
    return ngettext(
        "%(n)d entry of today or earlier stays; take it off by hand if nobody was there.",
        "%(n)d entries of today or earlier stay; take them off by hand if nobody was there.",
        number,
    ) % {"n": number}


ROTA_WAY = Way(
    kind=Intake.Kind.ROTA,
    book=ROTA,
    lists=LISTS,
    see=see,
    questions=questions,
    plan=plan,
    act=act,
    undo=undo,
    needed=(NAMED_BY, ("day", "begins_at")),
    unseen=frozenset({PERSONAL}),
    read=read_rota,
)
