"""Cover by slices of time: the worked hours, and what is true of every division of time."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from readiness.rules.cover import Answer
from readiness.rules.situation import Competence
from readiness.rules.spans import spans
from readiness.rules.timeline import AnchorTime, KitTime, PersonTime, Stay, TaskTime, Timeline, Work
from tests.readiness.timelines import (
    DAY,
    FAMILY,
    anchor,
    at,
    first_aider,
    kit,
    rescuer,
    site,
    task,
    there,
    whole,
    worked,
    worker,
)


def along(timeline: Timeline, name: str = "T1", day: date = DAY) -> list[tuple[str, str, str]]:
    """(from, until, what) by the clock on site, from midnight to midnight."""
    found = []
    for span in spans(timeline, *whole(day)):
        clock = [moment.astimezone(timeline.zone) for moment in (span.begins, span.ends)]
        answer = span.answers.get(name)
        found.append((f"{clock[0]:%H:%M}", f"{clock[1]:%H:%M}", said(answer)))
    return found


def said(answer: Answer | None) -> str:
    if answer is None:
        return "not worked"
    return ", ".join(reason.code for reason in answer.reasons) or answer.state


def test_a_kit_behind_a_key_covers_only_while_the_key_is_there() -> None:
    """Worked hours: cabinet key 06:00 to 16:00, task round the clock."""
    cabinet = KitTime(kit(), in_reach=((at("06:00"), at("16:00")),))
    ground = site([worked(task(), whole())], [cabinet], [rescuer("Ada", whole())])

    assert along(ground) == [
        ("00:00", "06:00", "kit-out-of-reach"),
        ("06:00", "16:00", "covered-no-backup"),
        ("16:00", "00:00", "kit-out-of-reach"),
    ]


@pytest.mark.parametrize(
    ("second", "expected"),
    [
        ("14:00", [("06:00", "14:00", "Ada"), ("14:00", "22:00", "Bela")]),
        (
            "14:15",
            [
                ("06:00", "14:00", "Ada"),
                ("14:00", "14:15", "no-rescuer"),
                ("14:15", "22:00", "Bela"),
            ],
        ),
    ],
)
def test_a_rescuer_who_comes_late_leaves_a_gap_of_just_so_long(
    second: str, expected: list[tuple[str, str, str]]
) -> None:
    """Worked hours: A 06-14, B 14-22, task 06-22; and B from 14:15."""
    hours = (at("06:00"), at("22:00"))
    people = [
        rescuer("Ada", (at("06:00"), at("14:00"))),
        rescuer("Bela", (at(second), at("22:00"))),
        first_aider("Fern", whole()),
    ]
    ground = site([worked(task(), hours)], [there(kit())], people)

    found = []
    for begins, ends, what in along(ground):
        if what != "not worked":
            who = next(s.answers["T1"] for s in spans(ground, *whole()) if s.begins == at(begins))
            found.append((begins, ends, who.serves.people[0] if who.serves else what))

    assert found == expected


@pytest.mark.parametrize("goes", ["Ada", "Fern"])
def test_cover_ends_when_the_only_rescuer_or_the_only_first_aider_goes(goes: str) -> None:
    """Each is trained in one thing; who is trained in none changes nothing by going."""
    stays = {name: (at("06:00"), at("22:00")) for name in ("Ada", "Fern", "Wren")}
    stays[goes] = (at("06:00"), at("12:00"))
    people = [
        rescuer("Ada", stays["Ada"], aid=False),
        first_aider("Fern", stays["Fern"]),
        worker("Wren", (at("06:00"), at("09:00"))),
    ]
    ground = site([worked(task(), (at("06:00"), at("22:00")))], [there(kit())], people)

    lacking = {"Ada": "no-rescuer", "Fern": "no-first-aider"}[goes]
    assert [piece for piece in along(ground) if piece[2] != "not worked"] == [
        ("06:00", "12:00", "covered-no-backup"),
        ("12:00", "22:00", lacking),
    ]


def test_a_kit_on_its_way_covers_nobody_until_it_is_scanned_in() -> None:
    """Worked hours: it leaves the store at 07:00 and is scanned in at 09:40."""
    arriving = there(kit(), (at("09:40"), at("00:00", DAY + timedelta(days=1))))
    ground = site([worked(task(), whole())], [arriving], [rescuer("Ada", whole())])

    assert along(ground)[:2] == [
        ("00:00", "09:40", "no-kit"),
        ("09:40", "00:00", "covered-no-backup"),
    ]


def test_from_the_moment_of_an_arrest_its_kit_and_anchor_are_out_for_every_task() -> None:
    """Worked hours: 10:12 with kit RK-05 and anchor AN-3; two tasks need the kit, one the anchor."""
    out = KitTime(kit(condition="quarantined"), out_from=at("10:12"))
    anchors = [
        AnchorTime(anchor("AN-1")),
        AnchorTime(anchor("AN-3", condition="quarantined"), out_from=at("10:12")),
    ]
    first = worked(task("T1", rescue_anchors=("AN-3",)), (at("06:00"), at("12:00")))
    second = worked(task("T2"), (at("12:00"), at("18:00")))
    third = worked(task("T3"), (at("08:00"), at("12:00")), exposed=("Wim",))
    people = [rescuer("Ada", whole()), rescuer("Bela", whole())]
    ground = site([first, second, third], [out], people, anchors)

    assert [piece for piece in along(ground, "T1") if piece[2] != "not worked"][-1] == (
        "10:12",
        "12:00",
        "kit-not-usable, no-rescue-anchor",
    )
    assert [what for _, _, what in along(ground, "T3") if what != "not worked"] == [
        "contested",
        "kit-not-usable",
    ]
    assert [what for _, _, what in along(ground, "T2") if what != "not worked"] == [
        "kit-not-usable"
    ]


def test_training_ends_at_midnight_in_the_middle_of_a_night_shift() -> None:
    night = (at("22:00"), at("06:00", DAY + timedelta(days=1)))
    ground = site([worked(task(), night)], [there(kit())], [rescuer("Ada", night, through=DAY)])

    first, second = spans(ground, *night)

    assert (said(first.answers["T1"]), first.ends) == ("covered-no-backup", whole()[1])
    assert said(second.answers["T1"]) == "rescuer-lapsed"


def test_training_that_begins_later_counts_from_its_first_day() -> None:
    later = rescuer("Ada", whole(), whole(DAY + timedelta(days=1)))
    held = tuple(
        replace(one, valid_from=DAY + timedelta(days=1)) for one in later.person.competences
    )
    begun = replace(later, person=replace(later.person, competences=held))
    days = (at("00:00"), at("00:00", DAY + timedelta(days=2)))
    ground = site([worked(task(), days)], [there(kit())], [begun])

    first, second = spans(ground, *days)

    assert (said(first.answers["T1"]), first.ends) == ("no-rescuer, no-first-aider", whole()[1])
    assert said(second.answers["T1"]) == "covered-no-backup"


def test_tasks_on_overlapping_shifts_compete_for_the_hours_they_share() -> None:
    early = worked(task("T1"), (at("06:00"), at("14:00")))
    late = worked(task("T2"), (at("13:00"), at("21:00")), exposed=("Wim",))
    people = [rescuer("Ada", whole()), rescuer("Bela", whole())]
    ground = site([early, late], [there(kit())], people)

    found = [piece for piece in along(ground, "T1") if piece[2] != "not worked"]

    assert found == [
        ("06:00", "13:00", "covered-no-backup"),
        ("13:00", "14:00", "contested"),
    ]


@pytest.mark.parametrize("night", [date(2026, 3, 28), date(2026, 10, 24)])
def test_the_night_of_the_clock_change_has_neither_gap_nor_double_hour(night: date) -> None:
    """Shifts 22:00 to 01:30 and 01:30 to 06:00 meet, though 01:30 is skipped or comes twice."""
    after = night + timedelta(days=1)
    late, early = (at("22:00", night), at("01:30", after)), (at("01:30", after), at("06:00", after))
    people = [rescuer("Ada", late), rescuer("Bela", early)]
    ground = site([worked(task(), late, early)], [there(kit())], people)

    found = spans(ground, at("22:00", night), at("06:00", after))

    assert [span.answers["T1"].state for span in found] == ["covered-no-backup"] * len(found)
    assert [span.ends for span in found[:-1]] == [span.begins for span in found[1:]]
    hours = (found[-1].ends - found[0].begins) / timedelta(hours=1)
    assert hours == {3: 7, 10: 9}[night.month]


def test_somebody_in_two_places_by_the_rota_is_counted_in_neither() -> None:
    torn = PersonTime(
        rescuer("Ada").person,
        (Stay(at("06:00"), at("14:00"), "deck"), Stay(at("13:00"), at("20:00"), "quay")),
    )
    ground = site([worked(task(), (at("06:00"), at("20:00")))], [there(kit())], [torn])

    found = [what for _, _, what in along(ground) if what != "not worked"]

    assert found[0] == "covered-no-backup"
    assert "rescuer-out-of-reach" in found[1]


def test_a_task_on_which_nobody_is_named_is_not_assessed() -> None:
    hours = TaskTime(task(), (Work(at("06:00"), at("14:00"), ()),))
    ground = site([hours], [there(kit())], [rescuer("Ada", whole())])

    (found,) = [span.answers["T1"] for span in spans(ground, *whole()) if span.answers]

    assert (found.state, found.missing) == ("not-assessed", ("exposed",))


def test_spans_follow_one_another_without_gap_or_overlap() -> None:
    people = [rescuer("Ada", whole()), worker("Wren", whole())]
    ground = site([worked(task(), (at("06:00"), at("14:00")))], [there(kit())], people)

    found = spans(ground, *whole())

    assert found[0].begins == at("00:00")
    assert found[-1].ends == at("00:00", DAY + timedelta(days=1))
    assert [span.ends for span in found[:-1]] == [span.begins for span in found[1:]]


def test_a_ticket_not_yet_begun_is_not_told_as_one_that_lapsed() -> None:
    three = (at("00:00"), at("00:00", DAY + timedelta(days=3)))
    tomorrow = DAY + timedelta(days=1)
    ada, bela = rescuer("Ada", three), first_aider("Bela", three)
    ticket = Competence("rescuer", tomorrow, FAMILY, tomorrow)
    ada = replace(ada, person=replace(ada.person, competences=(ticket,)))
    ground = site([worked(task(), three)], [there(kit())], [ada, bela])

    told = [said(span.answers["T1"]) for span in spans(ground, *three)]
    assert told == ["no-rescuer", "covered-no-backup", "rescuer-lapsed"]
