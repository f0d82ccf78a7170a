"""What is held of a person can be handed to them, and the name forgotten while the record stands."""

from __future__ import annotations

from datetime import timedelta

import pytest
from allauth.mfa.models import Authenticator
from django.test import Client
from django.urls import reverse

from inspections.models import Inspection
from register.actions.erasing import erase_person
from register.actions.ledger import verify_ledger
from register.models import Entry, Item, Message, Person, Role, Site, User
from register.personal import counted, told
from register.refusal import Refusal
from tests.factories import DAY, NOON, inspector, passed, stamp, user_as

pytestmark = pytest.mark.django_db
NAME = "Ines Carrow"


@pytest.fixture
def ada(site: Site) -> User:
    return user_as(Role.ADMINISTRATOR, username="ada")


@pytest.fixture
def ines(site: Site, item: Item) -> Person:
    """She inspected, signs in with a passkey, had a letter, and has left."""
    user = inspector()
    User.objects.filter(pk=user.pk).update(username="ines")
    Person.objects.filter(pk=user.person_id).update(name=NAME, left_on=DAY - timedelta(days=1))
    Authenticator.objects.create(user=user, type="webauthn", data={"name": "phone"})
    Message.objects.create(
        user=user,
        kind="morning",
        key="1",
        subject="Due",
        text=f"To {NAME}",
        made_at=NOON,
        next_try_at=NOON,
    )
    passed(item, inspector=user.person)
    person: Person = Person.objects.get(pk=user.person_id)
    return person


def test_all_that_points_at_a_person_or_their_login_is_told(ines: Person) -> None:
    found = told(ines)
    assert found["register.Person"][0]["name"] == NAME
    assert found["register.User"][0]["username"] == "ines"
    assert found["register.Message"][0]["subject"] == "Due"
    assert len(found["inspections.Inspection"]) == 1
    assert dict(counted(ines))["inspections"] == 1


def test_no_secret_is_handed_out(ines: Person) -> None:
    user = told(ines)["register.User"][0]
    assert (user["password"], user["ledger_salt"]) == ("(not shown)", "(not shown)")


def test_a_forgotten_name_is_nowhere_and_the_record_stands(ines: Person, ada: User) -> None:
    before = Inspection.objects.values_list("pk", "verdict", "counts").get()
    erase_person(ines, stamp=stamp(ada))
    for row in (Person.objects.get(pk=ines.pk), User.objects.get(person=ines)):
        assert NAME not in str(row.__dict__)
    assert "ines" not in str(User.objects.get(person=ines).__dict__)
    assert not Message.objects.filter(user__person=ines).exists()
    assert not Authenticator.objects.exists()
    assert Inspection.objects.values_list("pk", "verdict", "counts").get() == before
    assert Inspection.objects.get().inspector_id == ines.pk
    assert verify_ledger().misfits == ()
    assert not Entry.objects.filter(body__contains=NAME).exists()


def test_who_is_still_here_is_not_forgotten(ines: Person, ada: User) -> None:
    Person.objects.filter(pk=ines.pk).update(left_on=None)
    with pytest.raises(Refusal, match="has not left"):
        erase_person(ines, stamp=stamp(ada))
    Person.objects.filter(pk=ines.pk).update(left_on=DAY)
    Item.objects.update(holder=ines, custody="issued")
    with pytest.raises(Refusal, match="still has equipment"):
        erase_person(ines, stamp=stamp(ada))


def test_the_name_must_be_typed_as_it_stands(ines: Person, ada: User) -> None:
    client = Client()
    client.force_login(ada)
    page = reverse("register:person-erase", args=[ines.pk])
    refused = client.post(page, {"name": "Ines"})
    assert refused.status_code == 422
    assert NAME in refused.content.decode()
    assert Person.objects.get(pk=ines.pk).name == NAME
    client.post(page, {"name": NAME})
    assert Person.objects.get(pk=ines.pk).name == f"Person {ines.pk:04d}"


def test_the_file_is_kept_by_no_browser(ines: Person, ada: User) -> None:
    client = Client()
    client.force_login(ada)
    answer = client.get(reverse("register:person-export", args=[ines.pk]))
    assert answer["Content-Disposition"].startswith("attachment")
    assert answer["Cache-Control"] == "no-store"
    assert answer.json()["register.Person"][0]["name"] == NAME
