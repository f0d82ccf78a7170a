"""The addresses to which phones send, and the pages on which a person decides."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse

from inspections.models import SentPhoto, SyncEvent
from register.actions.conditions import quarantine
from register.clock import now
from register.models import Item, Role, Site, User
from register.rules.conditions import Condition
from tests.factories import PNG, ItemFactory, SiteFactory, stamp, user_as
from tests.inspections.sending import event, looked, sent

pytestmark = pytest.mark.django_db
EVENTS, PHOTOS = "/sync/events/", "/sync/photos/"


def signed_in(user: User, **more: Any) -> Client:
    client = Client(**more)
    client.force_login(user)
    return client


def posted(client: Client, *events: object, **more: Any) -> Any:
    told = {"device": "P-1", "sent_at": now().isoformat(), "events": list(events)}
    return client.post(EVENTS, json.dumps(told), content_type="application/json", **more)


def stop(by: User, item: Item) -> dict[str, Any]:
    return event(by, "quarantine", at=now(), item=item.code, reason="damage-found")


def test_a_phone_sends_with_the_token_it_asked_for(item: Item, huw: User) -> None:
    client = signed_in(huw, enforce_csrf_checks=True)
    assert posted(client, stop(huw, item)).status_code == 403
    assert not SyncEvent.objects.exists()
    told = client.get(EVENTS).json()
    assert told["user"]["id"] == huw.pk
    response = posted(client, stop(huw, item), headers={"x-csrftoken": told["token"]})
    assert response.status_code == 200
    (answer,) = response.json()["answers"]
    assert answer["outcome"] == "applied"
    assert Item.objects.get(pk=item.pk).condition == Condition.QUARANTINED
    assert response.json()["clock"]["differs"] is False
    assert answer["received_at"] <= response.json()["answered_at"]
    pack = client.get(reverse("readiness:pack", args=[item.site.code])).json()
    assert response.json()["answered_at"] < pack["made_at"]
    assert pack["items"][item.code]["spells"][0][3] == "quarantined"


@pytest.mark.parametrize("path", [EVENTS, PHOTOS])
def test_who_is_signed_out_is_told_so_in_json_and_nothing_is_taken(
    path: str, item: Item, huw: User
) -> None:
    response = Client().post(path, "{}", content_type="application/json")
    assert (response.status_code, response.json()["code"]) == (401, "signed-out")
    assert not SyncEvent.objects.exists()


def test_who_has_the_first_password_still_is_told_so(huw: User) -> None:
    huw.has_first_password = True
    huw.save()
    assert posted(signed_in(huw), 1).json()["code"] == "first-password"


def test_who_holds_no_role_sends_nothing(site: Site, item: Item) -> None:
    nobody = user_as(Role.WORKER, site)
    nobody.grants.all().delete()
    assert posted(signed_in(nobody), stop(nobody, item)).status_code == 403


@pytest.mark.parametrize(
    ("body", "status"),
    [
        ("", 400),
        ("[]", 400),
        ('{"events": {}}', 400),
        ('{"events": []}', 400),
        ('{"events": [' + ",".join(["1"] * 201) + "]}", 413),
        (" " * 1_000_001, 413),
    ],
)
def test_a_sending_that_is_none_is_told_what_is_wrong(huw: User, body: str, status: int) -> None:
    response = signed_in(huw).post(EVENTS, body, content_type="application/json")
    assert (response.status_code, response["Content-Type"]) == (status, "application/json")
    assert not SyncEvent.objects.exists()


def test_a_sending_cut_short_is_kept_as_it_came(huw: User) -> None:
    body = '{"device": "P-1", "events": [{"id": "7'
    response = signed_in(huw).post(EVENTS, body, content_type="application/json")
    assert response.json()["answers"][0]["outcome"] == "refused"
    assert "P-1" in SyncEvent.objects.get().raw


def test_a_clock_that_is_off_is_told_to_the_phone(item: Item, huw: User) -> None:
    told = {"sent_at": "2020-01-01T00:00:00+00:00", "events": [stop(huw, item)]}
    response = signed_in(huw).post(EVENTS, json.dumps(told), content_type="application/json")
    assert response.json()["clock"]["differs"] is True
    assert response.json()["answers"][0]["outcome"] == "applied"


def test_a_photograph_is_kept_under_the_hash_of_the_phone(huw: User) -> None:
    client, sha256 = signed_in(huw), hashlib.sha256(PNG).hexdigest()
    photo = SimpleUploadedFile("p.png", PNG, "image/png")
    assert client.post(PHOTOS, {"photo": photo, "sha256": sha256}).json() == {"sha256": sha256}
    assert SentPhoto.objects.get().document.name.endswith(".jpg")
    text = SimpleUploadedFile("p.png", b"no picture", "image/png")
    told = {"photo": text, "sha256": hashlib.sha256(b"no picture").hexdigest()}
    assert client.post(PHOTOS, told).json()["code"] == "not-a-photo"
    assert client.post(PHOTOS).json()["code"] == "photo-missing"


def kept(item: Item, huw: User) -> SyncEvent:
    quarantine(item, reason="damage-found", stamp=stamp(at=now()))
    sent(huw, looked(huw, item, at=now()), at=now())
    return SyncEvent.objects.get()


def test_the_page_names_what_waits_and_a_person_decides(item: Item, huw: User) -> None:
    row, client = kept(item, huw), signed_in(huw)
    assert item.shown_code in client.get(reverse("inspections:sent-list")).content.decode()
    page = client.get(row.get_absolute_url()).content.decode()
    assert "Put it on record" in page
    assert item.code in page
    client.post(row.get_absolute_url(), {"accept": "1"})
    row.refresh_from_db()
    assert row.outcome == "applied"
    assert row.settled_by == huw
    assert Item.objects.get(pk=item.pk).condition == Condition.QUARANTINED
    assert item.shown_code not in client.get(reverse("inspections:sent-list")).content.decode()


def test_dropping_asks_why(item: Item, huw: User, petra: User) -> None:
    row, client = kept(item, huw), signed_in(petra)
    assert "Why it is dropped" in client.post(row.get_absolute_url(), {}).content.decode()
    client.post(row.get_absolute_url(), {"because": "The wrong one."})
    row.refresh_from_db()
    assert (row.outcome, row.settled_because) == ("dropped", "The wrong one.")


def test_a_manager_sees_and_does_not_decide(site: Site, item: Item, huw: User) -> None:
    row, client = kept(item, huw), signed_in(user_as(Role.MANAGER, site))
    assert client.get(reverse("inspections:sent-list")).status_code == 200
    assert client.post(row.get_absolute_url(), {"accept": "1"}).status_code == 403


def test_another_sites_events_are_not_seen(item: Item, huw: User) -> None:
    row = kept(item, huw)
    client = signed_in(user_as(Role.STORES, SiteFactory()))
    assert client.get(row.get_absolute_url()).status_code == 404
    assert item.shown_code not in client.get(reverse("inspections:sent-list")).content.decode()


def test_the_list_takes_as_many_queries_for_many_as_for_one(
    site: Site, huw: User, django_assert_max_num_queries: Any
) -> None:
    for _ in range(5):
        item = ItemFactory(site=site)
        quarantine(item, reason="damage-found", stamp=stamp(at=now()))
        sent(huw, looked(huw, item, at=now()), at=now())
    client = signed_in(huw)
    with django_assert_max_num_queries(10):
        client.get(reverse("inspections:sent-list"))


def test_a_saved_queue_is_brought_in_on_a_page(item: Item, huw: User) -> None:
    line = json.dumps(stop(huw, item)).encode()
    client = signed_in(huw)
    for _ in range(2):
        queue = SimpleUploadedFile("queue.jsonl", line + b"\n{broken")
        page = client.post(reverse("inspections:sent-upload"), {"queue": queue}).content.decode()
        assert "1 event is on record" in page
        assert "cannot be read" in page
    assert SyncEvent.objects.count() == 2


def test_a_saved_queue_is_brought_in_by_command(
    item: Item, huw: User, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "queue.jsonl"
    file.write_text(json.dumps(stop(huw, item)))
    call_command("bring_in_events", str(file), by=huw.username)
    assert "1 of 1 events are on record." in capsys.readouterr().out
    assert Item.objects.get(pk=item.pk).condition == Condition.QUARANTINED
    with pytest.raises(CommandError, match="no user"):
        call_command("bring_in_events", str(file), by="nobody")
    with pytest.raises(CommandError, match="cannot be read"):
        call_command("bring_in_events", str(tmp_path / "none"), by=huw.username)
