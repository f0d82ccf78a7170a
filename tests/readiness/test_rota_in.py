"""A rota, from a workbook or a calendar to who is where; who is not clearly named is absent."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import icalendar
import pytest
from dateutil.rrule import rrulestr
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import translation
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.models import Intake
from readiness.actions.rota import put_on_rota
from readiness.intake.rota.calendars import MOST_EVENTS, WINDOW, occurrences
from readiness.intake.rota.columns import HEADINGS, ROTA
from readiness.intake.rota.stated import clock_of
from readiness.models import RotaEntry
from register import clock
from register.actions.ledger import verify_ledger
from register.intake.blank import blank_workbook
from register.intake.columns import guess
from register.intake.reading import Cell, read
from register.intake.unreadable import Unreadable
from register.intake.wording import unreadable_told
from register.models import Person, Role, Shift, Site, Zone
from tests.factories import (
    DAY,
    NOON,
    PersonFactory,
    ShiftFactory,
    SiteFactory,
    ZoneFactory,
    stamp,
    user_as,
)

HEADS = "Name;Site;Date;Shift;From;To"


@pytest.fixture(autouse=True)
def noon_of_the_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "reading", lambda: NOON)


@pytest.fixture
def zone(site: Site) -> Zone:
    made: Zone = ZoneFactory(site=site, name="Gatehouse")
    return made


@pytest.fixture
def shifts(site: Site) -> tuple[Shift, Shift]:
    day = ShiftFactory(site=site, name="Day", begins=time(6), ends=time(18))
    night = ShiftFactory(site=site, name="Night", begins=time(18), ends=time(6))
    return day, night


@pytest.fixture
def ada(site: Site) -> Person:
    made: Person = PersonFactory(name="Ada Berg", employer="Tarn", home_site=site)
    return made


@pytest.fixture
def desk(
    client: Client, site: Site, zone: Zone, shifts: tuple[Shift, Shift], ada: Person
) -> Client:
    client.force_login(user_as(Role.SUPERVISOR, site))
    return client


def at(page: str, intake: Intake) -> str:
    return reverse(f"readiness:rota-in-{page}", args=[intake.pk])


def answer(client: Client, intake: Intake, answers: Mapping[str, str]) -> HttpResponse:
    form = client.get(at("file", intake), {"questions": 1}).context["form"]
    names = {question.name: f"q-{n}" for n, question in enumerate(form.asked)}
    sent = {}
    for name in form.fields:
        value = form[name].value()
        if value not in (None, False, ""):
            sent[name] = "on" if value is True else str(value)
    sent |= {names[key]: value for key, value in answers.items() if key in names}
    response: HttpResponse = client.post(at("file", intake), sent)
    return response


def looked_through(client: Client, text: str, name: str = "rota.csv", **answers: str) -> Intake:
    file = SimpleUploadedFile(name, text.encode())
    sent = client.post(reverse("readiness:rota-in"), {"file": file})
    assert sent.status_code == 302, sent.context["form"].errors
    intake = Intake.objects.latest("pk")
    for _round in range(3):
        reply = answer(client, intake, answers)
        assert reply.status_code == 302, reply.context["form"].errors
        intake.refresh_from_db()
        if intake.state != "read":
            break
    assert intake.state == "planned"
    return intake


def counts(intake: Intake) -> dict[str, int]:
    return {name: number for name, number in intake.counts.items() if number}


def told(intake: Intake, name: str) -> list[str]:
    return [row[3] for row in intake.findings["lists"][name]]


def csv(*lines: str, heads: str = HEADS) -> str:
    return "\r\n".join([heads, *lines])


def test_lines_put_people_on_shifts_and_come_again_without_effect(
    desk: Client, ada: Person, shifts: tuple[Shift, Shift]
) -> None:
    text = csv(
        "Ada Berg;Corrick Quay;10 Mar 2026;Day;;",
        "Ada Berg;corrick;11 Mar 2026;;08:00;18:00",
        "Ada Berg;Corrick Quay;12 Mar 2026;Night;;",
        "Ada Berg;Corrick Quay;14 Mar 2026;off;;",
        "Ada Berg;Corrick Quay;1 Mar 2026;Day;;",
    )
    intake = looked_through(desk, text)
    assert counts(intake) == {"in": 3, "off": 1, "past": 1}
    assert not RotaEntry.objects.exists()
    desk.post(at("apply", intake))
    held = {(one.day_on.day, one.shift.name, one.begins) for one in RotaEntry.objects.all()}
    assert held == {(10, "Day", None), (11, "Day", time(8)), (12, "Night", None)}
    assert not verify_ledger().misfits
    assert counts(looked_through(desk, text)) == {"known": 3, "off": 1, "past": 1}


def test_nobody_is_put_in_two_places_by_the_rotas_own_rule(
    desk: Client, site: Site, ada: Person, zone: Zone, shifts: tuple[Shift, Shift]
) -> None:
    there = SiteFactory(name="Elsewhere")
    far = ShiftFactory(site=there, name="Long", begins=time(5), ends=time(17))
    put_on_rota(
        there,
        people=[ada],
        days=[date(2026, 3, 10)],
        shift=far,
        zone=ZoneFactory(site=there),
        stamp=stamp(),
    )
    lines = ("Ada Berg;corrick;10 Mar 2026;Day;;", "Ada Berg;corrick;10 Mar 2026;Night;;")
    more = (
        "Ada Berg;corrick;11 Mar 2026;;06:00;18:00",
        "Ada Berg;corrick;11 Mar 2026;;17:00;18:00",
    )
    intake = looked_through(desk, csv(*lines, *more))
    assert counts(intake) == {"in": 2, "out": 2}
    assert "at Elsewhere then (Long, 05:00–17:00)" in told(intake, "out")[0]
    assert "on this shift already" in told(intake, "out")[1]


def test_who_is_not_clearly_named_is_listed_and_absent(desk: Client, site: Site) -> None:
    PersonFactory(name="Bo Crane", employer="Tarn", home_site=site)
    PersonFactory(name="Bo Crane", employer="Wold", home_site=site)
    lines = [f"{name};corrick;10 Mar 2026;Day;;" for name in ("Bo Crane", "Ada Bergh", "N. N.")]
    intake = looked_through(desk, csv(*lines))
    assert counts(intake) == {"absent": 3}
    desk.post(at("apply", intake))
    assert not RotaEntry.objects.exists()
    page = desk.get(at("file", intake)).content.decode()
    assert "Not clearly named, so absent: 3" in page


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("Ada Berg;Nowhere;10 Mar 2026;Day;;", "is none of your sites"),
        ("Ada Berg;corrick;10 Mar 2026;Twilight;;", "is no shift of Corrick Quay"),
        ("Ada Berg;corrick;10 Mar 2026;;04:00;12:00", "No shift of Corrick Quay runs so"),
        ("Ada Berg;corrick;10 Mar 2026;;dawn;12:00", "is no time of day"),
        ("Ada Berg;corrick;;Day;;", "There is no day"),
        ("Ada Berg;corrick;31/02/2026;Day;;", "There is no such day"),
        ("Ada Berg;corrick;10 Mar 2028;Day;;", "more than a year ahead"),
        ("Ada Berg;corrick;10 Mar 2026;;;", "Neither a shift nor hours"),
    ],
)
def test_what_is_wrong_with_a_line_is_told(line: str, sentence: str, desk: Client) -> None:
    intake = looked_through(desk, csv(line, "Ada Berg;corrick;13 Mar 2026;Day;;"))
    assert counts(intake) == {"in": 1, "out": 1}
    assert sentence in told(intake, "out")[0]


def test_a_rota_is_taken_back_but_for_days_that_have_begun(desk: Client) -> None:
    lines = (f"Ada Berg;corrick;{day} Mar 2026;Day;;" for day in (DAY.day, 10, 11))
    intake = looked_through(desk, csv(*lines))
    desk.post(at("apply", intake))
    desk.post(at("undo", intake))
    intake.refresh_from_db()
    assert [one.day_on for one in RotaEntry.objects.all()] == [DAY]
    assert intake.findings["undone"]["number"] == 2
    assert "1 entry of today or earlier stays" in intake.findings["undone"]["stays"][0]


def calendar(*events: str, more: str = "") -> str:
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//x//y//EN", *more.split("\n")]
    for number, event in enumerate(events):
        body = event.strip().split("\n")
        lines += [
            "BEGIN:VEVENT",
            f"UID:{number}@x",
            "DTSTAMP:20260101T000000Z",
            *body,
            "END:VEVENT",
        ]
    return "\r\n".join(line.strip() for line in [*lines, "END:VCALENDAR", ""] if line.strip())


LONDON = """BEGIN:VTIMEZONE
TZID:Europe/London
BEGIN:STANDARD
DTSTART:19701025T020000
RRULE:FREQ=YEARLY;BYMONTH=10;BYDAY=-1SU
TZOFFSETFROM:+0100
TZOFFSETTO:+0000
END:STANDARD
BEGIN:DAYLIGHT
DTSTART:19700329T010000
RRULE:FREQ=YEARLY;BYMONTH=3;BYDAY=-1SU
TZOFFSETFROM:+0000
TZOFFSETTO:+0100
END:DAYLIGHT
END:VTIMEZONE"""


def test_recurring_events_in_their_own_zone_keep_the_clock_on_site_over_the_change_of_summer_time(
    desk: Client,
) -> None:
    event = """SUMMARY:Ada Berg - Corrick Quay
    DTSTART;TZID=Europe/London:20260316T060000
    DTEND;TZID=Europe/London:20260316T180000
    RRULE:FREQ=WEEKLY;BYDAY=MO;COUNT=4
    EXDATE;TZID=Europe/London:20260323T060000"""
    intake = looked_through(desk, calendar(event, more=LONDON), "rota.ics")
    assert counts(intake) == {"in": 3}
    desk.post(at("apply", intake))
    days = [one.day_on for one in RotaEntry.objects.order_by("day_on")]
    assert days == [date(2026, 3, 16), date(2026, 3, 30), date(2026, 4, 6)]
    assert {(one.begins, one.ends) for one in RotaEntry.objects.all()} == {(None, None)}


def test_a_calendar_in_another_zone_is_turned_into_the_sites_hours(desk: Client) -> None:
    event = "SUMMARY:Ada Berg\nDTSTART:20260710T050000Z\nDTEND:20260710T170000Z"
    far = looked_through(desk, calendar(event.replace("0710", "0420")), "rota.ics")
    assert counts(far) == {"in": 1}  # 05:00 UTC is 06:00 at Corrick Quay in April
    assert "Day at Corrick Quay, from Gatehouse" in told(far, "in")[0]


def test_only_a_whole_name_in_a_calendar_is_somebody(desk: Client, site: Site) -> None:
    PersonFactory(name="Bo Crane", employer="Tarn", home_site=site)
    times = "DTSTART:20260310T060000\nDTEND:20260310T180000"
    late = times.replace("20260310", "20260311")
    text = calendar(
        f"SUMMARY:Ada Berg\\, Bo Crane\n{times}",
        f"SUMMARY:Ada covers\n{times}",
        f"SUMMARY:Shift\nATTENDEE;CN=Ada Berg:mailto:a@example.org\n{late}",
        f"SUMMARY:Ada Berg\nSTATUS:CANCELLED\n{late.replace('0311', '0312')}",
        "SUMMARY:Ada Berg\nDTSTART;VALUE=DATE:20260313\nDTEND;VALUE=DATE:20260314",
    )
    intake = looked_through(desk, text, "rota.ics")
    assert counts(intake) == {"in": 3, "absent": 1, "out": 1}
    assert "“Ada covers” names nobody" in told(intake, "absent")[0]
    assert "lasts all day" in told(intake, "out")[0]
    assert "example.org" not in str(intake.seen) + str(intake.findings)


def test_hours_after_midnight_belong_to_the_night_shift_of_the_day_before(desk: Client) -> None:
    event = "SUMMARY:Ada Berg\nDTSTART:20260311T003000\nDTEND:20260311T060000"
    intake = looked_through(desk, calendar(event), "rota.ics")
    desk.post(at("apply", intake))
    entry = RotaEntry.objects.get()
    assert (entry.day_on, entry.shift.name, entry.begins) == (
        date(2026, 3, 10),
        "Night",
        time(0, 30),
    )


def refused(text: str) -> str:
    with pytest.raises(Unreadable) as reason:
        occurrences(text.encode(), DAY)
    assert unreadable_told(reason.value)
    return reason.value.code


def test_calendars_without_bounds_are_refused_before_they_are_expanded() -> None:
    times = "SUMMARY:A\nDTSTART:20260310T060000\nDTEND:20260310T180000"
    old = times.replace("DTSTART:2026", "DTSTART:0001")
    assert refused(calendar(f"{times}\nRRULE:FREQ=SECONDLY")) == "calendar-too-often"
    assert refused(calendar(f"{times}\nRRULE:FREQ=DAILY;BYMINUTE=0,1,2")) == "calendar-too-often"
    assert refused(calendar(f"{old}\nRRULE:FREQ=DAILY")) == "calendar-too-old"
    assert refused(calendar(*[times] * (MOST_EVENTS + 1))) == "calendar-too-many"
    assert refused("BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nnonsense") == "calendar-damaged"


FREQUENCIES = st.sampled_from(["DAILY", "WEEKLY", "MONTHLY"])


@settings(max_examples=40)
@given(
    FREQUENCIES,
    st.integers(1, 4),
    st.integers(1, 28),
    st.integers(0, 60),
    st.sampled_from(["", "until"]),
)
def test_recurring_days_are_those_of_dateutil(
    frequency: str, interval: int, first: int, ago: int, ends: str
) -> None:
    """Held to dateutil's own expansion of the rule (RFC 5545, 3.3.10)."""
    start = datetime(2026, 3, first, 6, tzinfo=UTC) - timedelta(days=ago)
    last = DAY + timedelta(days=40)
    rule = f"FREQ={frequency};INTERVAL={interval}" + (
        f";UNTIL={last:%Y%m%d}T000000Z" if ends else ""
    )
    begins = f"DTSTART:{start:%Y%m%dT%H%M%SZ}\nDTEND:{start:%Y%m%d}T180000Z"
    text = calendar(f"SUMMARY:A\n{begins}\nRRULE:{rule}")
    found = [one.begins for one in occurrences(text.encode(), DAY)]
    midnight = datetime.combine(DAY, time(0), tzinfo=UTC)
    whole = rrulestr(rule, dtstart=start)
    assert found == [
        day
        for day in whole.between(midnight, midnight + WINDOW, inc=True)
        if day < midnight + WINDOW
    ]


def test_single_events_are_those_the_icalendar_library_reads() -> None:
    made = icalendar.Calendar()
    zone = ZoneInfo("Europe/Warsaw")
    moments = [datetime(2026, 3, 9 + n, 22, tzinfo=zone) for n in range(5)]
    for number, moment in enumerate(moments):
        event = icalendar.Event()
        event.add("uid", f"{number}@x")
        event.add("summary", "A")
        event.add("dtstart", moment)
        event.add("duration", timedelta(hours=8))
        made.add_component(event)
    found = occurrences(made.to_ical(), DAY)
    assert [one.begins for one in found] == moments
    assert [one.ends for one in found] == [moment + timedelta(hours=8) for moment in moments]


@pytest.mark.parametrize(
    ("cell", "read_as"),
    [
        ("06:00", time(6)),
        ("6.30", time(6, 30)),
        ("0600", time(6)),
        ("06:00:00", time(6)),
        ("6 pm", time(18)),
        ("12am", time(0)),
        ("24:00", time(0)),
        (0.25, time(6)),
        (0.75, time(18)),
        (6, time(6)),
        ("25:00", None),
        ("dawn", None),
        (None, None),
    ],
)
def test_a_time_of_day_is_read_as_people_write_it(cell: Cell, read_as: time | None) -> None:
    assert clock_of(cell) == read_as


@pytest.mark.parametrize("language", ["en", "pl"])
def test_the_empty_workbook_maps_by_itself(language: str) -> None:
    with translation.override(language):
        names = [translation.gettext(ROTA.fields[slug].name) for slug in HEADINGS]
        content = blank_workbook([(name, "x") for name in names])
    sheets = read(content, "blank.xlsx")
    hit = guess(list(sheets.open_sheet(sheets.names[0]).rows()), None, ROTA)
    assert list(hit.mapping.values()) == list(HEADINGS)
