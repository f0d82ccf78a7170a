"""The contents card of a kit: what is in it, what it can do, and that a change supersedes it."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from readiness.documents.kit_card import KIT_CARD, content_of
from readiness.models import KitAbility
from register import clock
from register.actions.conditions import quarantine
from register.actions.papers import name_employer
from register.documents.checking import check_paper
from register.documents.content import Statement, Table
from register.documents.issuing import issue
from register.models import Kit
from tests.factories import NOON, ZoneFactory, stamp
from tests.readiness.grounds import rated_kit
from tests.register.reading_papers import text_of_pdf, unsaid

pytestmark = pytest.mark.django_db


@pytest.fixture
def kit(monkeypatch: pytest.MonkeyPatch) -> Kit:
    monkeypatch.setattr(clock, "reading", lambda: NOON)
    name_employer(name="Aldermoor Works", address="1 Quay", paper_size="a4", stamp=stamp())
    made = rated_kit(ZoneFactory(name="Silo deck"), "RK-01")
    return Kit.objects.select_related("item__site", "item__zone").get(pk=made.pk)


def test_the_card_lists_every_part_with_its_serial_and_its_last_good_day(kit: Kit) -> None:
    (table,) = [one for one in content_of(kit, NOON).blocks if isinstance(one, Table)]
    parts = list(kit.parts.select_related("item"))
    assert [row.cells[1] for row in table.rows] == [part.role for part in parts]
    assert [row.cells[4] for row in table.rows] == [
        part.item.serial for part in parts if part.item is not None
    ]


def test_the_card_tells_seal_place_and_what_the_kit_does(kit: Kit) -> None:
    said = " ".join(text for text in content_of(kit, NOON).texts())
    for told in ("S-1", "Silo deck", "Controlled descent", "lowers", "0 to 150 kg", "40 m"):
        assert told in said


def test_a_kit_that_may_not_be_used_says_so_first_and_is_good_for_no_day(kit: Kit) -> None:
    quarantine(kit.item, reason="seal-broken", stamp=stamp())
    content = content_of(kit, NOON)
    first = content.blocks[0]
    assert isinstance(first, Statement)
    assert first.forbids
    assert content.good_until_at is None


def _part_gone(kit: Kit) -> None:
    kit.parts.filter(role="rope").update(item=None)


def _other_seal(kit: Kit) -> None:
    Kit.objects.filter(pk=kit.pk).update(seal_number="S-2")


def _less_load(kit: Kit) -> None:
    KitAbility.objects.filter(kit=kit).update(max_load_kg=120)


@pytest.mark.parametrize(
    ("change", "part"),
    [(_part_gone, "the contents"), (_other_seal, "the seal"), (_less_load, "what it does")],
)
def test_a_change_supersedes_the_card_and_names_its_kind(
    kit: Kit, change: Callable[[Kit], None], part: str
) -> None:
    issued = issue(KIT_CARD, kit, stamp=stamp(), language="en-gb")
    assert unsaid(content_of(kit, NOON), text_of_pdf(issued.file)) == []
    assert check_paper(issued.paper, NOON).standing == "true"
    change(kit)
    checked = check_paper(issued.paper, NOON)
    assert checked.standing == "changed"
    assert part in checked.changed
