"""What to do about it: the worked cases, and what no set of acts may ever do."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from readiness.rules.changes import KitArrives, KitExamined, KitLeaves, PersonOn, TicketHeld
from readiness.rules.demand import Resource
from readiness.rules.remedies import (
    Act,
    Bench,
    Step,
    may_leave,
    one_after_another,
    remedies,
    troubles,
)
from readiness.rules.situation import Clock
from readiness.rules.timeline import AnchorTime, Stay, Timeline
from readiness.rules.windows import Window
from tests.readiness.timelines import (
    DAY,
    FAMILY,
    anchor,
    at,
    kit,
    rescuer,
    site,
    task,
    there,
    worked,
)

ONE_DAY = timedelta(days=1)
DAYS = tuple(DAY + n * ONE_DAY for n in range(6))
CREW = ("Ada", "Bela", "Cora")


def shifts(days: Iterable[date] = DAYS) -> list[Window]:
    return [(at("06:00", day), at("14:00", day)) for day in days]


def a_site(code: str, *kits: str, days: Sequence[date] = DAYS, name: str = "T1") -> Timeline:
    """One task with three rescuers, and these kits."""
    people = [rescuer(f"{who} of {code}", *shifts()) for who in CREW]
    anchors = [AnchorTime(anchor(one)) for one in ("AN-1", "AN-2")]
    work = task(name, rescue_anchors=("AN-1", "AN-2"), ends_on=max(days))
    made = site([worked(work, *shifts(days))], [there(kit(one)) for one in kits], people, anchors)
    return replace(made, site=code)


def bench_of(*sites: Timeline) -> Bench:
    begins, ends = at("00:00"), at("00:00", DAY + len(DAYS) * ONE_DAY)
    return Bench({one.site: one for one in sites}, begins, ends)


def move(name: str, donor: str, to: str, leaves: datetime, hours: float = 2) -> Act:
    """The kit leaves one site and is scanned in at the other."""
    arrives = leaves + timedelta(hours=hours)
    return Act(
        "move-kit",
        name,
        (
            Step(donor, leaves, KitLeaves(name, leaves)),
            Step(to, arrives, KitArrives(there(kit(name)), arrives)),
        ),
        cost=50,
        uses=frozenset({f"kit {name}"}),
    )


def test_a_donor_with_two_kits_and_one_task_lends_one_and_is_told_that_its_backup_goes() -> None:
    """Worked case (a)."""
    bench = bench_of(a_site("uncovered"), a_site("donor", "RK-1", "RK-2", name="D1"))

    found = remedies(
        bench, [("uncovered", "T1")], [move("RK-1", "donor", "uncovered", at("00:00"))]
    )

    assert found.cheapest is not None
    assert found.cheapest.outcome.gaps == {}
    assert found.cheapest.outcome.weakened == {("donor", "D1"): (Resource("kit", "RK-2"),)}


def test_a_donors_only_kit_stays_where_it_is_needed() -> None:
    """Worked case (b)."""
    bench = bench_of(
        a_site("uncovered"), a_site("donor", "RK-1", days=(*DAYS, DAYS[-1] + ONE_DAY), name="D1")
    )
    leave = may_leave(bench, "donor", "RK-1", at("00:00"))

    found = remedies(
        bench, [("uncovered", "T1")], [move("RK-1", "donor", "uncovered", at("00:00"))]
    )

    assert (found.soonest, found.cheapest, found.sturdiest) == (None, None, None)
    assert leave.at is None
    assert list(leave.held_by) == [("donor", "D1")]


def test_a_kit_may_go_from_the_hour_in_which_the_donors_task_ends() -> None:
    """Worked case (c)."""
    short = a_site("donor", "RK-1", days=DAYS[:2], name="D1")
    bench = bench_of(a_site("uncovered", days=DAYS[3:]), short)

    leave = may_leave(bench, "donor", "RK-1", at("00:00"))
    assert leave.at == at("14:00", DAYS[1])

    found = remedies(bench, [("uncovered", "T1")], [move("RK-1", "donor", "uncovered", leave.at)])
    assert found.cheapest is not None
    assert found.cheapest.outcome.gaps == {}
    assert found.cheapest.outcome.weakened == {}


def test_one_spare_is_not_promised_to_two_sites() -> None:
    """Worked case (d)."""
    donor = a_site("donor", "RK-1", "RK-2", name="D1")
    bench = bench_of(a_site("first"), a_site("second"), donor)
    wanted = [("first", "T1"), ("second", "T1")]
    acts = {key: [move("RK-1", "donor", key[0], at("00:00"))] for key in wanted}

    found = one_after_another(bench, wanted, acts, lambda one: one.cheapest)

    assert found[wanted[0]] is not None
    assert found[wanted[1]] is None


def test_two_spares_of_one_donor_are_not_both_promised_where_it_keeps_none() -> None:
    """Each could go alone; together they would leave the donor uncovered."""
    donor = a_site("donor", "RK-1", "RK-2", name="D1")
    bench = bench_of(a_site("first"), a_site("second"), donor)
    wanted = [("first", "T1"), ("second", "T1")]
    acts = {
        wanted[0]: [move("RK-1", "donor", "first", at("00:00"))],
        wanted[1]: [move("RK-2", "donor", "second", at("00:00"))],
    }

    found = one_after_another(bench, wanted, acts, lambda one: one.cheapest)

    assert found[wanted[0]] is not None
    assert found[wanted[1]] is None


def lapsing() -> Timeline:
    """The only rescuer's training ends after the second day; first aid does not."""
    people = [rescuer("Ada", *shifts(), through=DAYS[1])]
    made = site([worked(task(), *shifts())], [there(kit("RK-1"))], people)
    return replace(made, site="lapsing")


def refresher(day: date) -> Act:
    held = TicketHeld("Ada", "rescuer", FAMILY, day, date.max)
    return Act("refresher", "Ada", (Step("lapsing", at("18:00", day), held),), cost=300)


def on_shift(cost: float) -> Act:
    stays = tuple(Stay(*hours, "deck") for hours in shifts())
    person = rescuer("Bela").person
    return Act(
        "person-on-shift", "Bela", (Step("lapsing", at("00:00"), PersonOn(person, stays)),), cost
    )


def test_a_refresher_after_the_expiry_is_paired_with_a_stop_for_the_gap() -> None:
    """Worked case (e), with nobody else to ask."""
    found = remedies(bench_of(lapsing()), [("lapsing", "T1")], [refresher(DAYS[3])])

    assert found.cheapest is not None
    assert found.cheapest.outcome.gaps == {("lapsing", "T1"): tuple(shifts(DAYS[2:4]))}
    (stop,) = found.cheapest.stops
    assert stop.facts["hours"] == tuple(shifts(DAYS[2:4]))


def test_a_refresher_after_the_expiry_gives_way_to_another_person_for_the_gap() -> None:
    """Worked case (e), with somebody else: no gap comes before a lower cost."""
    bench = bench_of(lapsing())

    found = remedies(bench, [("lapsing", "T1")], [refresher(DAYS[3]), on_shift(900)])

    assert found.cheapest is not None
    assert [act.kind for act in found.cheapest.acts] == ["person-on-shift"]
    assert found.cheapest.stops == ()


def test_an_examination_counts_from_the_hour_in_which_it_is_done() -> None:
    due = Clock("RK-1", "periodic", DAY - ONE_DAY)
    ground = a_site("late")
    ground = replace(ground, kits=(there(kit("RK-1", clocks=(due,))),))
    passed = KitExamined("RK-1", (replace(due, due=date.max),))
    act = Act("examine-kit", "RK-1", (Step("late", at("09:00"), passed),))

    found = remedies(bench_of(ground), [("late", "T1")], [act])

    assert found.soonest is not None
    assert found.soonest.outcome.gaps == {("late", "T1"): ((at("06:00"), at("09:00")),)}


def test_the_sturdiest_set_ends_with_backup_where_the_cheapest_does_not() -> None:
    donor = a_site("donor", "RK-1", "RK-2", "RK-3", name="D1")
    bench = bench_of(a_site("uncovered"), donor)
    acts = [move(name, "donor", "uncovered", at("00:00")) for name in ("RK-1", "RK-2")]

    found = remedies(bench, [("uncovered", "T1")], acts)

    assert found.cheapest is not None
    assert found.sturdiest is not None
    assert (len(found.cheapest.acts), len(found.sturdiest.acts)) == (1, 2)
    assert list(found.cheapest.outcome.hanging) == [("uncovered", "T1")]
    assert found.sturdiest.proof == "best"


def test_troubles_are_told_with_what_is_uncovered_before_what_lacks_backup() -> None:
    bench = bench_of(lapsing())

    assert [(one.kind, one.hours[0][0]) for one in troubles(bench, "lapsing")] == [
        ("lapsing", at("06:00", DAYS[2])),
        ("unbacked", at("06:00")),
    ]


def test_a_search_that_was_cut_short_says_so() -> None:
    timelines = {one.site: one for one in (a_site("uncovered"), a_site("donor", "RK-1", "RK-2"))}
    bench = Bench(timelines, at("00:00"), at("00:00", DAYS[-1]), budget=60)
    acts = [move(f"RK-{n}", "donor", "uncovered", at(f"0{n}:00")) for n in range(1, 9)]

    found = remedies(bench, [("uncovered", "T1")], acts)

    assert not found.finished
    assert found.cheapest is None or found.cheapest.proof == "unfinished"
