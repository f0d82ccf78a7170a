"""Receipts of issue, return and transfer: one way together, signed once, as it stood then."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from inspections.actions.handovers import make_handover, sign_handover
from inspections.actions.using import issue as issue_item
from inspections.actions.using import take_back
from inspections.documents.handover import HANDOVER, content_of
from register import clock
from register.actions.custody import dispatch
from register.actions.papers import name_employer
from register.documents.checking import check_paper
from register.documents.content import Sketch, Table
from register.documents.issuing import issue
from register.models import Entry, Handover, Item, Movement, Person, Role, Site, User
from register.refusal import Refusal
from tests.factories import (
    DAY,
    NOON,
    ItemFactory,
    PersonFactory,
    SiteFactory,
    passed,
    stamp,
    user_as,
)
from tests.register.reading_papers import text_of_pdf, unsaid

pytestmark = pytest.mark.django_db
DRAWN = (((10, 10), (400, 200)), ((500, 30), (510, 40)))


@pytest.fixture(autouse=True)
def held_clock(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "reading", lambda: NOON)


@pytest.fixture
def ines(site: Site) -> Person:
    person: Person = PersonFactory(name="Ines Carrow", home_site=site)
    return person


@pytest.fixture
def harness(site: Site) -> Item:
    made: Item = ItemFactory(site=site, serial="0412-7")
    passed(made, DAY)
    return made


def issued(item: Item, to: Person) -> Movement:
    issue_item(item, to=to, due_back_on=None, stamp=stamp())
    return item.movements.latest("pk")


def the_table(handover: Handover) -> Table:
    (table,) = [one for one in content_of(handover, NOON).blocks if isinstance(one, Table)]
    return table


def test_a_receipt_states_condition_and_limits_of_each_piece(harness: Item, ines: Person) -> None:
    harness.product.max_user_kg = 140
    harness.product.save()
    (row,) = the_table(make_handover([issued(harness, ines)], stamp=stamp())).rows
    assert row.cells[0] == harness.shown_code
    assert row.cells[2].startswith("OK until ")
    assert row.cells[3] == "users up to 140 kg"


def test_the_only_use_that_a_pass_with_conditions_left_stands_on_the_receipt(
    site: Site, ines: Person
) -> None:
    item = ItemFactory(site=site)
    passed(item, DAY, verdict="pass-with-conditions", restricted_to="restraint only")
    (row,) = the_table(make_handover([issued(item, ines)], stamp=stamp())).rows
    assert "restraint only" in row.cells[2]


def test_a_return_tells_both_answers_and_what_became_of_it(harness: Item, ines: Person) -> None:
    issued(harness, ines)
    take_back(harness, loaded="yes", wrong="no", note="", stamp=stamp())
    movement = harness.movements.get(kind="returned")
    (row,) = the_table(make_handover([movement], stamp=stamp())).rows
    assert row.cells[2:4] == ("Yes", "No")
    assert row.strong
    assert "quarantine" in row.cells[4].lower()


def test_a_transfer_carries_the_last_inspection_of_each_piece(harness: Item) -> None:
    """SI 2005/735, regulation 12: physical evidence of it goes along."""
    dispatch(harness, to=SiteFactory(), stamp=stamp())
    (row,) = the_table(make_handover([harness.movements.get()], stamp=stamp())).rows
    assert row.cells[3].startswith("Periodic examination")
    assert "9 Mar 2026" in row.cells[3]
    assert row.cells[2].startswith("OK until ")


def test_pieces_of_two_people_get_no_common_receipt(site: Site, ines: Person) -> None:
    one, two = ItemFactory.create_batch(2, site=site)
    for item in (one, two):
        passed(item, DAY)
    both = [issued(one, ines), issued(two, PersonFactory())]
    with pytest.raises(Refusal, match="one way together"):
        make_handover(both, stamp=stamp())


def test_a_piece_stands_on_one_receipt(harness: Item, ines: Person) -> None:
    movement = issued(harness, ines)
    make_handover([movement], stamp=stamp())
    with pytest.raises(Refusal, match="another receipt"):
        make_handover([movement], stamp=stamp())


def test_what_has_come_back_gets_no_receipt_of_its_issue(harness: Item, ines: Person) -> None:
    movement = issued(harness, ines)
    take_back(harness, loaded="no", wrong="no", note="", stamp=stamp())
    with pytest.raises(Refusal, match="moved on"):
        make_handover([movement], stamp=stamp())


def test_a_receipt_is_signed_once(harness: Item, ines: Person) -> None:
    handover = make_handover([issued(harness, ines)], stamp=stamp())
    signed = sign_handover(handover, name=" Ines  Carrow ", stamp=stamp())
    assert (signed.signed_name, signed.signed_how) == ("Ines Carrow", "typed")
    with pytest.raises(Refusal, match="signed already"):
        sign_handover(handover, name="Somebody", strokes=DRAWN, stamp=stamp())


def test_the_chain_keeps_a_hash_of_the_drawing_and_no_name(harness: Item, ines: Person) -> None:
    handover = make_handover([issued(harness, ines)], stamp=stamp())
    sign_handover(handover, name="Ines Carrow", strokes=DRAWN, stamp=stamp())
    entry = Entry.objects.filter(thing_kind="handover").latest("seq")
    assert len(str(entry.facts["strokes"])) == 64
    assert "Ines" not in entry.body


def test_the_paper_tells_what_was_then_and_stays_true(
    harness: Item, ines: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    name_employer(name="Aldermoor Works", address="1 Quay", paper_size="a4", stamp=stamp())
    handover = make_handover([issued(harness, ines)], stamp=stamp())
    sign_handover(handover, name="Ines Carrow", strokes=DRAWN, stamp=stamp())
    handover.refresh_from_db()
    file = issue(HANDOVER, handover, stamp=stamp(), language="en-gb")
    content = content_of(handover, NOON)
    assert unsaid(content, text_of_pdf(file.file)) == []
    assert [one for one in content.blocks if isinstance(one, Sketch)]
    assert "Ines" not in content.about
    take_back(harness, loaded="no", wrong="yes", note="", stamp=stamp())
    assert check_paper(file.paper, NOON + timedelta(days=400)).standing == "true"


def as_stores(site: Site) -> Client:
    client = Client()
    client.force_login(user_as(Role.STORES, site))
    return client


def test_the_page_offers_each_way_by_itself_and_leads_to_the_signature(
    site: Site, harness: Item, ines: Person
) -> None:
    movement = issued(harness, ines)
    client = as_stores(site)
    (going,) = client.get(reverse("inspections:handover-list")).context["going"]
    assert going.movements == (movement,)
    made = client.post(reverse("inspections:handover-new"), {"movement": [movement.pk]})
    sign = made.headers["Location"]
    assert 'value="Ines Carrow"' in client.get(sign).content.decode()
    client.post(sign, {"name": "Ines Carrow", "strokes": json.dumps(DRAWN)})
    handover = Handover.objects.get()
    assert handover.signed_how == "drawn"
    assert "<svg" in client.get(handover.get_absolute_url()).content.decode()


def test_a_spoilt_drawing_is_told_and_nothing_is_signed(
    site: Site, harness: Item, ines: Person, petra: User
) -> None:
    handover = make_handover([issued(harness, ines)], stamp=stamp(petra))
    sign = reverse("inspections:handover-sign", args=[handover.pk])
    page = as_stores(site).post(sign, {"name": "Ines", "strokes": "[[[9999,1]]]"})
    assert page.status_code == 422
    assert "could not be read" in page.content.decode()
    handover.refresh_from_db()
    assert handover.signed_at is None
