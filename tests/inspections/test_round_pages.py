"""A round on its pages: scan, look, pass, and back; told in one line whatever the code leads to."""

from __future__ import annotations

import re
import uuid
from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from inspections.actions.rounds import Plan, begin_round
from inspections.models import Authorisation, Inspection, Round
from register import clock
from register.actions.conditions import quarantine, withdraw
from register.models import Item, Person, Role, Site, Stamp, User
from tests.factories import (
    ItemFactory,
    ProductFactory,
    SiteFactory,
    kit_of,
    passed,
    stamp,
    user_as,
)

pytestmark = pytest.mark.django_db
NO_DEFECT = {"form-TOTAL_FORMS": "3", "form-INITIAL_FORMS": "0"}
GOOD = {"check-rest_good": "on", **NO_DEFECT}
DEFECT = {**NO_DEFECT, "form-0-grade": "A", "form-0-what": "edge cut of 3 mm"}


def competent(name: str, site: Site) -> User:
    """Authorised for everything today."""
    user = user_as(Role.COMPETENT, username=name, person=Person.objects.create(name=name.title()))
    today = clock.today(site)
    days = {"from_on": today - timedelta(days=9), "through_on": today + timedelta(days=9)}
    Authorisation.objects.create(person=user.person, **days)
    return user


@pytest.fixture
def huw(site: Site) -> User:
    return competent("huw", site)


@pytest.fixture
def items(site: Site) -> list[Item]:
    return [due(site) for _ in range(3)]


def due(site: Site, **particulars: object) -> Item:
    item: Item = ItemFactory(site=site, **particulars)
    passed(item, clock.today(site) - timedelta(days=175))
    return item


def begun(by: User, site: Site, items: list[Item]) -> Round:
    plan = Plan(site=site, kind="detailed", id=uuid.uuid4())
    now = Stamp(by=by, at=clock.now())
    return begin_round(plan, inspector=by.person, items=items, stamp=now)


@pytest.fixture
def found(huw: User, site: Site, items: list[Item]) -> Round:
    return begun(huw, site, items)


@pytest.fixture
def phone(client: Client, huw: User) -> Client:
    client.force_login(huw)
    return client


def scan(phone: Client, found: Round, text: str) -> str:
    address = found.get_absolute_url()
    return phone.get(address, {"code": text}, follow=True).content.decode()


def look_id(page: str) -> str:
    known = re.search(r'name="look" value="([^"]+)"', page)
    assert known
    return known[1]


def press(phone: Client, name: str, found: Round, item: Item, *verdict: str, **told: str) -> str:
    address = reverse(f"inspections:{name}", args=[found.pk, item.code, *verdict])
    return phone.post(address, told, follow=True).content.decode()


def all_good(phone: Client, found: Round, item: Item) -> str:
    page = scan(phone, found, item.code)
    return press(phone, "round-pass", found, item, look=look_id(page))


def sign(phone: Client, found: Round, **told: str) -> str:
    address = reverse("inspections:round-sign", args=[found.pk])
    return phone.post(address, told, follow=True).content.decode()


def test_scan_look_pass_takes_three_touches_and_comes_back_to_the_code_field(
    phone: Client, found: Round, items: list[Item]
) -> None:
    page = all_good(phone, found, items[0])
    assert "data-scan" in page
    assert "passed, waits for the signature of the round" in page
    assert "1 of 3, 0 out, 2 not seen" in page


def test_the_signature_shows_the_list_first_and_then_the_report(
    phone: Client, found: Round, items: list[Item]
) -> None:
    all_good(phone, found, items[0])
    shown = phone.get(reverse("inspections:round-sign", args=[found.pk])).content.decode()
    assert items[0].shown_code in shown
    assert "Becomes “not presented”" in shown
    report = sign(phone, found, stated="on", note="crate 2 was wet")
    assert "crate 2 was wet" in report
    assert report.count("not presented") >= 2
    assert "OK to use until" in report


def test_without_the_statement_nothing_is_signed_and_the_note_stays(
    phone: Client, found: Round, items: list[Item]
) -> None:
    all_good(phone, found, items[0])
    page = sign(phone, found, note="crate 2 was wet")
    assert "Read “I had each" in page
    assert "crate 2 was wet" in page
    assert not Inspection.objects.filter(round_line__round=found, counts=True).exists()


def test_an_item_failed_at_the_first_tap_waits_for_its_words(
    phone: Client, found: Round, items: list[Item]
) -> None:
    look = look_id(scan(phone, found, items[0].code))
    words = press(phone, "round-stop", found, items[0], "fail", look=look)
    assert "Out of use since the first tap" in words
    page = scan(phone, found, "")
    assert f"Finish {items[0].shown_code}" in page
    sent = {**DEFECT, "look": look_id(words)}
    page = press(phone, "round-finding", found, items[0], "fail", **sent)
    assert "1 of 3, 1 out, 2 not seen" in page
    assert "Finish" not in page
    assert found.lines.filter(item=items[0]).count() == 1


def test_a_verdict_without_a_look_is_not_taken(
    phone: Client, found: Round, items: list[Item]
) -> None:
    page = press(phone, "round-pass", found, items[0])
    assert "was not looked at in this round" in page
    assert not Inspection.objects.filter(round_line__round=found).exists()


def test_bad_input_of_a_finding_loses_nothing(
    phone: Client, found: Round, items: list[Item]
) -> None:
    look = look_id(scan(phone, found, items[0].code))
    sent = {**NO_DEFECT, "form-0-what": "edge cut of 3 mm", "look": look}
    page = press(phone, "round-finding", found, items[0], "fail", **sent)
    assert "Not kept yet" in page
    assert "edge cut of 3 mm" in page
    assert look_id(page) == look


def test_the_same_item_twice_is_one_line(phone: Client, found: Round, items: list[Item]) -> None:
    all_good(phone, found, items[0])
    assert "already done at" in scan(phone, found, items[0].code)


def test_what_a_code_leads_to_is_told_in_one_line(
    phone: Client, found: Round, site: Site, items: list[Item]
) -> None:
    far = ItemFactory(site=SiteFactory(name="Ashby"))
    withdrawn, held = due(site), due(site)
    withdraw(withdrawn, ground="policy", stamp=stamp(at=clock.now()))
    quarantine(held, reason="damage-found", stamp=stamp(at=clock.now()))
    twin = due(site, serial="TW-0412")
    due(site, serial="TW-0412")
    due(site, serial="ZZ-9")
    assert "belongs to Ashby in the register" in scan(phone, found, far.code)
    assert "Not on the register" in scan(phone, found, "OLD 7")
    assert "It cannot pass: put it aside" in scan(phone, found, withdrawn.code)
    assert "A pass alone does not end it" in scan(phone, found, held.code)
    assert "has the same serial: tags may be swapped" in scan(phone, found, twin.code)
    assert "scan the tag" in scan(phone, found, "TW-0412")
    assert "Found by its serial" in scan(phone, found, "ZZ-9")


def test_a_pass_that_brings_nothing_back_says_so(
    phone: Client, found: Round, items: list[Item]
) -> None:
    assert "does not bring it back" not in all_good(phone, found, items[0])
    quarantine(items[1], reason="damage-found", stamp=stamp(at=clock.now()))
    assert "does not bring it back" in all_good(phone, found, items[1])


def test_who_is_not_authorised_is_told_before_the_tap(
    phone: Client, huw: User, found: Round, items: list[Item]
) -> None:
    Authorisation.objects.filter(person=huw.person).update(classes=["rope"])
    assert "your pass would be kept but not" in scan(phone, found, items[0].code)
    page = all_good(phone, found, items[0])
    assert "kept, but it does not count" in page


def test_another_inspector_at_the_same_crate_is_told_without_breaking_the_rhythm(
    phone: Client, huw: User, found: Round, site: Site, items: list[Item]
) -> None:
    nia = competent("nia", site)
    theirs = begun(nia, site, items[:1])
    assert "It is on the list of Nia too" in scan(phone, found, items[0].code)
    other = Client()
    other.force_login(nia)
    all_good(other, theirs, items[0])
    assert "Nia looked at it at" in scan(phone, found, items[0].code)
    assert "Nia looked at it at" in all_good(phone, found, items[0])


def test_a_piece_on_no_record_is_noted_or_taken_on(
    phone: Client, found: Round, items: list[Item]
) -> None:
    address = reverse("inspections:round-stray", args=[found.pk])
    sent = {"text": "OLD 7", "look": str(uuid.uuid4())}
    page = phone.post(address, {**sent, "note": "1"}, follow=True).content.decode()
    assert "1 not on the register" in page
    product = ProductFactory()
    sent = {"text": "OLD 8", "look": str(uuid.uuid4()), "product": str(product.pk)}
    page = phone.post(address, sent, follow=True).content.decode()
    assert "Taken on in quarantine as" in page
    assert "2 not on the register" in page


def test_an_unknown_product_asks_what_it_is_and_keeps_what_was_typed(
    phone: Client, found: Round
) -> None:
    address = reverse("inspections:round-stray", args=[found.pk])
    sent = {"text": "OLD 7", "look": str(uuid.uuid4()), "serial": "S-77"}
    page = phone.post(address, sent).content.decode()
    assert "Say what it is, or choose the product above" in page
    assert "S-77" in page


def test_a_round_is_begun_with_what_is_due_and_found_again(
    phone: Client, site: Site, items: list[Item]
) -> None:
    fresh = ItemFactory(site=site)
    passed(fresh, clock.today(site))
    told = {"site": site.code, "kind": "detailed", "days": "14", "id": str(uuid.uuid4())}
    page = phone.post(reverse("inspections:round-new"), told, follow=True).content.decode()
    assert "0 of 3, 0 out, 3 not seen" in page
    assert fresh.shown_code not in page
    assert "Your open rounds" in phone.get(reverse("inspections:round-list")).content.decode()
    again = phone.get(reverse("inspections:round-new")).content.decode()
    assert "is still open" in again


def test_a_list_that_would_be_empty_is_told_and_nothing_is_begun(phone: Client, site: Site) -> None:
    told = {"site": site.code, "kind": "detailed", "days": "0", "id": str(uuid.uuid4())}
    page = phone.post(reverse("inspections:round-new"), told).content.decode()
    assert "begin without a list" in page
    assert not Round.objects.exists()
    phone.post(reverse("inspections:round-new"), {**told, "open_list": "on"})
    assert Round.objects.get().lines.count() == 0


def test_a_round_open_for_over_a_day_stands_on_the_due_page(
    client: Client, found: Round, site: Site, oyelaran: User
) -> None:
    client.force_login(oyelaran)
    address = reverse("inspections:due-list")
    assert "not signed" not in client.get(address).content.decode()
    Round.objects.update(began_at=clock.now() - timedelta(hours=25))
    assert "Rounds open for over a day, not signed" in client.get(address).content.decode()


def test_the_record_says_that_it_waits(phone: Client, found: Round, items: list[Item]) -> None:
    all_good(phone, found, items[0])
    one = Inspection.objects.get(round_line__round=found)
    page = phone.get(reverse("inspections:inspection-detail", args=[one.pk])).content.decode()
    assert "it waits for the signature of its round" in page
    page = phone.get(items[0].get_absolute_url()).content.decode()
    assert "waits for the signature of its round" in page


def test_an_overdue_item_stays_out_until_the_round_is_signed_and_its_tag_says_why(
    phone: Client, huw: User, site: Site
) -> None:
    late: Item = ItemFactory(site=site)
    passed(late, clock.today(site) - timedelta(days=800))
    found = begun(huw, site, [late])
    all_good(phone, found, late)
    tag = reverse("inspections:tag", args=[late.code])
    page = Client().get(tag).content.decode()
    assert "DO NOT USE" in page
    assert "waits for the signature of the round" in page
    sign(phone, found, stated="on")
    page = Client().get(tag).content.decode()
    assert "DO NOT USE" not in page
    assert "waits for" not in page


def test_a_manager_reads_the_round_and_drops_it_but_does_not_sign(
    client: Client, found: Round, oyelaran: User
) -> None:
    client.force_login(oyelaran)
    assert client.get(found.get_absolute_url()).status_code == 200
    assert client.post(reverse("inspections:round-sign", args=[found.pk])).status_code == 403
    client.post(reverse("inspections:round-drop", args=[found.pk]), {"because": "Huw is ill"})
    assert Round.objects.get().dropped_because == "Huw is ill"


def test_another_inspector_neither_signs_nor_drops_it(
    client: Client, found: Round, site: Site
) -> None:
    client.force_login(competent("nia", site))
    assert "Only Huw can sign" in sign(client, found, stated="on")
    dropped = client.post(reverse("inspections:round-drop", args=[found.pk]), {"because": "x"})
    assert dropped.status_code == 403
    assert Round.objects.get().is_open


def test_a_kit_is_ticked_against_its_card_and_sealed_in_the_round(
    phone: Client, huw: User, site: Site
) -> None:
    kit = kit_of(site, on=clock.today(site) - timedelta(days=20))
    found = begun(huw, site, [kit.item])
    page = scan(phone, found, kit.item.code)
    assert "tick the contents first" in page
    one, two = (f"card-seen-{part.pk}" for part in kit.parts.all())
    sent = {**NO_DEFECT, **GOOD, "look": look_id(page), one: "on"}
    page = press(phone, "round-finding", found, kit.item, "pass", **sent)
    assert "Not ticked" in page
    sent |= {two: "on", "card-seal": "S-2"}
    page = press(phone, "round-finding", found, kit.item, "pass", **sent)
    assert "1 of 1, 0 out" in page
    kit.refresh_from_db()
    assert kit.seal_number == "S-2"


@pytest.mark.parametrize("name", ["round-detail", "round-sign", "round-report", "round-list"])
def test_the_queries_do_not_grow_with_the_lines(
    phone: Client, huw: User, site: Site, name: str
) -> None:
    counts = []
    for size in (2, 9):
        found = begun(huw, site, [due(site) for _ in range(size)])
        for line in list(found.lines.all())[:-1]:
            assert line.item
            all_good(phone, found, line.item)
        args = [] if name == "round-list" else [found.pk]
        with CaptureQueriesContext(connection) as asked:
            phone.get(reverse(f"inspections:{name}", args=args))
        counts.append(len(asked))
    assert counts[0] == counts[1]
