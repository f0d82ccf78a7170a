"""From rows to acts: who may examine what and when, what is promised, and what a job never does."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest
from django.test import Client
from django.urls import reverse

from inspections.models import Authorisation, Inspection
from readiness.actions.jobs import Given, drop_job, finish_job, give_out
from readiness.board.remedies import Question, found_for, given_of, mark_of, question, remedy_board
from readiness.facts import timelines
from readiness.models import Exposure, Job, RemedyTerms, RotaEntry
from readiness.rules.remedies import Act, RemedySet
from readiness.rules.remedies.candidates import offered
from readiness.rules.spans import spans
from register import clock
from register.models import Role
from register.refusal import Refusal
from tests.factories import DAY, NOON, PersonFactory, stamp, user_as
from tests.readiness.grounds import Ground, arrest_task, covered_site, rated_kit, train

pytestmark = pytest.mark.django_db


@pytest.fixture
def ground(monkeypatch: pytest.MonkeyPatch) -> Ground:
    """A site whose only kit has run out of date."""
    monkeypatch.setattr(clock, "reading", lambda: NOON)
    made = covered_site()
    Inspection.objects.filter(item=made.kit.item).update(
        performed_on=DAY - timedelta(days=900), performed_at=NOON - timedelta(days=900)
    )
    return made


def authorised(ground: Ground, *classes: str) -> None:
    span = {"from_on": DAY - timedelta(days=9), "through_on": DAY + timedelta(days=90)}
    Authorisation.objects.create(
        person=PersonFactory(name="Huw", home_site=ground.site), classes=list(classes), **span
    )


def asked(ground: Ground, now: datetime = NOON) -> Question:
    return question(ground.site, [ground.site], now, 7)


def acts(ground: Ground) -> list[Act]:
    question_now = asked(ground)
    key = (ground.site.code, ground.task.code)
    return list(offered(question_now.bench, key, question_now.means).acts)


def kinds(ground: Ground) -> set[str]:
    return {act.kind for act in acts(ground)}


def classes_of(ground: Ground) -> list[str]:
    parts = [part.item.product.equipment_class for part in ground.kit.parts.all() if part.item]
    return [ground.kit.item.product.equipment_class, *parts]


def test_an_inspector_who_is_authorised_for_the_kit_and_its_parts_is_offered(
    ground: Ground,
) -> None:
    authorised(ground, *classes_of(ground))

    (act,) = [one for one in acts(ground) if one.kind == "examine-kit"]

    assert act.who == "Huw"


def test_an_inspector_not_authorised_for_that_class_is_not_offered(ground: Ground) -> None:
    """Worked case (f)."""
    authorised(ground, "harness")

    assert "examine-kit" not in kinds(ground)


def test_an_authorisation_that_has_ended_by_the_half_day_is_none(ground: Ground) -> None:
    authorised(ground, *classes_of(ground))
    Authorisation.objects.update(through_on=DAY - timedelta(days=1))

    assert "examine-kit" not in kinds(ground)


def chosen(ground: Ground) -> RemedySet:
    _, found = found_for(asked(ground), ground.task.code)
    assert found.cheapest is not None
    return found.cheapest


def given_out(ground: Ground) -> list[Job]:
    given = [Given(act, "Examine the kit.") for act in chosen(ground).acts]
    return give_out(ground.task, given=given, stamp=stamp())


def states(ground: Ground, day: date = DAY) -> set[str]:
    (timeline,) = timelines([ground.site], day, day)
    begins = NOON - timedelta(hours=12)
    found = spans(timeline, begins, begins + timedelta(days=1))
    return {span.answers[ground.task.code].state for span in found if span.answers}


def test_a_job_given_out_covers_nobody(ground: Ground) -> None:
    authorised(ground, *classes_of(ground))
    before = states(ground)

    jobs = given_out(ground)

    assert [job.state for job in jobs] == ["open"]
    assert states(ground) == before == {"not-covered"}


def test_a_job_is_done_only_when_the_register_holds_the_evidence(ground: Ground) -> None:
    authorised(ground, *classes_of(ground))
    (job,) = given_out(ground)

    with pytest.raises(Refusal) as refused:
        finish_job(job, said="Looked at it.", stamp=stamp())
    assert refused.value.code == "no-inspection"

    Inspection.objects.filter(item=ground.kit.item).update(recorded_at=NOON + timedelta(hours=1))
    assert finish_job(job, said="", stamp=stamp()).state == "done"


def test_a_job_is_dropped_with_a_reason_and_ends_once(ground: Ground) -> None:
    authorised(ground, *classes_of(ground))
    (job,) = given_out(ground)

    with pytest.raises(Refusal):
        drop_job(job, said=" ", stamp=stamp())
    assert drop_job(job, said="Another way was found.", stamp=stamp()).state == "dropped"
    with pytest.raises(Refusal):
        drop_job(job, said="Again.", stamp=stamp())


def test_a_kit_promised_to_one_site_is_not_offered_to_another(ground: Ground) -> None:
    """Worked case (d), once the first set is accepted."""
    donor = covered_site("donor", "Donor")
    rated_kit(donor.zone, "RK-spare")
    sites = [ground.site, donor.site]
    key = (ground.site.code, ground.task.code)

    def moves() -> list[str]:
        now = question(ground.site, sites, NOON, 7)
        found = offered(now.bench, key, now.means).acts
        return [act.what for act in found if act.kind == "move-kit"]

    before = moves()
    assert "RK-spare" in before
    Job.objects.create(
        site=donor.site,
        task=donor.task,
        kind="move-kit",
        what="Elsewhere.",
        uses=["kit RK-spare"],
        due_at=NOON,
        given_at=NOON,
    )
    assert "RK-spare" not in moves()


def test_a_lenders_work_that_begins_after_the_days_looked_at_is_told(ground: Ground) -> None:
    """Nothing is said of it, so it is not said either that nothing there loses its cover."""
    donor = covered_site("donor", "Donor")
    rated_kit(donor.zone, "RK-spare")
    arrest_task(donor.zone, donor.shift, "CQ-9", day=DAY + timedelta(days=20))

    now = question(ground.site, [ground.site, donor.site], NOON, 7)
    board = remedy_board(now, ground.task.code)

    assert board is not None
    told = [one.costs_others for one in board.sets if "Move kit" in str(one.acts)]
    assert told
    assert all(
        "Donor has work that begins later and was not looked at: CQ-9" in " ".join(costs)
        for costs in told
    )


@pytest.mark.parametrize("exposed", [False, True])
def test_who_may_be_hanging_at_another_site_in_these_hours_is_not_offered(
    ground: Ground, *, exposed: bool
) -> None:
    donor = covered_site("donor", "Donor")
    bela = PersonFactory(name="Bela", home_site=donor.site)
    train(bela)
    rated_kit(ground.zone, "RK-new")
    RotaEntry.objects.filter(person=ground.rescuer).delete()
    if exposed:
        Exposure.objects.create(task=donor.task, person=bela)

    now = question(ground.site, [ground.site, donor.site], NOON, 7)
    found = offered(now.bench, (ground.site.code, ground.task.code), now.means).acts

    assert ("Bela" in {act.what for act in found}) is not exposed


def test_who_lends_a_kit_sees_the_job_and_what_it_costs_them(
    ground: Ground, client: Client
) -> None:
    """Worked case (a): the donor is told."""
    donor = covered_site("donor", "Donor")
    rated_kit(donor.zone, "RK-spare")
    now = question(ground.site, [ground.site, donor.site], NOON, 7)
    found = found_for(now, ground.task.code)[1].cheapest
    assert found is not None
    give_out(ground.task, given=given_of(found, now), stamp=stamp())

    client.force_login(user_as(Role.SUPERVISOR, donor.site))
    page = client.get(reverse("readiness:job-list")).content.decode()

    assert "Move kit" in page
    assert Job.objects.get(kind="move-kit").lender == donor.site


def test_the_time_until_a_set_works_is_given_out_as_a_stop(ground: Ground) -> None:
    authorised(ground, *classes_of(ground))
    now = asked(ground, NOON - timedelta(hours=2))
    found = found_for(now, ground.task.code)[1].cheapest
    assert found is not None
    assert found.stops

    jobs = give_out(ground.task, given=given_of(found, now), stamp=stamp())

    assert [job.kind for job in jobs] == ["examine-kit", "stop"]
    assert ground.task.code in jobs[1].what


def test_the_same_thing_is_not_given_out_twice(ground: Ground) -> None:
    authorised(ground, *classes_of(ground))
    given = [Given(act, "Examine the kit.") for act in chosen(ground).acts]
    give_out(ground.task, given=given, stamp=stamp())

    with pytest.raises(Refusal) as refused:
        give_out(ground.task, given=given, stamp=stamp())
    assert refused.value.code == "promised-already"


def test_the_employers_own_terms_stand_instead_of_the_proposal(ground: Ground) -> None:
    authorised(ground, *classes_of(ground))
    RemedyTerms.objects.create(kind="examine-kit", lead_hours=1, cost=7)

    (act,) = [one for one in acts(ground) if one.kind == "examine-kit"]

    assert act.cost == 7


def test_a_set_is_accepted_on_its_page_by_the_supervisor_and_read_by_all(
    ground: Ground, client: Client
) -> None:
    authorised(ground, *classes_of(ground))
    client.force_login(user_as(Role.SUPERVISOR, ground.site))
    address = [ground.site.code, ground.task.code]
    page = client.get(reverse("readiness:task-remedies", args=address))
    assert page.status_code == 200

    mark = mark_of(
        found_for(question(ground.site, [ground.site], NOON, 14), ground.task.code)[1].cheapest
    )
    client.post(reverse("readiness:remedies-accept", args=address), {"mark": mark, "days": "14"})
    assert sorted(Job.objects.values_list("kind", flat=True)) == ["examine-kit", "stop"]
    assert "Huw" in client.get(reverse("readiness:job-list")).content.decode()

    client.post(reverse("readiness:remedies-accept", args=address), {"mark": "old", "days": "14"})
    assert Job.objects.count() == 2


def test_the_terms_are_kept_by_a_manager_of_every_site(client: Client, ground: Ground) -> None:
    client.force_login(user_as(Role.MANAGER, None))
    page = reverse("readiness:terms-edit")
    form = client.get(page).context["terms"]
    said = {name: form[name].initial for name in form.fields} | {"which": "terms", "drill.cost": 5}

    assert client.post(page, said).status_code == 302
    assert RemedyTerms.objects.get(kind="drill").cost == 5
    assert client.post(page, {**said, "drill.cost": ""}).status_code == 422


def test_more_kits_and_people_ask_no_more_of_the_database(
    ground: Ground, django_assert_max_num_queries
) -> None:
    for n in range(4):
        rated_kit(ground.zone, f"RK-more-{n}")
    with django_assert_max_num_queries(55):
        asked(ground)
