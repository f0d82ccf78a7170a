"""What was relied on and no longer holds, from one statement to the next."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from readiness.rules.relied import Promise, broken, losses, promises
from readiness.rules.statement import Statement, state
from readiness.rules.timeline import KitTime, Timeline
from tests.readiness.timelines import DAY, at, kit, rescuer, site, task, there, whole, worked

HOURS = (at("06:00"), at("20:00"))
TOMORROW = at("10:00", DAY + timedelta(days=1))


def ground(*kits: KitTime) -> Timeline:
    return site([worked(task(), HOURS)], list(kits or [there(kit())]), [rescuer("Ada", whole())])


def stated(timeline: Timeline) -> Statement:
    return state(timeline, DAY, at("05:00"))


def out_at(hours: str) -> KitTime:
    return KitTime(kit(condition="quarantined"), out_from=at(hours))


def promised(statement: Statement | None = None) -> tuple[Promise, ...]:
    return promises((statement or stated(ground())).pieces("T1", *HOURS))


def test_cover_that_was_lost_is_told_from_the_moment_it_was_lost_on() -> None:
    """Found at 10:40, it was so since 10:12."""
    (loss,) = losses(stated(ground()), stated(ground(out_at("10:12"))), at("10:40"), TOMORROW)

    assert (loss.task, loss.begins, loss.ends) == ("T1", at("10:12"), at("20:00"))
    assert [one.code for one in loss.after.reasons] == ["kit-not-usable"]


def test_what_never_was_covered_is_not_lost() -> None:
    out = stated(ground(out_at("10:12")))

    assert losses(out, out, at("10:40"), TOMORROW) == ()


def test_hours_that_are_over_or_far_ahead_are_not_told() -> None:
    old, new = stated(ground()), stated(ground(out_at("10:12")))

    assert losses(old, new, at("20:00"), TOMORROW) == ()
    assert losses(old, new, at("07:00"), at("09:00")) == ()


def test_work_that_was_called_off_loses_no_cover() -> None:
    idle = replace(ground(), tasks=())

    assert losses(stated(ground()), stated(idle), at("10:40"), TOMORROW) == ()


def test_a_promise_holds_while_the_same_kit_people_and_anchor_serve() -> None:
    assert broken("T1", promised(), stated(ground()), at("07:00")) is None


def test_a_promise_breaks_from_the_moment_on_at_which_the_kit_goes_out() -> None:
    breach = broken("T1", promised(), stated(ground(out_at("10:12"))), at("07:00"))

    assert breach is not None
    assert (breach.at, breach.code) == (at("10:12"), "not-covered")


def test_a_promise_breaks_where_another_kit_serves_though_the_task_is_covered() -> None:
    other = stated(ground(there(kit("RK-06"))))

    breach = broken("T1", promised(), other, at("07:00"))

    assert breach is not None
    assert (breach.code, breach.state) == ("served-otherwise", "covered-no-backup")


def test_a_promise_breaks_where_the_rescue_would_take_longer_than_was_promised() -> None:
    farther = replace(
        site([worked(task(), HOURS)], [there(kit(zone="store"))], [rescuer("Ada", whole())]),
        travel_minutes={("store", "deck"): 4},
    )

    breach = broken("T1", promised(), stated(farther), at("07:00"))

    assert breach is not None
    assert (breach.at, breach.code) == (at("06:00"), "slower")
    assert broken("T1", promised(stated(farther)), stated(ground()), at("07:00")) is None


def test_a_promise_breaks_where_nobody_works() -> None:
    breach = broken("T1", promised(), stated(replace(ground(), tasks=())), at("07:00"))

    assert breach is not None
    assert breach.code == "not-worked"


def test_what_is_over_is_no_longer_relied_on() -> None:
    early = KitTime(kit(), here=((at("10:00"), at("23:00")),))

    assert broken("T1", promised(), stated(ground(early)), at("10:00")) is None


def test_nothing_is_promised_where_any_hour_is_not_covered() -> None:
    assert promises(stated(ground(out_at("19:00"))).pieces("T1", *HOURS)) == ()
    assert promises(stated(ground()).pieces("T1", at("05:00"), at("07:00"))) == ()
