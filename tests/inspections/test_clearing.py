"""Not in the load path after all: said by a competent person, and still only a pass brings it back."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from inspections.actions.arresting import Fall, record_arrest
from inspections.actions.clearing import clear_of_load
from inspections.actions.events import add_account
from inspections.actions.inspecting import Finding, inspect
from inspections.actions.using import release_from_quarantine
from inspections.models import Arrest, EventItem
from register.actions.conditions import quarantine
from register.actions.custody import hand_out
from register.models import Item, Person, User
from register.refusal import Refusal
from tests.factories import NOON, PersonFactory, inspector, passed, stamp, user_as

HOUR = timedelta(hours=1)
WHY = "It hung in the locker: photograph of the day."


def code_of(act: object, *args: object, **kwargs: object) -> str:
    with pytest.raises(Refusal) as refused:
        act(*args, **kwargs)  # type: ignore[operator]
    return refused.value.code


@pytest.fixture
def wearer(db: None) -> Person:
    made: Person = PersonFactory()
    return made


@pytest.fixture
def arrest(item: Item, wearer: Person) -> Arrest:
    """Nothing is named, so that all on issue to the wearer is out, finished by its class."""
    passed(item)
    hand_out(item, to=wearer, due_back_on=None, stamp=stamp(at=NOON - HOUR))
    fall = Fall(happened_at=NOON, account="A board turned.", wearer=wearer)
    return record_arrest(item.site, items=[], fall=fall, stamp=stamp(at=NOON + HOUR))


def line_of(item: Item) -> EventItem:
    return EventItem.objects.get(item=item)


def looked_at(item: Item, at: object = NOON + 3 * HOUR) -> None:
    huw = inspector()
    told = {"kind": "after-event", "verdict": "pass", "performed_at": at, "inspector": huw.person}
    inspect(item, finding=Finding(**told), stamp=stamp(huw, at=at))  # type: ignore[arg-type]


def test_what_was_not_in_the_path_comes_back_by_a_pass_and_a_release(
    arrest: Arrest, item: Item, huw: User
) -> None:
    looked_at(item)
    late = stamp(inspector(), at=NOON + 4 * HOUR)
    assert code_of(release_from_quarantine, item, stamp=late) == "finished-after-arrest"
    clear_of_load(line_of(item), because=WHY, stamp=stamp(huw, at=NOON + 2 * HOUR))
    item.refresh_from_db()
    assert (item.condition, item.quarantine_reason) == ("quarantined", "suspected-load")
    assert release_from_quarantine(item, stamp=late).condition == "in-service"
    line = line_of(item)
    assert (line.cleared_by, line.cleared_because) == (huw, WHY)
    assert item in arrest.hold.items.all()  # evidence it stays


def test_who_fell_or_is_not_authorised_clears_nothing(
    arrest: Arrest, item: Item, wearer: Person
) -> None:
    line = line_of(item)
    fallen = user_as("competent-person", person=wearer)
    assert code_of(clear_of_load, line, because=WHY, stamp=stamp(fallen)) == "cleared-by-its-user"
    other = user_as("competent-person")
    assert code_of(clear_of_load, line, because=WHY, stamp=stamp(other)) == "not-authorised"
    huw = inspector()
    assert code_of(clear_of_load, line, because=" ", stamp=stamp(huw)) == "reason-missing"
    clear_of_load(line, because=WHY, stamp=stamp(huw, at=NOON + 2 * HOUR))
    assert code_of(clear_of_load, line, because=WHY, stamp=stamp(huw)) == "cleared-already"


def test_what_somebody_saw_arrest_a_fall_is_not_cleared_by_one_line(
    arrest: Arrest, item: Item, huw: User
) -> None:
    quarantine(item, reason="arrested-a-fall", stamp=stamp(at=NOON + 2 * HOUR))
    late = NOON + 3 * HOUR
    clear_of_load(line_of(item), because=WHY, stamp=stamp(huw, at=late))
    item.refresh_from_db()
    assert item.quarantine_reason == "arrested-a-fall"


def test_named_again_later_it_is_out_again_and_was_in_the_path(
    arrest: Arrest, item: Item, huw: User
) -> None:
    clear_of_load(line_of(item), because=WHY, stamp=stamp(huw, at=NOON + 2 * HOUR))
    looked_at(item)
    release_from_quarantine(item, stamp=stamp(inspector(), at=NOON + 4 * HOUR))
    add_account(arrest, text="He wore it.", items=[item], stamp=stamp(at=NOON + 5 * HOUR))
    item.refresh_from_db()
    assert (item.condition, item.quarantine_reason) == ("quarantined", "arrested-a-fall")
    looked_at(item, NOON + 6 * HOUR)
    last = stamp(inspector(), at=NOON + 7 * HOUR)
    assert code_of(release_from_quarantine, item, stamp=last) == "finished-after-arrest"


def test_the_page_of_the_fall_leads_to_it(
    arrest: Arrest, item: Item, huw: User, client: Client
) -> None:
    client.force_login(huw)
    address = reverse("inspections:event-clear", args=[arrest.pk, item.code])
    assert address in client.get(arrest.get_absolute_url()).content.decode()
    empty = client.post(address, {"because": ""}).content.decode()
    assert "Fill in “How it is known”" in empty
    assert client.post(address, {"because": WHY}).status_code == 302
    page = client.get(arrest.get_absolute_url()).content.decode()
    assert WHY in page
    assert address not in page
