"""The ledger: one entry for each thing an act touched, linked, append-only, and verified."""

from __future__ import annotations

import pytest
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction

from register.actions.conditions import quarantine
from register.actions.ledger import Misfit, make_checkpoint, verify_ledger
from register.checks import ledger_is_guarded
from register.models import Act, ActNote, Entry, Head, Item, Site, User, record
from register.models.ledger_guard import statements_to_remove
from tests.factories import NOON, ItemFactory, stamp


def behind_the_back(sql: str, *values: object) -> None:
    """Change the ledger as somebody with the database in hand could."""
    with connection.cursor() as cursor:
        for statement in statements_to_remove(connection.vendor):
            cursor.execute(statement)
        cursor.execute(sql, values)


@pytest.fixture
def chain(item: Item, petra: User) -> list[Entry]:
    """Three entries of one item."""
    for reason in ("damage-found", "contaminated", "label-unreadable"):
        quarantine(item, reason=reason, note="seen at the hatch", stamp=stamp(petra))
    return list(Entry.objects.filter(thing_kind="item", thing_id=str(item.pk)))


def test_each_entry_is_linked_to_the_one_before_it(chain: list[Entry]) -> None:
    assert [entry.seq for entry in chain] == [1, 2, 3]
    assert [entry.before for entry in chain[1:]] == [entry.hash for entry in chain[:2]]
    assert verify_ledger().misfits == ()


def test_an_entry_can_be_neither_changed_nor_removed(chain: list[Entry]) -> None:
    for act in (
        lambda: Entry.objects.filter(pk=chain[0].pk).update(body="{}"),
        lambda: Entry.objects.filter(pk=chain[0].pk).delete(),
    ):
        with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
            act()
    assert Entry.objects.count() == 3


def test_a_changed_entry_is_named(chain: list[Entry]) -> None:
    body = chain[1].body.replace("contaminated", "damage-found")
    behind_the_back("UPDATE register_entry SET body = %s WHERE id = %s", body, chain[1].pk)
    [misfit] = verify_ledger().misfits
    assert (misfit.seq, misfit.why) == (2, "its content does not fit its hash")


def test_a_removed_entry_is_missed(chain: list[Entry]) -> None:
    behind_the_back("DELETE FROM register_entry WHERE id = %s", chain[1].pk)
    [misfit] = verify_ledger().misfits
    assert (misfit.seq, misfit.why) == (3, "entry 2 is missing before it")


def test_a_removed_last_entry_shows_against_the_head(chain: list[Entry]) -> None:
    behind_the_back("DELETE FROM register_entry WHERE id = %s", chain[2].pk)
    [misfit] = verify_ledger().misfits
    assert misfit == Misfit("item", chain[0].thing_id, 0, "the chain does not end at its head")


def test_entries_in_each_others_place_are_found(chain: list[Entry]) -> None:
    first, second = chain[0].pk, chain[1].pk
    for seq, key in ((99, first), (1, second), (2, first)):
        behind_the_back("UPDATE register_entry SET seq = %s WHERE id = %s", seq, key)
    assert [misfit.seq for misfit in verify_ledger().misfits] == [1]


def test_a_chain_rewritten_with_its_head_shows_against_the_checkpoint(chain: list[Entry]) -> None:
    kept = make_checkpoint(at=NOON)
    behind_the_back("DELETE FROM register_entry WHERE thing_id = %s", chain[0].thing_id)
    Head.objects.all().delete()
    item = Item.objects.get(pk=chain[0].thing_id)
    record("quarantine", {item: {"reason": "contaminated"}}, stamp=stamp())
    assert verify_ledger().misfits == ()
    assert make_checkpoint(at=NOON).root != kept.root


def test_the_checkpoint_is_the_same_while_nothing_happens(chain: list[Entry]) -> None:
    assert make_checkpoint(at=NOON).root == make_checkpoint(at=NOON).root


def test_erasing_a_free_text_leaves_the_chain_whole(chain: list[Entry]) -> None:
    ActNote.objects.all().delete()
    assert verify_ledger().misfits == ()
    assert "seen at the hatch" not in "".join(entry.body for entry in chain)


def test_no_name_stands_in_the_chain(chain: list[Entry], petra: User) -> None:
    assert all(str(petra) not in entry.body for entry in chain)


def test_one_act_has_one_entry_for_each_thing_it_touches(site: Site) -> None:
    items = [ItemFactory(site=site) for _ in range(3)]
    act = record("look", {item: {} for item in items}, stamp=stamp(), sites=[site])
    assert act.entries.count() == 3
    assert Act.objects.count() == 1


def test_an_act_raises_the_facts_version_of_its_sites_once(site: Site, item: Item) -> None:
    before = site.facts_version
    record("look", {item: {}}, stamp=stamp(), sites=[site, site.pk, None])
    site.refresh_from_db()
    assert site.facts_version == before + 1


def test_the_system_check_sees_that_the_guard_is_gone(db: None) -> None:
    assert ledger_is_guarded(databases=["default"]) == []
    behind_the_back("SELECT 1")
    assert [error.id for error in ledger_is_guarded(databases=["default"])] == ["register.E001"]
    call_command("guard_ledger", verbosity=0)
    assert ledger_is_guarded(databases=["default"]) == []


def test_the_command_ends_with_1_where_something_does_not_fit(
    chain: list[Entry], capsys: pytest.CaptureFixture[str]
) -> None:
    call_command("verify_ledger")
    assert "Every chain fits." in capsys.readouterr().out
    behind_the_back("UPDATE register_entry SET body = '{}' WHERE id = %s", chain[0].pk)
    with pytest.raises(SystemExit) as ended:
        call_command("verify_ledger")
    assert ended.value.code == 1
    assert f"DOES NOT FIT: item {chain[0].thing_id}, entry 1" in capsys.readouterr().out
