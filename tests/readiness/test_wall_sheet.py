"""The sheet on the cabin wall: what it tells, of whom, and that any change supersedes it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.core.cache import cache
from django.test import Client
from django.urls import reverse

from readiness.actions.calls import begin_sheet, write_call
from readiness.actions.plans import write_plan
from readiness.documents.wall_sheet import WALL_SHEET, content_of
from readiness.forms.calls import CallForm
from readiness.models import Exposure, Plan, RotaEntry, ShiftSheet
from register import clock
from register.actions.conditions import quarantine
from register.actions.papers import name_employer
from register.documents.checking import check_paper
from register.documents.content import Card
from register.documents.issuing import Issued, issue
from register.models import Role
from tests.factories import DAY, NOON, stamp, user_as
from tests.readiness.grounds import (
    Ground,
    arrest_task,
    covered_site,
    plan_for,
    rated_kit,
    sums_of,
)
from tests.register.reading_papers import pages_of, squeezed, text_of_pdf, unsaid

pytestmark = pytest.mark.django_db
MORNING = NOON - timedelta(hours=5)


@pytest.fixture
def ground(monkeypatch: pytest.MonkeyPatch) -> Ground:
    """One covered task, and a sheet asked for before its shift is half over."""
    monkeypatch.setattr(clock, "reading", lambda: MORNING)
    cache.clear()
    made = covered_site()
    for person, name in ((made.rescuer, "Ines Varga"), (made.worker, "Tomasz Brand")):
        person.name = name
        person.save()
    name_employer(name="Aldermoor Works", address="1 Quay", paper_size="a4", stamp=stamp())
    write_call(
        made.site, alarm="Horn, three times", numbers=[("Office", "01632 960 001")], stamp=stamp()
    )
    return made


def sheet_of(ground: Ground) -> ShiftSheet:
    return begin_sheet(ground.shift, day_on=DAY, stamp=stamp())


def hung(ground: Ground) -> Issued:
    return issue(WALL_SHEET, sheet_of(ground), stamp=stamp(at=MORNING), language="en-gb")


def the_card(ground: Ground) -> Card:
    """Of the one task."""
    cards = [one for one in content_of(sheet_of(ground), MORNING).blocks if isinstance(one, Card)]
    return cards[-1]


def test_a_card_tells_verdict_kit_place_anchor_people_minutes_and_what_to_stop(
    ground: Ground,
) -> None:
    card = the_card(ground)
    assert card.verdict == "COVERED, NO BACKUP"
    told = dict(card.pairs)
    assert told["Kit"] == f"{ground.kit.name}: hangs at Silo deck"
    assert told["Anchor"].endswith(ground.anchor.shown_code)
    assert told["Rescuers"] == told["First aid"] == "Ines V."
    assert told["Time"] == "7 min from alarm to safety (target 15)"
    assert card.steps == ("Lower from above",)
    assert any("stop this task" in note for note in card.notes)
    assert any("hangs on" in note and ground.kit.name in note for note in card.notes)


def test_no_full_name_and_no_weight_stands_on_the_wall(ground: Ground) -> None:
    """Names as first name and initial; not even in why a task is not covered."""
    RotaEntry.objects.filter(person=ground.rescuer).delete()
    for one in (the_card(ground), *content_of(sheet_of(ground), MORNING).blocks):
        told = " ".join(one.texts)
        assert "Varga" not in told
        assert "Brand" not in told
        assert "kg" not in told


def test_an_uncovered_task_says_that_nobody_goes_up_and_why(ground: Ground) -> None:
    quarantine(ground.kit.item, reason="seal-broken", stamp=stamp(at=MORNING))
    card = the_card(ground)
    assert card.verdict == "NOT COVERED"
    assert card.notes[0] == "Nobody goes up for this task."
    assert any(ground.kit.name in note for note in card.notes[1:])


def test_two_tasks_on_one_kit_are_told_to_stop_for_one_another(ground: Ground) -> None:
    other = arrest_task(ground.zone, ground.shift, "CQ-2")
    other.rescue_anchors.add(ground.anchor)
    Exposure.objects.create(task=other, person=ground.worker)
    Plan.objects.filter(task=ground.task).update(stop_work=True)
    Plan.objects.filter(pk=plan_for(other).pk).update(stop_work=True)
    cards = [
        one
        for one in content_of(sheet_of(ground), MORNING).blocks
        if isinstance(one, Card) and one.sign
    ]
    assert [card.verdict for card in cards] == ["COVERED, NO BACKUP"] * 2
    assert any("stop: CQ-2 too" in note for note in cards[0].notes)
    assert any("stop: CQ-1 too" in note for note in cards[1].notes)


def test_the_paper_says_what_the_page_says(ground: Ground) -> None:
    sums_of(ground.task, ground.anchor)
    issued = hung(ground)
    assert unsaid(content_of(sheet_of(ground), MORNING), text_of_pdf(issued.file)) == []
    assert len(pages_of(issued.file)) == 1


def test_a_sheet_of_many_tasks_goes_on_and_says_so(ground: Ground) -> None:
    for number in range(2, 9):
        task = arrest_task(ground.zone, ground.shift, f"CQ-{number}")
        plan_for(task)
        rated_kit(ground.zone, f"RK-X{number}")
    pages = pages_of(hung(ground).file)
    assert len(pages) > 1
    assert squeezed(f"hang all {len(pages)} pages") in squeezed(pages[0])
    assert "goes on" not in pages[-1]


def _new_plan(ground: Ground) -> None:
    again = Plan(task=ground.task, method="Raise", target_minutes=15, reviewed_on=DAY)
    again.steps = "Shout\nClimb"
    write_plan(again, stamp=stamp())


def _hung_elsewhere(ground: Ground) -> None:
    ground.kit.item.place = "Gate 2"
    ground.kit.item.save()


def _other_alarm(ground: Ground) -> None:
    write_call(ground.site, alarm="Radio", numbers=[], stamp=stamp())


def _nobody(ground: Ground) -> None:
    RotaEntry.objects.filter(person=ground.rescuer).delete()


def _shift_moved(ground: Ground) -> None:
    ground.shift.ends = ground.shift.ends.replace(hour=19)
    ground.shift.save()


@pytest.mark.parametrize(
    ("change", "part"),
    [
        (_new_plan, "a rescue plan"),
        (_hung_elsewhere, "where a kit hangs"),
        (_other_alarm, "the alarm and whom to ring"),
        (_nobody, "the answers of cover"),
        (_shift_moved, "the hours of the shift"),
    ],
)
def test_any_change_supersedes_the_sheet_and_names_its_kind(
    ground: Ground, change: Callable[[Ground], None], part: str
) -> None:
    paper = hung(ground).paper
    assert check_paper(paper, MORNING).standing == "true"
    change(ground)
    checked = check_paper(paper, MORNING)
    assert checked.standing == "changed"
    assert part in checked.changed


def test_a_sheet_is_over_when_its_shift_is(ground: Ground) -> None:
    paper = hung(ground).paper
    ends = paper.good_until_at
    assert ends is not None
    assert check_paper(paper, ends).standing == "over"


def test_numbers_are_read_a_line_each_and_a_line_without_one_is_asked_for() -> None:
    sound = CallForm({"alarm": "Horn", "numbers": "Office: 01632 960 001\n\nEmergency 112"})
    assert sound.is_valid()
    assert sound.cleaned_data["numbers"] == [("Office", "01632 960 001"), ("Emergency", "112")]
    wrong = CallForm({"alarm": "Horn", "numbers": "the office"})
    assert "“the office” has no name or no number" in str(wrong.errors["numbers"])


def test_the_page_of_a_sheet_keeps_nothing_until_it_is_issued(ground: Ground) -> None:
    client = Client()
    client.force_login(user_as(Role.SUPERVISOR, ground.site))
    path = reverse(
        "readiness:wall-sheet", args=[ground.site.code, DAY.isoformat(), ground.shift.pk]
    )
    page = client.get(path).content.decode()
    assert "COVERED, NO BACKUP" in page
    assert not ShiftSheet.objects.exists()
    answer: Any = client.post(path, {"language": "pl", "size": "a4"})
    assert answer["Content-Type"] == "application/pdf"
    assert ShiftSheet.objects.get().day_on == DAY
