"""What if: before and after side by side, nothing kept, and a file that is answered the same."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from readiness.board.what_if import Beside
from readiness.rules.what_if_answers import answered
from register import clock
from register.models import Act, Role, Site
from tests.factories import DAY, NOON, user_as
from tests.readiness.grounds import Ground, covered_site, rated_kit

pytestmark = pytest.mark.django_db
ON = {"on": DAY.isoformat()}


@pytest.fixture
def ground(monkeypatch: pytest.MonkeyPatch, client: Client) -> Ground:
    monkeypatch.setattr(clock, "reading", lambda: NOON)
    made = covered_site()
    client.force_login(user_as(Role.MANAGER, None))
    return made


def rows(client: Client, ground: Ground, **asked: object) -> list[Beside]:
    page = client.get(reverse("readiness:site-what-if", args=[ground.site.code]), {**ON, **asked})
    assert page.status_code == 200
    found: list[Beside] = page.context["rows"]
    return found


def states(row: Beside) -> tuple[str, str]:
    """On the first day, before and after."""
    return (row.before.drawing.runs[0].state, row.after.drawing.runs[0].state)


def test_a_kit_taken_away_shows_the_line_before_and_after(client: Client, ground: Ground) -> None:
    (row,) = rows(client, ground, take=[f"kit:{ground.kit.name}"])

    assert states(row) == ("covered-no-backup", "not-covered")
    assert row.after.reasons
    assert not row.same


def test_a_person_taken_away_and_one_put_on_instead(client: Client, ground: Ground) -> None:
    other = covered_site("other", "Other")
    gone = f"person:{ground.rescuer.pk}"

    assert states(rows(client, ground, take=[gone])[0])[1] == "not-covered"
    put_on = rows(client, ground, take=[gone], person=str(other.rescuer.pk))
    assert states(put_on[0])[1] == "covered-no-backup"
    assert [row.site for row in put_on] == ["", "Other"]
    assert states(put_on[1])[1] == "not-covered"


def test_a_kit_brought_from_another_site_leaves_that_site(client: Client, ground: Ground) -> None:
    other = covered_site("other", "Other")

    found = rows(client, ground, kit=other.kit.name, task=ground.task.code)

    assert [(row.site, states(row)[1]) for row in found][-1] == ("Other", "not-covered")


def test_a_task_done_another_way_or_on_another_day(client: Client, ground: Ground) -> None:
    asked = {"task": ground.task.code}

    (safe,) = rows(client, ground, **asked, system="collective")
    (high,) = rows(client, ground, **asked, lower_m="90")
    (later,) = rows(client, ground, **asked, later_days="2")

    assert states(safe)[1] == "no-rescue-cover-needed"
    assert states(high)[1] == "not-covered"
    assert states(later)[1] == "not-worked"


def test_nothing_is_kept(client: Client, ground: Ground) -> None:
    before = (Act.objects.count(), Site.objects.get(pk=ground.site.pk).facts_version)

    rows(client, ground, take=[f"kit:{ground.kit.name}"], task=ground.task.code, first_call="on")

    assert (Act.objects.count(), Site.objects.get(pk=ground.site.pk).facts_version) == before


@pytest.mark.parametrize("taken", ["", "kit", "person"])
def test_the_file_of_a_moment_is_answered_as_the_page_says(
    client: Client, ground: Ground, taken: str
) -> None:
    things = {"kit": f"kit:{ground.kit.name}", "person": f"person:{ground.rescuer.pk}"}
    asked = {**ON, "at": "10:00", "take": [things[taken]] if taken else []}
    address = reverse("readiness:what-if-download", args=[ground.site.code])

    text = client.get(address, asked).content.decode()

    (answers,) = answered(text).values()
    (row,) = rows(client, ground, take=asked["take"])
    assert answers[ground.task.code]["state"] == states(row)[1]


def test_what_cannot_be_read_is_told_beside_its_field(client: Client, ground: Ground) -> None:
    address = reverse("readiness:site-what-if", args=[ground.site.code])

    page = client.get(address, {**ON, "task": ground.task.code, "lower_m": "high"})

    assert page.context["form"].errors.keys() == {"lower_m"}
    assert not page.context["asks"]


def test_kits_of_sites_that_are_not_the_users_are_not_offered(
    client: Client, ground: Ground
) -> None:
    other = covered_site("other", "Other")
    rated_kit(other.zone, "RK-hidden", DAY - timedelta(days=1))
    client.force_login(user_as(Role.SUPERVISOR, ground.site))

    page = client.get(reverse("readiness:site-what-if", args=[ground.site.code]), ON)

    assert "RK-hidden" not in page.content.decode()
