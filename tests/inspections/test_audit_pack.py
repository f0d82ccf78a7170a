"""The audit pack: what was known on a day, apart from what was learned later, and hashes that hold."""

from __future__ import annotations

import csv
import hashlib
from datetime import timedelta
from io import BytesIO, StringIO
from zipfile import ZipFile

import pytest
from django.test import Client
from django.urls import reverse

from inspections.documents.audit_pack import drawn
from inspections.documents.known_record import AS_KNOWN, content_of
from inspections.documents.site_then import items_then
from inspections.models import Inspection
from register import clock
from register.actions.conditions import quarantine
from register.actions.custody import arrive, dispatch
from register.actions.deliveries import Piece, receive_delivery
from register.actions.papers import name_employer
from register.documents.checking import check_paper
from register.documents.issuing import issue
from register.models import Delivery, Errand, Item, Paper, Role, Site
from register.rules.lifespan import read_span
from tests.factories import (
    DAY,
    NOON,
    ItemFactory,
    ProductFactory,
    SiteFactory,
    kit_of,
    passed,
    stamp,
    user_as,
)
from tests.register.reading_papers import text_of_pdf, unsaid

pytestmark = pytest.mark.django_db
THEN = NOON - timedelta(days=30)


@pytest.fixture(autouse=True)
def held_clock(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "reading", lambda: NOON)
    name_employer(name="Aldermoor Works", address="1 Quay", paper_size="a4", stamp=stamp())


@pytest.fixture
def harness(site: Site) -> Item:
    """Passed two months ago, failed yesterday."""
    item: Item = ItemFactory(site=site, serial="=1+1")
    passed(item, DAY - timedelta(days=60))
    passed(item, DAY - timedelta(days=1), verdict="fail")
    return item


def pack(site: Site, days_ago: int, sample: int = -1) -> dict[str, bytes]:
    """The files of the pack that the page's form asks for."""
    client = Client()
    client.force_login(user_as(Role.AUDITOR, site))
    on = (DAY - timedelta(days=days_ago)).isoformat()
    path = reverse("inspections:site-papers", args=[site.code])
    sent = client.post(path, {"audit": "yes", "on": on, "sample": sample})
    assert sent.status_code == 302, sent.content.decode()
    answer = client.get(f"{sent.headers['Location']}result/")
    assert answer["Content-Type"] == "application/zip", Errand.objects.latest("pk").sentence
    zipped = ZipFile(BytesIO(b"".join(answer.streaming_content)))  # type: ignore[attr-defined]
    return {name: zipped.read(name) for name in zipped.namelist()}


def rows(files: dict[str, bytes], name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(StringIO(files[name].decode("utf-8-sig"))))


def test_the_pack_tells_what_was_known_and_apart_what_was_learned_later(
    site: Site, harness: Item
) -> None:
    files = pack(site, days_ago=30)
    (told,) = rows(files, "equipment.csv")
    assert told["Could be used"] == "true"
    assert [row["Verdict"] for row in rows(files, "inspections.csv")] == ["Pass"]
    assert [row["Verdict"] for row in rows(files, "learned-later.csv")] == ["Fail"]


def test_every_file_but_the_list_itself_has_its_hash(site: Site, harness: Item) -> None:
    files = pack(site, days_ago=0)
    lines = files.pop("SHA256SUMS").decode().splitlines()
    listed = {name: digest for digest, name in (line.split("  ", 1) for line in lines)}
    assert listed == {name: hashlib.sha256(body).hexdigest() for name, body in files.items()}
    assert any(name.startswith("records/") and name.endswith(".pdf") for name in files)


def test_a_cell_that_a_spreadsheet_would_run_is_made_neutral(site: Site, harness: Item) -> None:
    (told,) = rows(pack(site, days_ago=0), "equipment.csv")
    assert told["Serial"] != "=1+1"
    assert told["Serial"].endswith("=1+1")


def test_the_same_pieces_and_the_same_seed_draw_the_same_sample(site: Site) -> None:
    items = ItemFactory.create_batch(8, site=site)
    first = drawn(items, 3, "corrick 2026-03-09")
    assert first == drawn(items, 3, "corrick 2026-03-09")
    assert len(first) == 3
    assert drawn(items, 0, "x") == []
    assert drawn(items, -1, "x") == items


def _sent(item: Item, to: Site) -> None:
    dispatch(item, to=to, stamp=stamp(at=NOON - timedelta(days=10)))
    arrive(item, at=to, stamp=stamp(at=NOON - timedelta(days=9)))


def test_a_piece_that_left_since_was_there_then_and_one_that_came_since_was_not(
    site: Site,
) -> None:
    left, came, stayed = (
        ItemFactory(site=site),
        ItemFactory(site=SiteFactory()),
        ItemFactory(site=site),
    )
    _sent(left, SiteFactory())
    _sent(came, site)
    assert set(items_then(site, THEN)) == {left, stayed}
    assert set(items_then(site, NOON)) == {came, stayed}


def test_what_came_into_the_register_later_was_nowhere(site: Site) -> None:
    delivery = Delivery(site=site, product=ProductFactory(), delivery_note="DN-1", received_on=DAY)
    piece = Piece(serial="HT-1", made=read_span("2026-01"))
    receive_delivery(delivery, [piece], stamp=stamp())
    assert items_then(site, THEN) == []
    assert len(items_then(site, NOON)) == 1


def test_the_pieces_of_a_kit_go_where_the_kit_goes(site: Site) -> None:
    kit = kit_of(site)
    pieces = {kit.item, *(part.item for part in kit.parts.all())}
    _sent(kit.item, SiteFactory())
    assert set(items_then(site, THEN)) == pieces
    assert items_then(site, NOON) == []


def test_a_record_as_known_stays_true_of_the_past_until_more_is_learned(
    site: Site, harness: Item
) -> None:
    item = Item.objects.with_product().get(pk=harness.pk)
    made = issue(AS_KNOWN, item, stamp=stamp(), language="en-gb", as_at=THEN)
    assert unsaid(content_of(item, THEN), text_of_pdf(made.file)) == []
    assert check_paper(made.paper, NOON).standing == "past"
    quarantine(harness, reason="seal-broken", stamp=stamp())
    assert check_paper(made.paper, NOON).standing == "past"
    passed(harness, DAY, recorded_by=None)
    assert check_paper(made.paper, NOON).changed == ("what was learned later",)


def test_what_was_known_and_then_changed_past_the_program_shows(site: Site, harness: Item) -> None:
    item = Item.objects.with_product().get(pk=harness.pk)
    made = issue(AS_KNOWN, item, stamp=stamp(), language="en-gb", as_at=THEN)
    Inspection.objects.filter(item=harness, verdict="pass").update(verdict="fail")
    assert "what was known then" in check_paper(made.paper, NOON).changed


def many(site: Site, kind: str) -> ZipFile:
    """What the page's other form makes of the site."""
    client = Client()
    client.force_login(user_as(Role.SUPERVISOR, site))
    path = reverse("inspections:site-papers", args=[site.code])
    said = {"many": "yes", "kind": kind, "language": "en-gb", "size": "a4"}
    sent = client.post(path, said)
    answer = client.get(f"{sent.headers['Location']}result/")
    return ZipFile(BytesIO(b"".join(answer.streaming_content)))  # type: ignore[attr-defined]


def test_a_batch_issues_a_paper_for_each_kit_with_an_index(site: Site) -> None:
    kit_of(site, name="RK-01")
    kit_of(site, name="RK-02")
    zipped = many(site, "kit-card")
    assert len([name for name in zipped.namelist() if name.endswith(".pdf")]) == 2
    index = list(csv.DictReader(StringIO(zipped.read("index.csv").decode("utf-8-sig"))))
    assert [row["About"] for row in index] == [
        "Rescue kit RK-01, contents version 1",
        "Rescue kit RK-02, contents version 1",
    ]
    assert Paper.objects.filter(kind="kit-card").count() == 2


def test_a_batch_of_equipment_records_leaves_out_what_is_destroyed(site: Site) -> None:
    here, _gone = ItemFactory(site=site), ItemFactory(site=site, condition="destroyed")
    many(site, "equipment-record")
    (paper,) = Paper.objects.filter(kind="equipment-record")
    assert paper.about.startswith(here.shown_code)


def test_a_day_to_come_is_refused_beside_its_box(site: Site) -> None:
    client = Client()
    client.force_login(user_as(Role.AUDITOR, site))
    path = reverse("inspections:site-papers", args=[site.code])
    on = (DAY + timedelta(days=1)).isoformat()
    page = client.post(path, {"audit": "yes", "on": on, "sample": 0})
    assert page.status_code == 422
    assert "still to come" in page.content.decode()
