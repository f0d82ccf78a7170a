"""How the register runs: what would go wrong unseen is told in words, and numbers to who may ask."""

from __future__ import annotations

import json
import subprocess
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from asn1crypto import cms, pem
from django.core.management import call_command
from django.db import connection
from django.test import Client
from django.urls import reverse
from django_tasks_db.models import DBTaskResult

from register import clock, watching
from register.actions.backups import note_backup
from register.actions.conditions import quarantine
from register.actions.ledger import make_checkpoint, prove_entry, root_of_heads
from register.models import Errand, Item, Role, Site, Stamp, User
from register.models.ledger_guard import statements_to_remove
from register.watching import Found, look
from tests.factories import NOON, user_as

pytestmark = pytest.mark.django_db


@pytest.fixture
def boss(site: Site) -> User:
    return user_as(Role.ADMINISTRATOR, username="ada")


@pytest.fixture
def client(boss: User) -> Client:
    made = Client()
    made.force_login(boss)
    return made


def found(name: str, at: Any = NOON) -> Found:
    return dict(look(at))[name]


def test_a_back_up_of_more_than_a_day_ago_is_told() -> None:
    assert "No back-up was ever made" in found("Back-up").sentence
    note_backup("kept.tar", size=1, sha256="0" * 64, encrypted=False, at=NOON)
    assert found("Back-up", NOON + timedelta(days=1)).well
    late = found("Back-up", NOON + timedelta(days=1, seconds=1))
    assert not late.well
    assert "more than a day ago" in late.sentence


def test_work_that_nobody_does_is_told() -> None:
    assert found("Background worker").well
    waiting = DBTaskResult(
        task_path="register.tasks.run_errand",
        args_kwargs={"args": [], "kwargs": {}},
        backend_name="default",
        queue_name="default",
        run_after=NOON,
    )
    waiting.save()
    DBTaskResult.objects.update(enqueued_at=NOON)
    assert found("Background worker", NOON + timedelta(minutes=2)).well
    told = found("Background worker", NOON + timedelta(minutes=3))
    assert not told.well
    assert "db_worker" in told.sentence


def test_a_clock_that_was_set_back_is_told(item: Item, petra: User) -> None:
    quarantine(item, reason="damage-found", note="", stamp=Stamp(by=petra, at=NOON))
    now = found("Clock of the computer", NOON)
    if connection.vendor == "postgresql":  # whose own clock is months away from that noon
        assert "seconds apart" in now.sentence
    else:
        assert now.well
    back = found("Clock of the computer", NOON - timedelta(hours=1))
    assert not back.well
    assert "behind" in back.sentence


def test_a_ledger_without_its_guard_is_told() -> None:
    assert found("Ledger").well
    with connection.cursor() as cursor:
        for statement in statements_to_remove(connection.vendor):
            cursor.execute(statement)
    assert not found("Ledger").well


def test_a_time_zone_that_nobody_knows_is_told(site: Site) -> None:
    assert found("Time zones").well
    Site.objects.update(time_zone="Europe/Atlantis")
    assert "Corrick Quay (Europe/Atlantis)" in found("Time zones").sentence


def test_an_address_that_can_be_read_on_the_way_is_told(settings: Any) -> None:
    assert found("Address").well
    settings.PUBLIC_URL, settings.PUBLIC_HOST = "http://tally.example", "tally.example"
    assert "not https" in found("Address").sentence
    settings.DEBUG = True
    assert "DEBUG is on" in found("Address").sentence


def test_cover_that_nobody_brings_up_to_date_is_told(site: Site) -> None:
    assert "keep_cover" in found("Rescue cover").sentence


def test_a_watch_that_fails_is_trouble_and_not_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(at: object) -> Found:
        raise RuntimeError("the disk is gone")

    monkeypatch.setitem(watching._watches, "Disk", fails)
    told = found("Disk")
    assert not told.well
    assert "could not be looked at" in told.sentence


def test_trouble_stands_first_on_the_page(client: Client) -> None:
    shown = client.get(reverse("register:running")).context["watched"]
    assert [one.well for _, one in shown] == sorted(one.well for _, one in shown)
    assert not shown[0][1].well


def test_the_page_verifies_the_ledger_and_names_what_does_not_fit(
    client: Client, item: Item, petra: User
) -> None:
    quarantine(item, reason="damage-found", note="", stamp=Stamp(by=petra, at=NOON))
    client.post(reverse("register:ledger-verify"))
    errand = Errand.objects.get()
    assert b"Every chain fits." in errand.file.read()
    with connection.cursor() as cursor:
        for statement in statements_to_remove(connection.vendor):
            cursor.execute(statement)
        cursor.execute("UPDATE register_entry SET body = replace(body, 'damage', 'luck')")
    client.post(reverse("register:ledger-verify"))
    again = Errand.objects.latest("pk").file.read().decode()
    assert f"Does not fit: item {item.pk}, entry 1" in again


def test_numbers_are_for_who_has_the_secret_and_hold_no_name(item: Item, settings: Any) -> None:
    address = reverse("register:metrics")
    assert Client().get(address).status_code == 401
    settings.METRICS_TOKEN = "a long secret"
    assert Client().get(address, headers={"Authorization": "Bearer another"}).status_code == 401
    answer = Client().get(address, headers={"Authorization": "Bearer a long secret"})
    lines = answer.content.decode().splitlines()
    assert f'tallyhook_items{{condition="{item.condition}"}} 1.0' in lines
    assert 'tallyhook_well{watch="Back-up"} 0.0' in lines
    assert item.code not in answer.content.decode()


def test_an_entry_is_proven_without_the_rest_of_the_ledger(item: Item, petra: User) -> None:
    for at in range(3):
        quarantine(item, reason="damage-found", note=str(at), stamp=Stamp(by=petra, at=NOON))
    other = user_as(Role.WORKER, username="wren")
    make_checkpoint(at=NOON)
    proof = prove_entry("item", str(item.pk), 2)
    assert proof is not None
    assert proof.root() == root_of_heads()[1]
    assert len(proof.bodies) == 2
    assert other.username not in str(proof)
    forged = proof.bodies[0].replace("damage-found", "label-unreadable")
    assert (
        type(proof)(
            proof.thing,
            2,
            proof.before,
            (forged, proof.bodies[1]),
            proof.place,
            proof.chains,
            proof.beside,
        ).root()
        != root_of_heads()[1]
    )
    assert prove_entry("item", str(item.pk), 9) is None


def test_a_checkpoint_kept_elsewhere_carries_its_seal(
    tmp_path: Path, settings: Any, item: Item
) -> None:
    settings.SEAL_FILE = tmp_path / "seal.p12"
    folder = tmp_path / "elsewhere"
    folder.mkdir()
    call_command("checkpoint", "--to", str(folder))
    (kept,) = folder.glob("*.json")
    assert json.loads(kept.read_text())["root"] == root_of_heads()[1]
    signature = kept.with_suffix(".json.p7s")
    said = cms.ContentInfo.load(signature.read_bytes())["content"]
    certificate = tmp_path / "seal.pem"
    certificate.write_bytes(pem.armor("CERTIFICATE", said["certificates"][0].chosen.dump()))
    command = ["openssl", "cms", "-verify", "-inform", "DER", "-in", signature, "-binary"]
    command += ["-content", kept, "-CAfile", certificate, "-purpose", "any", "-out", "/dev/null"]
    assert subprocess.run(command, capture_output=True, check=False).returncode == 0
    kept.write_text(kept.read_text().replace("chains", "chainz"))
    assert subprocess.run(command, capture_output=True, check=False).returncode != 0


def test_the_clock_of_the_program_is_what_the_watches_are_asked_at(
    client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(clock, "reading", lambda: NOON)
    note_backup("kept.tar", size=1, sha256="0" * 64, encrypted=False, at=NOON)
    assert "kept.tar" in client.get(reverse("register:running")).content.decode()
