"""Sums that something has overtaken: offered to be done again, with what they would give."""

from __future__ import annotations

from datetime import timedelta

import pytest

from readiness.actions.jobs import Given, finish_job, give_out
from readiness.actions.sums import keep_sums
from readiness.board.remedies import found_for, question
from readiness.models import Task
from readiness.rules.remedies import Act
from readiness.rules.remedies.candidates import offered
from readiness.rules.situation import Clearance
from readiness.wording.acts import act_sentence
from register import clock
from register.actions.conditions import withdraw
from register.models import Role
from register.refusal import Refusal
from tests.factories import NOON, PersonFactory, stamp, user_as
from tests.readiness.asking import answers
from tests.readiness.fall_figures import lanyard_figures
from tests.readiness.grounds import Ground, anchor_at, covered_site

pytestmark = pytest.mark.django_db


@pytest.fixture
def ground(monkeypatch: pytest.MonkeyPatch) -> Ground:
    """Sums kept for 110 kg; then the task has somebody of 115 kg."""
    monkeypatch.setattr(clock, "reading", lambda: NOON)
    return covered_site()


def keep(ground: Ground, **changed: object) -> None:
    parts = {name: changed.pop(name) for name in ("anchor",) if name in changed}
    told: dict[str, object] = {"mass_kg": 110, "max_kg": 140, **changed}
    keep_sums(ground.task, topic="fall", figures=lanyard_figures(**told), stamp=stamp(), **parts)


def heavier(ground: Ground, kg: int = 115) -> None:
    Task.objects.filter(pk=ground.task.pk).update(heaviest_kg=kg)


def acts(ground: Ground) -> list[Act]:
    asked = question(ground.site, [ground.site], NOON, 7)
    key = (ground.site.code, ground.task.code)
    found = offered(asked.bench, key, asked.means).acts
    return [act for act in found if act.kind == "redo-sums"]


def test_sums_overtaken_by_a_heavier_person_are_offered_to_be_done_again(ground: Ground) -> None:
    keep(ground)
    heavier(ground)
    assert answers(ground.site)["CQ-1"].state == "not-assessed"
    (act,) = acts(ground)
    (step,) = act.steps
    assert step.change.clearance == Clearance(4.75, 6.0)  # type: ignore[attr-defined]
    assert step.at == NOON + timedelta(hours=4)
    assert act_sentence(act, {}).startswith("Do the planning sums of CQ-1 again")
    asked = question(ground.site, [ground.site], NOON, 7)
    cheapest = found_for(asked, "CQ-1")[1].cheapest
    assert cheapest is not None
    assert [one.kind for one in cheapest.acts] == ["redo-sums"]


def test_sums_that_stand_are_not_offered_again(ground: Ground) -> None:
    keep(ground)
    assert acts(ground) == []


def test_sums_that_would_give_no_answer_now_are_not_offered(ground: Ground) -> None:
    """145 kg is past what the absorber is made for; and an anchor that is out stays out."""
    keep(ground)
    heavier(ground, 145)
    assert acts(ground) == []
    beam = anchor_at(ground.zone, place="beam 4")
    heavier(ground, 110)
    keep(ground, anchor=beam)
    withdraw(beam, ground="bent", stamp=stamp())
    assert answers(ground.site)["CQ-1"].state == "not-assessed"
    assert acts(ground) == []


def test_sums_that_would_be_short_mend_nothing(ground: Ground) -> None:
    keep(ground, anchor_m=0.0, below=[{"name": "conveyor", "depth_m": 4.2}])
    heavier(ground)
    assert len(acts(ground)) == 1
    asked = question(ground.site, [ground.site], NOON, 7)
    cheapest = found_for(asked, "CQ-1")[1].cheapest
    assert cheapest is None or "redo-sums" not in {one.kind for one in cheapest.acts}


def test_the_planner_has_the_job_and_it_ends_only_with_newer_sums(ground: Ground) -> None:
    keep(ground)
    heavier(ground)
    planner = user_as(Role.PLANNER, ground.site)
    planner.person = PersonFactory(name="Neve")
    planner.save()
    (act,) = acts(ground)
    assert act.who == "Neve"
    (job,) = give_out(ground.task, given=[Given(act, "Do them again")], stamp=stamp())
    with pytest.raises(Refusal) as refusal:
        finish_job(job, said="", stamp=stamp())
    assert refusal.value.code == "no-sums"
    later = stamp(at=NOON + timedelta(hours=1))
    told = lanyard_figures(mass_kg=115, max_kg=140)
    keep_sums(ground.task, topic="fall", figures=told, stamp=later)
    finish_job(job, said="", stamp=stamp())
