"""Every road from one condition to another: who may take it, on what evidence, and no other way.

The table is copied by hand from the rules of the trade. Each act is tried by each role on an item in
each condition, through the table of needs and with sound evidence; the ledger tells what changed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress
from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.db import transaction

from inspections.actions.inspecting import Finding, Flaw, inspect
from inspections.actions.undoing import agree_undo_withdrawal, ask_undo_withdrawal
from inspections.actions.using import accept_into_service, release_from_quarantine
from inspections.models import Authorisation
from register.access import may
from register.actions.conditions import (
    destroy,
    let_go,
    quarantine,
    report_found,
    report_lost,
    send_away,
    take_back_from_service,
    withdraw,
)
from register.actions.goods_in import reject
from register.models import Entry, Item, Role, Site, User
from register.refusal import Refusal
from register.rules.conditions import Condition
from tests.factories import DAY, NOON, ItemFactory, PersonFactory, inspector, stamp, user_as

HOUR = timedelta(hours=1)
LATE = NOON + 3 * HOUR
ANYONE = frozenset(Role)
STORES, COMPETENT, MANAGER = Role.STORES, Role.COMPETENT, Role.MANAGER
STORES_OR_COMPETENT = frozenset({STORES, COMPETENT})
ON_SITE = frozenset({STORES, Role.SUPERVISOR})

# From, to, and the roles that take this road; undoing a withdrawal takes one of each.
ROADS: dict[tuple[str, str], frozenset[Role]] = {
    ("received", "in-service"): STORES_OR_COMPETENT,
    ("received", "quarantined"): ANYONE,
    ("received", "withdrawn"): STORES_OR_COMPETENT,
    ("received", "not-located"): ON_SITE,
    ("received", "left"): frozenset({STORES}),
    ("in-service", "quarantined"): ANYONE,
    ("in-service", "away"): STORES_OR_COMPETENT,
    ("in-service", "withdrawn"): STORES_OR_COMPETENT,
    ("in-service", "not-located"): ON_SITE,
    ("in-service", "left"): frozenset({STORES}),
    ("quarantined", "in-service"): frozenset({COMPETENT}),
    ("quarantined", "away"): STORES_OR_COMPETENT,
    ("quarantined", "withdrawn"): STORES_OR_COMPETENT,
    ("quarantined", "not-located"): ON_SITE,
    ("quarantined", "left"): frozenset({STORES}),
    ("away", "quarantined"): ANYONE,
    ("away", "withdrawn"): STORES_OR_COMPETENT,
    ("away", "not-located"): ON_SITE,
    ("withdrawn", "quarantined"): frozenset({COMPETENT, MANAGER}),
    ("withdrawn", "destroyed"): frozenset({STORES}),
    ("withdrawn", "left"): frozenset({STORES}),
    ("not-located", "quarantined"): ANYONE,
}
STANDING = [condition for condition in Condition if condition]
Act = Callable[[Item, User], object]


def failed(item: Item, by: User) -> object:
    """A fail, signed by this person at the bench."""
    flaw = Flaw(grade="A", what="edge cut of 3 mm")
    told = {"performed_at": LATE, "inspector": by.person, "flaws": [flaw]}
    finding = Finding(kind="detailed", verdict="fail", **told)  # type: ignore[arg-type]
    return inspect(item, finding=finding, stamp=stamp(by, at=LATE))


def undone(item: Item, by: User) -> object:
    """Asked by this person, agreed to by somebody with the other role."""
    is_manager = by.grants.filter(role=MANAGER).exists()
    other = inspector() if is_manager else user_as(MANAGER)
    ask_undo_withdrawal(item, because="Its twin was meant.", stamp=stamp(by, at=LATE))
    return agree_undo_withdrawal(item, stamp=stamp(other, at=LATE))


def late(by: User) -> dict[str, object]:
    return {"stamp": stamp(by, at=LATE)}


# The need at the edge, and the act with sound evidence.
ACTS: dict[str, tuple[str, Act]] = {
    "accept": ("item.accept", lambda item, by: accept_into_service([item], on=DAY, **late(by))),
    "reject": ("item.receive", lambda item, by: reject([item], because="wrong size", **late(by))),
    "quarantine": (
        "item.quarantine",
        lambda item, by: quarantine(item, reason="damage-found", **late(by)),
    ),
    "release": ("item.release", lambda item, by: release_from_quarantine(item, **late(by))),
    "fail": ("inspection.record", failed),
    "withdraw": ("item.withdraw", lambda item, by: withdraw(item, ground="policy", **late(by))),
    "undo": ("item.undo-withdrawal", undone),
    "destroy": (
        "item.destroy",
        lambda item, by: destroy(item, method="cut", witness=PersonFactory(), **late(by)),
    ),
    "lose": ("item.report-lost", lambda item, by: report_lost(item, search_note="all", **late(by))),
    "find": (
        "item.report-found",
        lambda item, by: report_found(item, site=item.site, where="van", **late(by)),
    ),
    "send": (
        "item.send-away",
        lambda item, by: send_away(item, to="Maker", reference="1", **late(by)),
    ),
    "back": (
        "item.send-away",
        lambda item, by: take_back_from_service(item, certificate="1", **late(by)),
    ),
    "let-go": ("item.let-go", lambda item, by: let_go(item, recipient="Owner", **late(by))),
}


def item_in(condition: str, site: Site) -> Item:
    """An item that was quarantined, passed since, and stands in the condition now."""
    item: Item = ItemFactory(site=site)
    quarantine(item, reason="damage-found", stamp=stamp())
    huw = inspector()
    look = Finding(kind="detailed", verdict="pass", performed_at=NOON + HOUR, inspector=huw.person)
    inspect(item, finding=look, stamp=stamp(huw, at=NOON + HOUR))
    Item.objects.filter(pk=item.pk).update(condition=condition)
    if condition == Condition.NOT_LOCATED:
        Item.objects.filter(pk=item.pk).update(custody="not-located")
    return Item.objects.get(pk=item.pk)


def acting(role: Role, site: Site) -> User:
    if role == COMPETENT:
        return inspector(site)
    return user_as(role, site)


def changes_by(item: Item, seen: set[int]) -> Iterator[tuple[str, str]]:
    for entry in Entry.objects.filter(thing_kind="item", thing_id=str(item.pk)):
        said = entry.facts
        if entry.seq not in seen and "from" in said and "to" in said:
            yield str(said["from"]), str(said["to"])


def tried(item: Item, by: User, need: str, act: Act) -> set[tuple[str, str]]:
    """The changes the act makes, each tried on the item as it stands and taken back."""
    if not may(by, need, item.site_id):
        return set()
    seen = set(Entry.objects.filter(thing_id=str(item.pk)).values_list("seq", flat=True))
    made: set[tuple[str, str]] = set()
    with suppress(Refusal, ValidationError), transaction.atomic():
        act(item, by)
        made = set(changes_by(item, seen))
        raise Refusal("taken-back", "Tried only.")
    return made


@pytest.mark.parametrize("role", list(Role))
@pytest.mark.parametrize("start", STANDING)
def test_each_role_takes_the_roads_that_are_its_own_and_no_other(
    start: Condition, role: Role, site: Site
) -> None:
    item, by = item_in(start, site), acting(role, site)
    made: set[tuple[str, str]] = set()
    for need, act in ACTS.values():
        made |= tried(item, by, need, act)
    own = {road for road, roles in ROADS.items() if road[0] == start and role in roles}
    assert {road for road in made if road[0] == start} == own
    assert made <= ROADS.keys()  # what follows in one act is a road as well
    item.refresh_from_db()
    assert item.condition == start


NO_EVIDENCE: dict[str, tuple[str, Act]] = {
    "a release without a pass since": (
        "quarantined",
        lambda item, by: (
            quarantine(item, reason="dropped", stamp=stamp(at=NOON + 2 * HOUR)),
            release_from_quarantine(item, **late(by)),
        ),
    ),
    "a release on a look that does not count": (
        "quarantined",
        lambda item, by: (
            item.inspections.update(counts=False),
            release_from_quarantine(item, **late(by)),
        ),
    ),
    "a release by somebody who is not authorised that day": (
        "quarantined",
        lambda item, by: (
            Authorisation.objects.filter(person=by.person).delete(),
            release_from_quarantine(item, **late(by)),
        ),
    ),
    "a withdrawal without a ground": (
        "in-service",
        lambda item, by: withdraw(item, ground=" ", **late(by)),
    ),
    "a destruction without a method": (
        "withdrawn",
        lambda item, by: destroy(item, method=" ", witness=PersonFactory(), **late(by)),
    ),
    "a destruction before oneself": (
        "withdrawn",
        lambda item, by: destroy(item, method="cut", witness=by.person, **late(by)),
    ),
    "a loss without a search": (
        "in-service",
        lambda item, by: report_lost(item, search_note=" ", **late(by)),
    ),
    "a service at nobody's": (
        "in-service",
        lambda item, by: send_away(item, to=" ", reference="1", **late(by)),
    ),
    "a leave to nobody": ("in-service", lambda item, by: let_go(item, recipient=" ", **late(by))),
    "a rejection without a reason": (
        "received",
        lambda item, by: reject([item], because=" ", **late(by)),
    ),
    "an undoing without a reason": (
        "withdrawn",
        lambda item, by: ask_undo_withdrawal(item, because=" ", **late(by)),
    ),
    "an undoing that nobody asked for": (
        "withdrawn",
        lambda item, by: agree_undo_withdrawal(item, **late(by)),
    ),
}


@pytest.mark.parametrize("what", NO_EVIDENCE)
def test_no_road_is_open_without_its_evidence(what: str, site: Site) -> None:
    start, act = NO_EVIDENCE[what]
    item = item_in(start, site)
    with pytest.raises(Refusal):
        act(item, inspector(site))
    item.refresh_from_db()
    assert item.condition == start
