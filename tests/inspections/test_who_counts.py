"""Which inspections count: the one truth table, asked of the real act."""

from __future__ import annotations

from datetime import timedelta

import pytest

from inspections.actions.inspecting import Finding, Flaw, inspect
from inspections.models import Authorisation, Due, Inspection
from inspections.rules.kinds import KINDS, satisfies
from register.actions.custody import hand_out
from register.models import Item, Person, Site
from register.refusal import Refusal
from tests.factories import DAY, NOON, ItemFactory, PersonFactory, inspector, passed, stamp

SOON = timedelta(days=30)
DANGER = Flaw(grade="A", what="edge cut of 3 mm")


def somebody(who: str, item: Item) -> Person | None:
    """'competent', or why they are not."""
    if who == "nobody on record":
        return None
    if who == "user":
        return PersonFactory()
    person: Person = inspector().person
    rows = Authorisation.objects.filter(person=person)
    changed = {
        "lapsed": {"through_on": DAY - timedelta(days=1)},
        "not begun": {"from_on": DAY + timedelta(days=1)},
        "for other classes": {"classes": ["rope"]},
        "for other kinds": {"kinds": ["interim"]},
    }
    if who in changed:
        rows.update(**changed[who])
    if who == "holder":
        hand_out(item, to=person, due_back_on=None, stamp=stamp(at=NOON - timedelta(hours=2)))
    if who == "gone":
        Person.objects.filter(pk=person.pk).update(left_on=DAY)
        person.refresh_from_db()
    return person


def looked(item: Item, person: Person | None, kind: str, verdict: str) -> Inspection:
    flaws = [DANGER] if verdict == "fail" else []
    finding = Finding(
        kind=kind, verdict=verdict, performed_at=NOON, inspector=person, flaws=flaws, note="seen"
    )
    return inspect(item, finding=finding, stamp=stamp())


@pytest.mark.parametrize(
    ("who", "kind", "verdict", "moves", "condition"),
    [
        ("competent", "detailed", "pass", True, "in-service"),
        ("competent", "detailed", "pass-with-conditions", True, "in-service"),
        ("competent", "detailed", "fail", False, "withdrawn"),
        ("competent", "detailed", "refer", False, "quarantined"),
        ("competent", "detailed", "not-identified", False, "quarantined"),
        ("competent", "detailed", "not-presented", False, "in-service"),
        ("competent", "detailed", "not-accessible", False, "in-service"),
        *(
            row
            for who in ("lapsed", "not begun", "for other classes", "for other kinds", "gone")
            for row in (
                (who, "detailed", "pass", False, "in-service"),
                (who, "detailed", "fail", False, "quarantined"),
            )
        ),
        ("holder", "detailed", "pass", False, "in-service"),
        ("holder", "detailed", "fail", False, "quarantined"),
        ("nobody on record", "detailed", "pass", False, "in-service"),
        ("nobody on record", "detailed", "fail", False, "quarantined"),
        ("user", "detailed", "refer", False, "quarantined"),
        ("user", "pre-use", "pass", False, "in-service"),
        ("user", "pre-use", "fail", False, "quarantined"),
        ("competent", "pre-use", "pass", False, "in-service"),
        ("competent", "pre-use", "fail", False, "quarantined"),
        ("competent", "sighting", "pass", False, "in-service"),
        ("competent", "sighting", "fail", False, "quarantined"),
        ("competent", "interim", "pass", False, "in-service"),
        ("competent", "acceptance", "pass", False, "in-service"),
        ("competent", "after-event", "pass", False, "in-service"),
        ("competent", "special", "pass", False, "in-service"),
        ("competent", "maker-service", "pass", False, "in-service"),
        ("competent", "thorough-examination", "pass", False, "in-service"),
        ("competent", "installation", "pass", True, "in-service"),
    ],
)
def test_which_inspections_move_the_periodic_clock(
    site: Site, *, who: str, kind: str, verdict: str, moves: bool, condition: str
) -> None:
    item = ItemFactory(site=site)
    passed(item, DAY - SOON)
    before = Due.objects.get(item=item).last_good_on
    kept = looked(item, somebody(who, item), kind, verdict)
    item.refresh_from_db()
    assert (Due.objects.get(item=item).last_good_on > before) is moves
    assert item.condition == condition
    assert Inspection.objects.filter(pk=kept.pk).exists()


@pytest.mark.parametrize(
    ("kind", "told", "moves"),
    [
        ("thorough-examination", True, True),
        ("thorough-examination", False, False),
        ("maker-service", True, True),
        ("maker-service", False, False),
        ("after-event", True, True),
        ("special", True, True),
        ("interim", True, False),
        ("kit-check", True, False),
        ("pre-use", True, False),
        ("sighting", True, False),
    ],
)
def test_what_restarts_the_periodic_clock_only_where_it_says_that_it_covered_it(
    *, kind: str, told: bool, moves: bool
) -> None:
    assert satisfies(kind, "detailed", covers_periodic=told) is moves


def test_a_stronger_kind_stands_in_for_a_weaker_one_and_never_the_other_way() -> None:
    chain = ("detailed", "interim", "pre-use")
    for at, strong in enumerate(chain):
        for weak in chain[at:]:
            assert satisfies(strong, weak, covers_periodic=False)
        for stronger in chain[:at]:
            assert not satisfies(strong, stronger, covers_periodic=True)


def test_a_sighting_and_a_check_before_use_stand_in_for_nothing_else() -> None:
    for kind in ("sighting", "pre-use"):
        others = [other for other in KINDS if other != kind]
        assert not any(satisfies(kind, other, covers_periodic=True) for other in others)


def test_the_authorisation_relied_on_is_kept_with_the_record(item: Item) -> None:
    person = inspector().person
    short = Authorisation.objects.get(person=person)
    days = {"from_on": DAY, "through_on": short.through_on + SOON}
    long = Authorisation.objects.create(person=person, classes=["harness"], **days)
    elsewhere = Authorisation.objects.create(
        person=person, classes=["rope"], from_on=DAY, through_on=long.through_on + SOON
    )
    kept = looked(item, person, "detailed", "pass")
    assert kept.authority == long
    assert kept.authority != elsewhere


def test_an_authorisation_counts_through_its_last_day(item: Item) -> None:
    person = inspector().person
    Authorisation.objects.filter(person=person).update(through_on=DAY)
    assert looked(item, person, "detailed", "pass").counts


@pytest.mark.parametrize(
    ("kind", "who", "why"),
    [
        ("detailed", "lapsed", "not-authorised"),
        ("detailed", "holder", "holds-the-item"),
        ("detailed", "nobody on record", "no-inspector"),
        ("pre-use", "competent", "kind-moves-nothing"),
        ("detailed", "competent", ""),
    ],
)
def test_the_record_says_why_it_does_not_count(item: Item, kind: str, who: str, why: str) -> None:
    assert looked(item, somebody(who, item), kind, "pass").counts_not_because == why


def test_tomorrow_is_refused_on_the_day_of_the_site(site: Site) -> None:
    Site.objects.filter(pk=site.pk).update(time_zone="Pacific/Auckland")
    item = Item.objects.get(pk=ItemFactory(site=Site.objects.get(pk=site.pk)).pk)
    person = inspector().person
    there = NOON.replace(hour=10)  # 23:00 in Auckland
    told = {"kind": "detailed", "verdict": "pass", "inspector": person}
    late = Finding(performed_at=there + timedelta(hours=2), **told)  # type: ignore[arg-type]
    with pytest.raises(Refusal, match="10 Mar 2026 is in the future: at Corrick Quay it is 9 Mar"):
        inspect(item, finding=late, stamp=stamp(at=there))
    same_day = Finding(performed_at=there + timedelta(minutes=30), **told)  # type: ignore[arg-type]
    assert inspect(item, finding=same_day, stamp=stamp(at=there)).counts


def test_a_day_before_it_was_made_is_refused(item: Item) -> None:
    person = inspector().person
    early = NOON.replace(year=2024)
    finding = Finding(kind="detailed", verdict="pass", performed_at=early, inspector=person)
    with pytest.raises(Refusal, match="was made in Jan 2025: it cannot have been"):
        inspect(item, finding=finding, stamp=stamp())


def test_what_was_withdrawn_meanwhile_cannot_pass_but_more_bad_news_is_kept(item: Item) -> None:
    person = inspector().person
    early = Finding(kind="detailed", verdict="pass", performed_at=NOON, inspector=person)
    looked(item, person, "detailed", "fail")
    later = NOON + timedelta(hours=1)
    late = Finding(kind="detailed", verdict="pass", performed_at=later, inspector=person)
    with pytest.raises(Refusal, match="was withdrawn for good on 9 Mar 2026, before this look"):
        inspect(item, finding=late, stamp=stamp(at=later))
    assert inspect(item, finding=early, stamp=stamp(at=later))
    worse = Finding(
        kind="detailed", verdict="fail", performed_at=later, inspector=person, flaws=[DANGER]
    )
    assert inspect(item, finding=worse, stamp=stamp(at=later))
