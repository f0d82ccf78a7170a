"""The work ahead: what falls due, the hours there are, the plan's pages, and visits taken on."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import date, timedelta
from itertools import product

import pytest
from django.test import Client
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from inspections.actions.visits import accept_visit, drop_visit
from inspections.actions.work_settings import set_hours, set_minutes
from inspections.capacity import minutes_by_class, rights_from
from inspections.models import Authorisation, Due, InspectorHours, Visit
from inspections.rules.hours_shared import most_placed
from inspections.rules.workload import Hours, Load, Right, kind_for, weeks_due, weeks_of
from inspections.work_board import planned
from inspections.work_facts import capacity_from, loads_of, question_of, weeks_ahead
from register import clock
from register.models import Entry, Item, Person, Role, Site, User
from register.refusal import Refusal
from tests.factories import (
    DAY,
    ItemFactory,
    PersonFactory,
    ProductFactory,
    kit_of,
    passed,
    stamp,
    user_as,
)

EVERY_DAY = list(range(7))
Queries = Callable[[int], AbstractContextManager[object]]


@pytest.fixture
def huw_at_work(huw: User) -> Person:
    """Huw, who inspects four hours on every day."""
    person: Person = huw.person  # type: ignore[assignment]
    set_hours(person, minutes_a_day=240, weekdays=EVERY_DAY, stamp=stamp())
    return person


def due(site: Site, day: date | None, **particulars: object) -> Item:
    """An item at the site whose stored due day is the day."""
    item: Item = ItemFactory(site=site, **particulars)
    Due.objects.filter(item=item).update(last_good_on=day, clock="detailed")
    return item


# The rules ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("clock_name", "equipment_class", "kind"),
    [
        ("detailed", "harness", "detailed"),
        ("kit-check", "rescue-kit", "kit-check"),
        ("defect", "harness", "detailed"),
        ("inspector-date", "pulley", "thorough-examination"),
        ("notice", "harness", "special"),
        ("", "harness", "detailed"),
        ("life-from-made", "harness", ""),
        ("hire", "harness", ""),
        ("maker-service", "retractable", ""),
    ],
)
def test_an_end_of_life_is_no_inspection(clock_name: str, equipment_class: str, kind: str) -> None:
    assert kind_for(clock_name, equipment_class) == kind


def test_a_week_that_needs_31_hours_and_has_16_is_15_short() -> None:
    hours = [Hours(1, 480, frozenset({0, 1})), Hours(2, 480, frozenset(range(7)))]
    rights = [Right(1, frozenset({"harness"}), frozenset(), DAY, DAY + timedelta(days=90))]
    found = weeks_of(
        [Load(1, 7, "harness", "detailed", 465), Load(0, 7, "anchor", "detailed", 1)],
        {"harness": 4, "anchor": 15},
        hours,
        rights,
        weeks_ahead(DAY, 2),
    )
    assert (found[1].needed, found[1].available, found[1].short) == (31 * 60, 16 * 60, 15 * 60)
    assert [week.nobody for week in found] == [("anchor",), ()]


def test_the_hours_of_one_do_not_help_where_only_the_other_may() -> None:
    hours = [Hours(1, 600, frozenset({0})), Hours(2, 600, frozenset({0}))]
    span = (DAY, DAY + timedelta(days=90))
    rights = [
        Right(1, frozenset({"harness"}), frozenset(), *span),
        Right(2, frozenset({"anchor"}), frozenset(), *span),
    ]
    loads = [Load(0, 7, "harness", "detailed", 200), Load(0, 7, "anchor", "detailed", 1)]
    (week,) = weeks_of(loads, {"harness": 4, "anchor": 15}, hours, rights, weeks_ahead(DAY, 1))
    assert (week.needed, week.available, week.short) == (815, 1200, 200)


@given(st.data())
def test_what_fits_is_what_the_narrowest_cut_lets_through(data: st.DataObject) -> None:
    """Every set of works fits at most into the times open to it; the tightest set decides."""
    size = st.integers(1, 4)
    work = data.draw(st.lists(st.integers(0, 30), min_size=1, max_size=4))
    time = data.draw(st.lists(st.integers(0, 30), min_size=1, max_size=data.draw(size)))
    fits = [[data.draw(st.booleans()) for _ in time] for _ in work]
    cuts = []
    for chosen in product((False, True), repeat=len(work)):
        inside = [w for w, taken in enumerate(chosen) if taken]
        open_to = sum(hours for t, hours in enumerate(time) if any(fits[w][t] for w in inside))
        cuts.append(open_to + sum(one for w, one in enumerate(work) if w not in inside))
    assert most_placed(work, time, fits) == min(cuts)


@pytest.mark.parametrize(
    ("good_on", "months", "weeks"),
    [
        (DAY, 1, [0, 4, 8, 13]),
        (DAY + timedelta(days=7), 6, [1]),
        (DAY, None, [0]),
        (None, 1, [-2]),
        (DAY - timedelta(days=1), 1, [-1]),
        (DAY + timedelta(weeks=14), 1, []),
    ],
)
def test_a_monthly_check_falls_due_again(
    good_on: date | None, months: int | None, weeks: list[int]
) -> None:
    assert weeks_due(good_on, months, DAY, 14) == weeks


def test_who_leaves_may_inspect_until_the_day_before(huw_at_work: Person) -> None:
    huw_at_work.left_on = DAY + timedelta(days=3)
    huw_at_work.save()
    assert [right.through_on for right in rights_from(DAY)] == [DAY + timedelta(days=2)]


# The question and the plan ---------------------------------------------------


def test_overdue_and_not_known_have_no_due_day_to_keep(site: Site, huw_at_work: Person) -> None:
    late, unknown = due(site, DAY - timedelta(days=1)), due(site, None)
    today, beyond = due(site, DAY), due(site, DAY + timedelta(days=91))
    question = question_of([site], DAY, 91, capacity_from(DAY))
    assert [piece.key for piece in question.ask.pieces] == [today.pk]
    assert {piece.key for piece in question.late} == {late.pk, unknown.pk}
    assert beyond.pk not in {piece.key for piece in question.late}


def test_what_is_out_of_date_is_taken_along_where_a_visit_has_room(
    site: Site, huw_at_work: Person
) -> None:
    late, good = due(site, DAY - timedelta(days=1)), due(site, DAY + timedelta(days=3))
    plan = planned([site], DAY, capacity_from(DAY))
    (visit,) = plan.plan.visits
    assert (plan.day(visit), plan.keys(visit)) == (DAY + timedelta(days=3), [good.pk, late.pk])


def test_both_kits_of_a_site_are_never_away_on_one_day(site: Site, huw_at_work: Person) -> None:
    kits = [kit_of(site, name=name) for name in ("RK-01", "RK-02")]
    plan = planned([site], DAY, capacity_from(DAY))
    days = {}
    for visit in plan.plan.visits:
        for item in Item.objects.filter(pk__in=visit.pieces):
            inside = item.kit or getattr(item, "as_kit", None)
            days.setdefault(visit.day, set()).add(inside)
    assert {kit for out in days.values() for kit in out} == set(kits)
    assert all(len(out) == 1 for out in days.values())


def test_the_database_counts_by_week_site_and_class(site: Site) -> None:
    for _ in range(3):
        due(site, DAY + timedelta(days=8))
    due(site, DAY, product=ProductFactory(equipment_class="connector"))
    due(site, None)
    assert [
        (load.week, load.equipment_class, load.number) for load in loads_of([site], DAY, 13)
    ] == [
        (-2, "harness", 1),
        (0, "connector", 1),
        (1, "harness", 3),
    ]


# Visits ---------------------------------------------------------------------


def test_an_accepted_visit_leaves_the_plan_and_stands_in_the_due_list(
    client: Client, site: Site, huw_at_work: Person, oyelaran: User
) -> None:
    today = clock.today(site)
    Authorisation.objects.update(through_on=today + timedelta(days=365))
    item = due(site, today + timedelta(days=5))
    client.force_login(oyelaran)
    page = client.get(reverse("inspections:work-ahead")).content.decode()
    assert f'name="items" value="{item.pk}"' in page
    day = today + timedelta(days=5)
    sent = {"inspector": huw_at_work.pk, "site": site.pk, "day": day, "items": item.pk}
    assert client.post(reverse("inspections:visit-accept"), sent).status_code == 302
    visit = Visit.objects.get()
    assert list(visit.items.all()) == [item]
    assert Entry.objects.filter(thing_kind="visit", act__verb="accept-visit").count() == 1
    assert question_of([site], today, 91, capacity_from(today)).ask.pieces == ()
    assert "on the visit of" in client.get(reverse("inspections:due-list")).content.decode()
    assert "taken on" in client.get(reverse("inspections:work-ahead")).content.decode()
    dropped = client.post(reverse("inspections:visit-drop", args=[visit.pk]), {"because": "Ill"})
    assert dropped.status_code == 302
    assert "on the visit of" not in client.get(reverse("inspections:due-list")).content.decode()


@pytest.mark.parametrize("code", ["too-late", "day-past", "not-authorised", "day-over-full"])
def test_a_visit_that_cannot_be_is_refused(site: Site, huw_at_work: Person, code: str) -> None:
    item = due(site, DAY + timedelta(days=5))
    day = DAY + timedelta(days={"too-late": 6, "day-past": -1}.get(code, 5))
    if code == "not-authorised":
        Authorisation.objects.update(classes=["anchor"])
    if code == "day-over-full":
        set_minutes({"harness": 241}, visit_minutes=90, stamp=stamp())
    with pytest.raises(Refusal) as refused:
        accept_visit(huw_at_work, site, day=day, items=[item], stamp=stamp())
    assert refused.value.code == code
    assert not Visit.objects.exists()


def test_an_inspector_is_on_one_visit_a_day_and_an_item_on_one_visit(
    site: Site, huw_at_work: Person
) -> None:
    first, second = due(site, DAY + timedelta(days=5)), due(site, DAY + timedelta(days=5))
    taken = accept_visit(huw_at_work, site, day=DAY, items=[first], stamp=stamp())
    with pytest.raises(Refusal, match="another visit on"):
        accept_visit(huw_at_work, site, day=DAY, items=[second], stamp=stamp())
    with pytest.raises(Refusal, match="On another visit already"):
        accept_visit(
            huw_at_work, site, day=DAY + timedelta(days=1), items=[first, second], stamp=stamp()
        )
    with pytest.raises(Refusal, match="Say why"):
        drop_visit(taken, because=" ", stamp=stamp())
    drop_visit(taken, because="Ill", stamp=stamp())
    assert accept_visit(huw_at_work, site, day=DAY, items=[second], stamp=stamp()).pk


def test_a_forged_list_of_items_is_told_and_keeps_nothing(
    client: Client, site: Site, huw_at_work: Person, oyelaran: User
) -> None:
    client.force_login(oyelaran)
    sent = {"inspector": huw_at_work.pk, "site": site.pk, "day": "2026-03-09", "items": "1 x²"}
    page = client.post(reverse("inspections:visit-accept"), sent, follow=True).content.decode()
    assert "The list of items is not readable" in page
    assert not Visit.objects.exists()


# Settings -------------------------------------------------------------------


def test_minutes_are_the_employers_else_those_of_the_class(
    client: Client, oyelaran: User, site: Site
) -> None:
    assert {slug: minutes_by_class()[slug] for slug in ("harness", "lanyard", "rescue-kit")} == {
        "harness": 4,
        "lanyard": 2,
        "rescue-kit": 45,
    }
    client.force_login(oyelaran)
    sent = {**minutes_by_class(), "harness": 6, "visit_minutes": 60}
    assert client.post(reverse("inspections:minutes-edit"), sent).status_code == 302
    assert minutes_by_class()["harness"] == 6
    answer = client.post(reverse("inspections:minutes-edit"), {**sent, "harness": "four"})
    assert answer.status_code == 422
    assert "Write whole minutes, such as 4." in answer.content.decode()
    assert 'value="four"' in answer.content.decode()
    assert minutes_by_class()["harness"] == 6


def test_the_manager_of_one_site_changes_no_minutes(client: Client, site: Site) -> None:
    client.force_login(user_as(Role.MANAGER, site))
    sent = {**minutes_by_class(), "visit_minutes": 60}
    assert client.post(reverse("inspections:minutes-edit"), sent).status_code == 403


@pytest.mark.parametrize("hours", ["0", "13", "-1", "NaN", "a few", ""])
def test_hours_that_make_no_sense_come_back_with_the_form(
    client: Client, oyelaran: User, site: Site, hours: str
) -> None:
    client.force_login(oyelaran)
    address = reverse("inspections:hours-edit", args=[PersonFactory().pk])
    assert client.post(address, {"hours": hours, "weekdays": [0]}).status_code == 422
    assert not InspectorHours.objects.exists()


def test_hours_are_kept_with_an_act(client: Client, oyelaran: User, site: Site) -> None:
    person = PersonFactory()
    client.force_login(oyelaran)
    address = reverse("inspections:hours-edit", args=[person.pk])
    assert client.post(address, {"hours": "4.5", "weekdays": [0, 3]}).status_code == 302
    kept = InspectorHours.objects.get()
    assert (kept.minutes_a_day, kept.weekdays) == (270, [0, 3])
    assert Entry.objects.filter(thing_kind="person", thing_id=str(person.pk)).count() == 1


# The pages --------------------------------------------------------------------


def test_what_nobody_may_inspect_is_told_early(
    client: Client, oyelaran: User, site: Site, huw_at_work: Person
) -> None:
    today = clock.today(site)
    span = {"from_on": today, "through_on": today + timedelta(days=365)}
    Authorisation.objects.update(classes=["harness"], **span)
    due(site, today + timedelta(days=70), product=ProductFactory(equipment_class="anchor"))
    client.force_login(oyelaran)
    page = client.get(reverse("inspections:work-ahead")).content.decode()
    assert "Nobody who has hours may inspect this: anchor device" in page
    assert "finds no room" in page


def test_the_pages_ask_as_much_for_many_items_as_for_one(
    client: Client,
    oyelaran: User,
    site: Site,
    huw_at_work: Person,
    django_assert_max_num_queries: Queries,
) -> None:
    today = clock.today(site)
    Authorisation.objects.update(through_on=today + timedelta(days=365))
    for number in range(15):
        passed(due(site, today + timedelta(days=number)), today)
    client.force_login(oyelaran)
    pages = (
        ("inspections:work-ahead", (), 24),
        ("inspections:inspector-visits", (huw_at_work.pk,), 20),
        ("inspections:reject-rates", (), 10),
        ("inspections:life-ends", (), 10),
    )
    for name, args, most in pages:
        with django_assert_max_num_queries(most):
            assert client.get(reverse(name, args=args)).status_code == 200


def test_bad_input_on_the_rates_is_told(client: Client, oyelaran: User, site: Site) -> None:
    client.force_login(oyelaran)
    page = client.get(reverse("inspections:reject-rates"), {"years": "long"}).content.decode()
    assert "Enter a whole number." in page
    assert 'value="long"' in page


def test_a_fail_past_the_end_of_life_is_no_reject(
    client: Client, oyelaran: User, site: Site
) -> None:
    today = clock.today(site)
    product = ProductFactory(life_from_made_months=12)
    for number in range(20):
        item = ItemFactory(site=site, product=product, made_first_on=today - timedelta(days=500))
        passed(item, today, verdict="fail" if number == 0 else "pass")
    missing = ItemFactory(site=site, product=product)
    passed(missing, today, verdict="not-presented")
    client.force_login(oyelaran)
    page = client.get(reverse("inspections:reject-rates")).content.decode()
    assert "0 of 19: too few to rank" in page
