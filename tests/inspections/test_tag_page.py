"""The page behind a tag: the verdict for anyone, no names, and a stop for who holds the tag."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from django.conf import settings
from django.core.cache import cache
from django.test import Client

from inspections.models import Due
from register import clock
from register.actions.conditions import quarantine
from register.actions.custody import hand_out
from register.actions.marking import fresh_codes, replace_tag
from register.models import Act, Item, Site, Tag, User
from tests.factories import ItemFactory, PersonFactory, SiteFactory, kit_of, passed, stamp, user_as

REASON = {"reason": "damage-found", "note": "cut at the edge"}
FORM = "take it out of use"


@pytest.fixture(autouse=True)
def fresh_hour() -> Iterator[None]:
    """No act of another test counts."""
    cache.clear()
    yield
    cache.clear()


@pytest.fixture
def item(site: Site) -> Item:
    """A harness in date today."""
    made: Item = ItemFactory(site=site, serial="HT-34471", size="M")
    passed(made, clock.today(site))
    return made


@pytest.fixture
def tag(item: Item) -> Tag:
    return Tag.objects.get(code=item.code)


def page(client: Client, *parts: str) -> str:
    return client.get("/".join(["/t", *parts]) + "/").content.decode()


def test_a_usable_item_says_until_which_day(client: Client, item: Item) -> None:
    due = Due.objects.get(item=item).last_good_on
    shown = page(client, item.code)
    assert "<small>OK to use until</small>" in shown
    assert shown.count(f"{due.day} {due:%b %Y}") == 2
    assert "<dd>Harness</dd>" in shown
    assert ">4471</dd>" in shown
    assert "34471" not in shown


def test_an_item_that_is_not_usable_says_why_and_what_to_do(client: Client, item: Item) -> None:
    quarantine(item, reason="damage-found", stamp=stamp())
    shown = page(client, item.code)
    assert "DO NOT USE" in shown
    assert "In quarantine: damage found." in shown
    assert "give it to the stores" in shown


def test_an_item_that_is_not_usable_shows_no_day_to_be_misread(client: Client, item: Item) -> None:
    due = Due.objects.get(item=item).last_good_on
    quarantine(item, reason="damage-found", stamp=stamp())
    shown = page(client, item.code)
    assert f"{due.day} {due:%b %Y}" not in shown


def test_a_kit_shows_its_seal_and_a_part_its_kit(client: Client, site: Site) -> None:
    kit = kit_of(site, "rope", on=clock.today(site))
    part = kit.parts.get(role="rope").item
    shown = page(client, kit.item.code)
    assert "OK to use until" in shown
    assert ">S-1</dd>" in shown
    assert "that the seal is whole and has this number" in shown
    assert part is not None
    assert "kit RK-01: for rescue only, leave it in the bag" in page(client, part.code)


def test_a_kit_names_the_part_that_puts_it_out(client: Client, site: Site) -> None:
    kit = kit_of(site, "rope", on=clock.today(site))
    part = kit.parts.get(role="rope").item
    assert part is not None
    Item.objects.filter(pk=part.pk).update(condition="quarantined")
    assert f"Rope {part.shown_code} in this kit: in quarantine" in page(client, kit.item.code)


def test_without_the_secret_the_page_says_where_to_turn(
    client: Client, tag: Tag, petra: User
) -> None:
    hint = "Keep it from being used and tell the stores."
    shown = page(client, tag.code)
    assert hint in shown
    assert f"/sign-in/?next=/t/{tag.code}/" in shown
    assert hint not in page(client, tag.code, tag.secret)
    client.force_login(petra)
    assert hint not in page(client, tag.code)


def test_no_name_of_a_person_stands_on_the_page(client: Client, item: Item, huw: User) -> None:
    holder = PersonFactory(name="Morag Tester")
    hand_out(item, to=holder, due_back_on=None, stamp=stamp(huw))
    passed(item, inspector=huw.person, note="Huw Tester saw fuzz")
    shown = page(client, item.code)
    quarantine(item, reason="damage-found", note="says Morag Tester", stamp=stamp(huw))
    shown += page(client, item.code)
    assert "Tester" not in shown
    assert str(huw.person) not in shown
    assert huw.username not in shown


def test_the_address_on_labels_works_in_capitals_and_without_a_slash(
    client: Client, tag: Tag
) -> None:
    answers = [client.get(f"/{t}/{tag.code}/{tag.secret}").status_code for t in ("T", "t")]
    assert answers == [200, 200]


def test_a_mistyped_code_is_told_as_mistyped(client: Client, item: Item) -> None:
    wrong = "0" + item.code[1:]
    answer = client.get(f"/t/{wrong}/")
    assert answer.status_code == 404
    assert "is mistyped" in answer.content.decode()
    assert "DO NOT USE" in answer.content.decode()


def test_a_sound_code_of_no_item_is_told_so(client: Client, db: None) -> None:
    answer = client.get(f"/t/{fresh_codes(1)[0]}/")
    assert answer.status_code == 404
    assert "the code of no item in the register" in answer.content.decode()


def test_a_replaced_tag_leads_to_the_item_and_says_so(client: Client, item: Item) -> None:
    old = item.shown_code
    new = replace_tag(item, because="worn", identity_proof="serial", stamp=stamp())
    shown = page(client, old)
    assert f"Tag {old} was replaced: this item carries {new} now." in shown


def test_without_the_secret_there_is_no_form_and_a_post_does_nothing(
    client: Client, item: Item
) -> None:
    assert FORM not in page(client, item.code)
    assert client.post(f"/t/{item.code}/", REASON).status_code == 403
    assert client.post(f"/t/{item.code}/WRONGSECRET/", REASON).status_code == 403
    assert FORM not in page(client, item.code, "WRONGSECRET")
    item.refresh_from_db()
    assert item.condition == "in-service"


def test_who_holds_the_tag_takes_the_item_out_of_use(client: Client, tag: Tag) -> None:
    assert FORM in page(client, tag.code, tag.secret)
    answer = client.post(f"/t/{tag.code}/{tag.secret}/", REASON, follow=True)
    tag.item.refresh_from_db()
    act = Act.objects.get(verb="quarantine")
    assert "DO NOT USE" in answer.content.decode()
    assert FORM not in answer.content.decode()
    assert (tag.item.condition, tag.item.quarantine_reason) == ("quarantined", "damage-found")
    assert (act.by, act.device, act.notes.get().text) == (None, "tag page", "cut at the edge")


def test_a_login_needs_no_secret_at_its_own_sites(client: Client, item: Item, petra: User) -> None:
    client.force_login(petra)
    client.post(f"/t/{item.code}/", REASON)
    assert Act.objects.get(verb="quarantine").by == petra


def test_a_login_of_another_site_needs_the_secret(client: Client, item: Item) -> None:
    client.force_login(user_as("worker", SiteFactory()))
    assert FORM not in page(client, item.code)


def test_a_missing_reason_is_asked_for_and_the_note_is_kept(client: Client, tag: Tag) -> None:
    answer = client.post(f"/t/{tag.code}/{tag.secret}/", {"note": "cut at the edge"})
    words = answer.content.decode()
    assert answer.status_code == 400
    assert "Choose what is wrong." in words
    assert "cut at the edge" in words


def test_one_address_takes_five_items_out_an_hour(client: Client, site: Site) -> None:
    items = [ItemFactory(site=site) for _ in range(6)]
    for item in items:
        client.post(f"/t/{item.code}/{item.tags.get().secret}/", REASON)
    out = Item.objects.filter(condition="quarantined").count()
    assert out == 5
    last = items[-1]
    words = client.post(f"/t/{last.code}/{last.tags.get().secret}/", REASON).content.decode()
    assert "Keep the item from being used and tell the stores" in words


def test_one_item_is_taken_out_without_a_login_once_an_hour(client: Client, tag: Tag) -> None:
    address = f"/t/{tag.code}/{tag.secret}/"
    client.post(address, REASON)
    Item.objects.filter(pk=tag.item_id).update(condition="in-service")
    client.post(address, REASON)
    tag.item.refresh_from_db()
    assert tag.item.condition == "in-service"


def test_the_day_is_the_sites_own(
    client: Client, db: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    # noon UTC is the next day already in Kiritimati (UTC+14), and not on Midway (UTC-11)
    east, west = (
        ItemFactory(site=SiteFactory(time_zone=zone))
        for zone in ("Pacific/Kiritimati", "Pacific/Midway")
    )
    passed(east)
    passed(west)
    due = Due.objects.get(item=east).last_good_on
    noon = datetime(due.year, due.month, due.day, 12, 0, tzinfo=UTC)
    monkeypatch.setattr(clock, "reading", lambda: noon)
    assert "DO NOT USE" in page(client, east.code)
    assert "OK to use until" in page(client, west.code)


def test_the_page_weighs_little_and_asks_little(
    client: Client, tag: Tag, django_assert_max_num_queries: object
) -> None:
    for days in range(4):
        passed(tag.item, clock.today(tag.item.site) - timedelta(days=days + 1))
    with django_assert_max_num_queries(4):  # type: ignore[operator]
        shown = page(client, tag.code, tag.secret)
    sheet = Path(settings.BASE_DIR, "register/static/register/tag.css").read_text()
    assert len((shown + sheet).encode()) < 30_000
