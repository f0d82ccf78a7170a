"""What a calendar feed tells of what is new, changed, called off and over."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from register.rules.calendar import (
    CANCELLED_DAYS,
    PAST_DAYS,
    Happening,
    Told,
    compared,
    fitted,
    shown,
)
from register.wording import short_name

DAY = date(2026, 3, 9)
ONE_DAY = timedelta(days=1)
VISIT = Happening("visit-1", "visit", DAY + 3 * ONE_DAY, DAY + 3 * ONE_DAY, "Huw P. inspects")


def told(
    *found: Happening, today: date = DAY, before: dict[str, Told] | None = None, **more: object
) -> dict[str, Told]:
    return compared(before or {}, found, today, **more)  # type: ignore[arg-type]


def test_what_has_not_changed_keeps_its_number() -> None:
    first = told(VISIT)
    assert first == {"visit-1": Told(VISIT, 0)}
    assert told(VISIT, before=first) == first


def test_each_change_raises_the_number() -> None:
    moved = replace(VISIT, first_on=DAY, last_on=DAY)
    before = told(VISIT)
    after = told(moved, before=before)
    assert after["visit-1"] == Told(moved, 1)
    assert told(VISIT, before=after)["visit-1"].sequence == 2


def test_what_vanishes_before_its_day_is_called_off_once() -> None:
    gone = told(before=told(VISIT))
    assert gone["visit-1"] == Told(VISIT, 1, gone_on=DAY)
    assert told(before=gone, today=DAY + ONE_DAY) == gone


def test_what_comes_back_is_on_again_under_a_higher_number() -> None:
    gone = told(before=told(VISIT))
    assert told(VISIT, before=gone)["visit-1"] == Told(VISIT, 2)


def test_what_is_over_stays_as_it_was_told_and_is_never_called_off() -> None:
    before = told(VISIT)
    assert told(before=before, today=VISIT.last_on + ONE_DAY) == before


def test_the_last_day_itself_is_not_over() -> None:
    assert told(before=told(VISIT), today=VISIT.last_on)["visit-1"].gone_on == VISIT.last_on


def test_what_is_not_known_just_now_is_not_called_off() -> None:
    before = told(VISIT)
    assert told(before=before, unknown={"visit"}) == before


def test_what_is_called_off_and_what_is_over_leave_the_calendar_in_time() -> None:
    off = Told(VISIT, 1, gone_on=DAY)
    assert list(shown([off], DAY + timedelta(days=CANCELLED_DAYS))) == [off]
    assert list(shown([off], DAY + timedelta(days=CANCELLED_DAYS + 1))) == []
    over = Told(VISIT)
    assert list(shown([over], VISIT.last_on + timedelta(days=PAST_DAYS))) == [over]
    assert list(shown([over], VISIT.last_on + timedelta(days=PAST_DAYS + 1))) == []


def test_a_line_is_cut_to_its_length_and_says_so() -> None:
    assert fitted("harness", 7) == "harness"
    assert fitted("harness 12", 8) == "harness…"


def test_others_are_named_by_first_name_and_initial() -> None:
    assert short_name("Huw Penry") == "Huw P."
    assert short_name("Anna Maria Kowalska-Nowak ") == "Anna K."
    assert short_name("Huw") == "Huw"
