"""Users and their roles: entered, closed, given and taken by administrators alone."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta

import pytest
from django.test import Client
from django.urls import reverse

from register.actions.people import change_person
from register.actions.users import give_role, new_first_password, take_role
from register.models import Entry, Grant, Person, Role, Site, User
from register.refusal import Refusal
from tests.factories import DAY, NOON, PersonFactory, SiteFactory, stamp, user_as


@pytest.fixture
def ade(db: None) -> User:
    """The administrator of every site."""
    return user_as(Role.ADMINISTRATOR, username="ade")


@pytest.fixture
def administrator(client: Client, ade: User) -> Client:
    client.force_login(ade)
    return client


def refusal_of(answer: object) -> str:
    return str(answer.context["form"].non_field_errors()[0])  # type: ignore[attr-defined]


def entered(client: Client, username: str, password: str) -> bool:
    """Whether the login page lets this user in."""
    client.post(reverse("login"), {"username": username, "password": password})
    return "_auth_user_id" in client.session


def test_somebody_new_gets_a_password_that_they_must_change(
    site: Site, administrator: Client
) -> None:
    told = {"name": "Ines Carrow", "username": "Ines", "role": "supervisor", "site": site.pk}
    answer = administrator.post(reverse("register:user-new"), told)
    password = answer.context["password"]
    assert password in answer.content.decode()
    assert "no-store" in answer["Cache-Control"]

    ines, at_home = User.objects.get(username="ines"), Client()
    assert (ines.person.name, ines.holdings) == ("Ines Carrow", {("supervisor", site.pk)})  # type: ignore[union-attr]
    assert entered(at_home, "ines", password)
    asked = at_home.get(reverse("readiness:morning"))
    assert asked["Location"] == reverse("password")

    chosen = {
        "old_password": password,
        "new_password1": "a-hook-of-my-own",
        "new_password2": "a-hook-of-my-own",
    }
    assert at_home.post(reverse("password"), chosen).status_code == 302
    assert at_home.get(reverse("readiness:morning")).status_code == 200
    verbs = Entry.objects.filter(thing_kind="user", thing_id=str(ines.pk)).order_by("seq")
    assert [entry.act.verb for entry in verbs] == ["add-user", "change-password"]
    assert not any("hook" in entry.body or password in entry.body for entry in Entry.objects.all())


def test_first_passwords_are_never_twice_the_same() -> None:
    made = {new_first_password() for _ in range(50)}
    assert len(made) == 50
    assert all(re.fullmatch(r"[a-z2-9]{4}-[a-z2-9]{4}-[a-z2-9]{4}", one) for one in made)


def test_one_of_the_people_gets_one_user(administrator: Client) -> None:
    ines = PersonFactory(name="Ines Carrow")
    address = reverse("register:user-new")
    told = {"person": ines.pk, "username": "ines", "role": "auditor"}
    assert "password" in administrator.post(address, told).context
    again = administrator.post(address, {**told, "username": "ines2"})
    assert again.status_code == 422
    assert list(User.objects.filter(person=ines).values_list("username", flat=True)) == ["ines"]


def test_a_user_name_that_is_taken_enters_nobody(administrator: Client) -> None:
    told = {"name": "Ines Carrow", "username": "ADE", "role": "auditor"}
    answer = administrator.post(reverse("register:user-new"), told)
    assert refusal_of(answer) == "A user is called “ADE” already. Choose another."
    assert answer.context["form"]["name"].value() == "Ines Carrow"
    assert not Person.objects.filter(name="Ines Carrow").exists()


def test_a_closed_user_is_out_at_once_and_the_person_stays(administrator: Client) -> None:
    ines, there = user_as(Role.MANAGER), Client()
    there.force_login(ines)
    assert there.get(reverse("readiness:morning")).status_code == 200
    assert administrator.post(reverse("register:user-close", args=[ines.pk])).status_code == 302
    assert there.get(reverse("readiness:morning")).status_code == 302
    assert Person.objects.filter(user=ines).exists()
    assert Grant.objects.filter(user=ines).exists()


def test_a_closed_user_is_opened_again_with_a_new_password(administrator: Client) -> None:
    ines = user_as(Role.MANAGER, is_active=False)
    answer = administrator.post(reverse("register:user-reopen", args=[ines.pk]))
    assert entered(Client(), ines.username, answer.context["password"])


def test_who_has_forgotten_gets_a_new_first_password(administrator: Client) -> None:
    ines = user_as(Role.MANAGER)
    answer = administrator.post(reverse("register:user-password", args=[ines.pk]))
    assert entered(Client(), ines.username, answer.context["password"])
    assert User.objects.get(pk=ines.pk).has_first_password


def test_the_last_administrator_can_be_neither_closed_nor_taken_away(
    administrator: Client, ade: User
) -> None:
    user_as(Role.ADMINISTRATOR, is_active=False)
    user_as(Role.ADMINISTRATOR, SiteFactory())
    administrator.post(reverse("register:user-close", args=[ade.pk]))
    grant = ade.grants.get()
    answer = administrator.post(reverse("register:role-take", args=[ade.pk, grant.pk]), follow=True)
    assert "is the last administrator of every site" in answer.content.decode()
    assert User.objects.get(pk=ade.pk).holdings == {("administrator", None)}


def test_one_of_two_administrators_goes(ade: User) -> None:
    user_as(Role.ADMINISTRATOR)
    take_role(ade.grants.get(), stamp=stamp())
    assert User.objects.get(pk=ade.pk).holdings == frozenset()


def test_a_role_is_given_and_taken_in_the_ledger(site: Site, administrator: Client) -> None:
    ines = user_as(Role.WORKER, site)
    address = reverse("register:role-give", args=[ines.pk])
    assert administrator.post(address, {"role": "manager", "site": site.pk}).status_code == 302
    twice = administrator.post(address, {"role": "manager", "site": site.pk})
    assert refusal_of(twice) == f"{ines} is manager there already."
    grant = ines.grants.get(role="manager")
    administrator.post(reverse("register:role-take", args=[ines.pk, grant.pk]))
    entries = Entry.objects.filter(thing_kind="user", thing_id=str(ines.pk)).order_by("seq")
    assert [(entry.act.verb, entry.facts["role"]) for entry in entries] == [
        ("give-role", "manager at corrick"),
        ("take-role", "manager at corrick"),
    ]


def test_who_gives_the_roles_does_not_inspect(ade: User, huw: User) -> None:
    for user, role in ((ade, Role.COMPETENT), (huw, Role.ADMINISTRATOR)):
        with pytest.raises(Refusal) as refused:
            give_role(user, role=role, site=None, stamp=stamp())
        assert refused.value.code == "roles-apart"


def test_a_sites_administrator_gives_roles_there_and_nowhere_else(
    site: Site, client: Client
) -> None:
    client.force_login(user_as(Role.ADMINISTRATOR, site))
    ours, theirs = user_as(Role.WORKER, site), user_as(Role.WORKER, SiteFactory())
    everywhere = user_as(Role.WORKER)
    answer = client.post(reverse("register:role-give", args=[ours.pk]), {"role": "manager"})
    assert answer.context["form"].errors["site"] == ["Choose one under “Site”."]
    for other in (theirs, everywhere):
        assert client.get(reverse("register:role-give", args=[other.pk])).status_code == 404
    listed = client.get(reverse("register:user-list")).context["users"]
    assert ours in listed
    assert theirs not in listed


def test_a_leavers_user_is_closed_from_that_day(db: None) -> None:
    left, leaving = user_as(Role.MANAGER), user_as(Role.MANAGER)
    _leaves(left, DAY)
    _leaves(leaving, DAY + timedelta(days=1))
    assert not User.objects.get(pk=left.pk).is_active
    assert User.objects.get(pk=leaving.pk).is_active


def test_a_last_day_to_come_shuts_out_by_itself(db: None) -> None:
    """No act closed the user; the day, long past by any clock, does."""
    ines, there = user_as(Role.MANAGER), Client()
    _leaves(ines, date(2020, 1, 2), datetime(2020, 1, 1, 12, tzinfo=UTC))
    assert User.objects.get(pk=ines.pk).is_active
    there.force_login(ines)
    assert there.get(reverse("readiness:morning")).status_code == 302


def test_the_last_administrator_does_not_leave(ade: User) -> None:
    with pytest.raises(Refusal) as refused:
        _leaves(ade, DAY)
    assert refused.value.code == "last-administrator"
    assert Person.objects.get(user=ade).left_on is None


def _leaves(user: User, day: date, at: datetime = NOON) -> None:
    assert user.person
    change_person(
        user.person,
        name=user.person.name,
        employer="",
        home_site=None,
        left_on=day,
        stamp=stamp(at=at),
    )
