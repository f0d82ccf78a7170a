"""Evidence and withdrawals: a manager and a competent person, two people, and no other way."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest

from inspections.actions.arresting import Fall, record_arrest
from inspections.actions.inspecting import Finding, inspect
from inspections.actions.undoing import (
    agree_release_of_hold,
    agree_undo_withdrawal,
    ask_release_of_hold,
    ask_undo_withdrawal,
)
from inspections.actions.using import release_from_quarantine
from inspections.models import Authorisation
from register.actions.conditions import destroy, let_go, quarantine, send_away, withdraw
from register.actions.custody import hand_out, put_back
from register.models import Grant, Hold, Item, Reversal, Site, User
from register.refusal import Refusal
from tests.factories import (
    DAY,
    NOON,
    ItemFactory,
    PersonFactory,
    SiteFactory,
    inspector,
    stamp,
    user_as,
)

HOUR = timedelta(hours=1)


def code_of(act: Callable[..., object], *args: object, **kwargs: object) -> str:
    with pytest.raises(Refusal) as refused:
        act(*args, **kwargs)
    return refused.value.code


# Evidence


@pytest.fixture
def held(item: Item) -> Item:
    """An anchor that arrested a fall: not finished by its class, and evidence."""
    item.product.equipment_class = "anchor"
    item.product.save()
    fall = Fall(happened_at=NOON, account="Held.", wearer=PersonFactory())
    record_arrest(item.site, items=[item], fall=fall, stamp=stamp(at=NOON + HOUR))
    return Item.objects.get(pk=item.pk)


def the_hold() -> Hold:
    return Hold.objects.get()


def test_evidence_is_not_destroyed_not_let_go_and_not_sent_away(held: Item) -> None:
    late = {"stamp": stamp(at=NOON + 2 * HOUR)}
    assert code_of(send_away, held, to="Maker", reference="1", **late) == "held-as-evidence"
    assert code_of(let_go, held, recipient="Owner", **late) == "held-as-evidence"
    withdraw(held, ground="arrested a fall", **late)
    told = {"method": "cut", "witness": PersonFactory(), **late}
    assert code_of(destroy, held, **told) == "held-as-evidence"
    held.refresh_from_db()
    assert held.condition == "withdrawn"


@pytest.mark.parametrize("asks", ["manager", "competent"])
def test_a_manager_and_a_competent_person_release_evidence(
    held: Item, huw: User, oyelaran: User, asks: str
) -> None:
    first, second = (oyelaran, huw) if asks == "manager" else (huw, oyelaran)
    ask_release_of_hold(the_hold(), because="Looked at by the maker.", stamp=stamp(first))
    withdraw(held, ground="arrested a fall", stamp=stamp())
    told = {"method": "cut", "witness": PersonFactory(), "stamp": stamp()}
    assert code_of(destroy, held, **told) == "held-as-evidence"  # asked is not agreed
    agree_release_of_hold(the_hold(), stamp=stamp(second))
    assert destroy(held, **told).condition == "destroyed"
    assert code_of(agree_release_of_hold, the_hold(), stamp=stamp(second)) == "released-already"


def test_one_person_alone_releases_no_evidence(held: Item, huw: User) -> None:
    assert code_of(agree_release_of_hold, the_hold(), stamp=stamp(huw)) == "nobody-asked"
    Grant.objects.create(user=huw, role="manager")
    both = User.objects.get(pk=huw.pk)
    ask_release_of_hold(the_hold(), because="Done.", stamp=stamp(both))
    assert code_of(agree_release_of_hold, the_hold(), stamp=stamp(both)) == "same-person"


def test_two_of_one_role_release_no_evidence(held: Item, huw: User) -> None:
    ask_release_of_hold(the_hold(), because="Done.", stamp=stamp(huw))
    act = {"stamp": stamp(inspector())}
    assert code_of(agree_release_of_hold, the_hold(), **act) == "both-roles-needed"


@pytest.mark.parametrize("role", ["stores-controller", "supervisor", "administrator", "auditor"])
def test_other_roles_are_not_asked_about_evidence(held: Item, role: str) -> None:
    act = {"because": "Done.", "stamp": stamp(user_as(role))}
    assert code_of(ask_release_of_hold, the_hold(), **act) == "not-one-of-two"


def test_a_role_at_another_site_does_not_count(held: Item, huw: User) -> None:
    elsewhere = user_as("manager", SiteFactory())
    ask_release_of_hold(the_hold(), because="Done.", stamp=stamp(huw))
    assert code_of(agree_release_of_hold, the_hold(), stamp=stamp(elsewhere)) == "not-one-of-two"


def test_who_fell_decides_nothing_about_the_evidence(item: Item, oyelaran: User) -> None:
    fall = Fall(happened_at=NOON, account="Held.", wearer=oyelaran.person)
    record_arrest(item.site, items=[item], fall=fall, stamp=stamp())
    act = {"because": "Done.", "stamp": stamp(oyelaran)}
    assert code_of(ask_release_of_hold, the_hold(), **act) == "released-by-who-fell"


def test_evidence_needs_a_written_reason(held: Item, huw: User) -> None:
    act = {"because": " ", "stamp": stamp(huw)}
    assert code_of(ask_release_of_hold, the_hold(), **act) == "reason-missing"


def test_a_request_of_somebody_who_lost_the_role_can_be_made_anew(
    held: Item, huw: User, oyelaran: User
) -> None:
    leaver = user_as("manager")
    ask_release_of_hold(the_hold(), because="Done.", stamp=stamp(leaver))
    leaver.grants.all().delete()
    act = {"stamp": stamp(huw)}
    assert code_of(agree_release_of_hold, the_hold(), **act) == "both-roles-needed"
    ask_release_of_hold(the_hold(), because="Done indeed.", stamp=stamp(oyelaran))
    assert agree_release_of_hold(the_hold(), stamp=stamp(huw)).released_by == huw


# Withdrawn in error


@pytest.fixture
def withdrawn(item: Item) -> Item:
    return withdraw(item, ground="policy", stamp=stamp())


def undone(item: Item, first: User, second: User, at: timedelta = HOUR) -> Item:
    ask_undo_withdrawal(item, because="Its twin was meant.", stamp=stamp(first, at=NOON + at))
    return agree_undo_withdrawal(item, stamp=stamp(second, at=NOON + at))


@pytest.mark.parametrize("asks", ["manager", "competent"])
def test_two_people_undo_a_withdrawal_into_quarantine_and_no_further(
    withdrawn: Item, huw: User, oyelaran: User, asks: str
) -> None:
    pair = (oyelaran, huw) if asks == "manager" else (huw, oyelaran)
    back = undone(withdrawn, *pair)
    assert (back.condition, back.quarantine_reason) == ("quarantined", "withdrawn-in-error")
    late = stamp(huw, at=NOON + 2 * HOUR)
    assert code_of(release_from_quarantine, back, stamp=late) == "no-pass-since"
    look = Finding(kind="detailed", verdict="pass", performed_at=late.at, inspector=huw.person)
    inspect(back, finding=look, stamp=late)
    assert release_from_quarantine(back, stamp=late.again()).condition == "in-service"


def test_asking_alone_undoes_nothing(withdrawn: Item, huw: User, oyelaran: User) -> None:
    ask_undo_withdrawal(withdrawn, because="Its twin was meant.", stamp=stamp(huw))
    withdrawn.refresh_from_db()
    assert withdrawn.condition == "withdrawn"
    assert code_of(agree_undo_withdrawal, withdrawn, stamp=stamp(huw)) == "same-person"
    act = {"because": "Again.", "stamp": stamp(oyelaran)}
    assert code_of(ask_undo_withdrawal, withdrawn, **act) == "asked-already"


def test_two_competent_persons_undo_no_withdrawal(withdrawn: Item, huw: User) -> None:
    assert code_of(undone, withdrawn, huw, inspector()) == "both-roles-needed"


def test_who_used_it_does_not_undo_its_withdrawal(item: Item, huw: User, oyelaran: User) -> None:
    hand_out(item, to=huw.person, due_back_on=None, stamp=stamp())
    put_back(item, loaded="no", wrong="no", stamp=stamp(at=NOON + HOUR))
    withdraw(item, ground="policy", stamp=stamp(at=NOON + HOUR))
    late = 2 * HOUR
    assert code_of(undone, item, huw, oyelaran, late) == "undone-by-its-user"
    assert code_of(undone, item, oyelaran, huw, late) == "undone-by-its-user"


def test_a_competent_person_of_another_class_undoes_no_withdrawal(
    withdrawn: Item, oyelaran: User
) -> None:
    dilip = user_as("competent-person")
    Authorisation.objects.create(
        person=dilip.person, classes=["anchor"], from_on=DAY, through_on=DAY
    )
    assert code_of(undone, withdrawn, oyelaran, dilip) == "not-authorised"


def test_nothing_undoes_a_destruction(withdrawn: Item, huw: User, oyelaran: User) -> None:
    ask_undo_withdrawal(withdrawn, because="Its twin was meant.", stamp=stamp(huw))
    destroy(withdrawn, method="cut", witness=PersonFactory(), stamp=stamp())
    act = {"stamp": stamp(oyelaran)}
    assert code_of(agree_undo_withdrawal, withdrawn, **act) == "destroyed-for-ever"
    act = {"because": "Still.", "stamp": stamp(oyelaran)}
    assert code_of(ask_undo_withdrawal, withdrawn, **act) == "destroyed-for-ever"


@pytest.mark.parametrize("condition", ["in-service", "received", "away", "not-located"])
def test_only_a_withdrawal_is_undone(item: Item, huw: User, condition: str) -> None:
    Item.objects.filter(pk=item.pk).update(condition=condition)
    with pytest.raises(Refusal):
        ask_undo_withdrawal(item, because="Odd.", stamp=stamp(huw))
    assert not Reversal.objects.exists()


def test_a_second_withdrawal_needs_a_request_of_its_own(
    withdrawn: Item, huw: User, oyelaran: User
) -> None:
    back = undone(withdrawn, huw, oyelaran)
    withdraw(back, ground="policy", stamp=stamp(at=NOON + 2 * HOUR))
    late = stamp(oyelaran, at=NOON + 3 * HOUR)
    assert code_of(agree_undo_withdrawal, back, stamp=late) == "nobody-asked"


# Release


def test_only_somebody_authorised_for_the_class_that_day_releases(site: Site, huw: User) -> None:
    item = ItemFactory(site=site)
    quarantine(item, reason="damage-found", stamp=stamp())
    late = NOON + HOUR
    look = Finding(kind="detailed", verdict="pass", performed_at=late, inspector=huw.person)
    inspect(item, finding=look, stamp=stamp(huw, at=late))
    dilip, lapsed = user_as("competent-person"), user_as("competent-person")
    Authorisation.objects.create(
        person=dilip.person, classes=["anchor"], from_on=DAY, through_on=DAY
    )
    day_before = DAY - timedelta(days=1)
    Authorisation.objects.create(person=lapsed.person, from_on=day_before, through_on=day_before)
    for who in (dilip, lapsed):
        refused = code_of(release_from_quarantine, item, stamp=stamp(who, at=late))
        assert refused == "releaser-not-authorised"
    assert code_of(release_from_quarantine, item, stamp=stamp(at=late)) == "no-releaser"
    assert release_from_quarantine(item, stamp=stamp(huw, at=late)).condition == "in-service"


def test_who_reported_it_from_use_does_not_release_it(item: Item, huw: User) -> None:
    quarantine(item, reason="pre-use-check-failed", stamp=stamp(huw))
    other, late = inspector(), NOON + HOUR
    look = Finding(kind="detailed", verdict="pass", performed_at=late, inspector=other.person)
    inspect(item, finding=look, stamp=stamp(other, at=late))
    act = {"stamp": stamp(huw, at=late)}
    assert code_of(release_from_quarantine, item, **act) == "releaser-reported-it"
    assert release_from_quarantine(item, stamp=stamp(other, at=late)).condition == "in-service"
