"""The checklist on the pages: said, answered, kept, and nothing lost when something is wrong."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from inspections.models import Inspection
from register import clock
from register.models import Document, Item, SealEvent, Site, User
from tests.factories import PNG, ItemFactory, ProductFactory, inspector, kit_of

NO_DEFECT = {"form-TOTAL_FORMS": "3", "form-INITIAL_FORMS": "0"}
GOOD = {"check-rest_good": "on", **NO_DEFECT}


@pytest.fixture
def huw(site: Site) -> User:
    return inspector(on=clock.today(site))


@pytest.fixture
def bench(client: Client, huw: User, site: Site) -> Client:
    client.force_login(huw)
    begin(client, site)
    return client


def begin(client: Client, site: Site, kind: str = "detailed") -> None:
    client.post(reverse("inspections:inspect-round"), {"site": site.code, "kind": kind})


def press(client: Client, name: str, item: Item, *verdict: str, **sent: object) -> str:
    client.get("/inspect/", {"code": item.code})
    address = reverse(f"inspections:{name}", args=[item.code, *verdict])
    return client.post(address, sent, follow=True).content.decode()


def record_page(client: Client, one: Inspection) -> str:
    return client.get(reverse("inspections:inspection-detail", args=[one.pk])).content.decode()


def test_the_big_button_says_that_all_was_looked_at_and_the_record_shows_the_words(
    bench: Client, item: Item
) -> None:
    press(bench, "inspect-pass", item)
    one = item.inspections.get()
    assert (one.statement, one.answers) == ("all-good", {})
    page = record_page(bench, one)
    assert "All points looked at, all good." in page
    assert "Both edges, bent over the thumb" in page
    assert "authorisation" in page


def test_not_ok_at_a_point_stops_the_item_and_opens_its_defect(bench: Client, item: Item) -> None:
    page = press(bench, "inspect-stop", item, "fail", point="edge-cut")
    item.refresh_from_db()
    assert item.condition == "quarantined"
    assert '<option value="edge-cut" selected>' in page
    assert 'value="Webbing"' in page


def test_points_and_figures_are_kept_as_answered(bench: Client, item: Item) -> None:
    told = {"check-answer-knot": "not-applicable", "check-measured-edge-cut": "0.4", **GOOD}
    press(bench, "inspect-points", item, **told)
    one = item.inspections.get()
    kept = (one.statement, one.answers, one.measured)
    assert kept == ("rest-good", {"knot": "not-applicable"}, {"edge-cut": "0.4"})
    assert "0.4 mm" in record_page(bench, one)


def test_a_figure_outside_the_limit_keeps_the_form(bench: Client, item: Item) -> None:
    page = press(bench, "inspect-points", item, **{"check-measured-edge-cut": "1.0", **GOOD})
    assert "Measured outside the limit" in page
    assert 'value="1.0"' in page
    assert not item.inspections.exists()


def test_a_list_that_changed_since_is_looked_through_once_more(bench: Client, item: Item) -> None:
    page = press(bench, "inspect-points", item, **{"check-version": "old", **GOOD})
    assert "The checklist has changed since" in page
    assert not item.inspections.exists()


def test_a_sound_photograph_outlives_a_form_that_comes_back(bench: Client, item: Item) -> None:
    photo = SimpleUploadedFile("a.png", PNG, content_type="image/png")
    sent = {"form-0-what": "cut", "form-0-grade": "", "form-0-photo": photo, **NO_DEFECT}
    page = press(bench, "inspect-finding", item, "fail", **sent)
    assert "Its photograph is kept" in page
    note = page.split('name="form-0-photo_kept" value="')[1].split('"')[0]
    again = {"form-0-what": "cut", "form-0-grade": "A", "form-0-photo_kept": note, **NO_DEFECT}
    press(bench, "inspect-finding", item, "fail", **again)
    assert item.inspections.get().defects.get().photo == Document.objects.get()


def test_a_note_that_we_did_not_seal_brings_no_photograph(bench: Client, item: Item) -> None:
    sent = {"form-0-what": "cut", "form-0-grade": "A", "form-0-photo_kept": "1:x", **NO_DEFECT}
    press(bench, "inspect-finding", item, "fail", **sent)
    assert item.inspections.get().defects.get().photo is None


def test_eighty_megabytes_are_refused_in_a_sentence(bench: Client, item: Item) -> None:
    photo = SimpleUploadedFile("big.jpg", b"0" * (80 * 1024 * 1024), content_type="image/jpeg")
    sent = {"form-0-what": "long cut", "form-0-grade": "A", "form-0-photo": photo, **NO_DEFECT}
    page = press(bench, "inspect-finding", item, "fail", **sent)
    assert "has 80 MB, and 10 MB is the most" in page
    assert "long cut" in page


def test_a_kit_is_ticked_piece_by_piece_and_sealed_in_the_same_act(
    bench: Client, site: Site
) -> None:
    kit = kit_of(site, "rope", "descender", on=clock.today(site) - timedelta(days=9))
    parts = list(kit.parts.all())
    one, two = (f"card-seen-{part.pk}" for part in parts)
    page = press(bench, "inspect-points", kit.item, **{one: "on", "card-seal": "S-9", **GOOD})
    assert f"Not ticked: {parts[1].role}" in page
    assert 'value="S-9"' in page
    told = {one: "on", two: "on", "card-seal": "S-9", **GOOD}
    press(bench, "inspect-points", kit.item, **told)
    kit.refresh_from_db()
    assert (kit.seal_number, kit.seal_intact) == ("S-9", True)
    seen = kit.item.inspections.first()
    assert [line["seen"] for line in seen.contents] == [True, True]
    assert SealEvent.objects.filter(kit=kit, kind="opened").exists()
    assert parts[0].item.serial in record_page(bench, seen)


def test_an_opened_kit_does_not_pass_without_a_new_seal(bench: Client, site: Site) -> None:
    kit = kit_of(site, "rope", on=clock.today(site) - timedelta(days=9))
    before = kit.item.inspections.count()
    told = {f"card-seen-{kit.parts.get().pk}": "on", **GOOD}
    assert "Enter the number on the new seal" in press(bench, "inspect-points", kit.item, **told)
    assert kit.item.inspections.count() == before


def test_an_anchor_at_its_installation_leads_to_the_measuring(bench: Client, site: Site) -> None:
    anchor = ItemFactory(site=site, product=ProductFactory(equipment_class="anchor"))
    begin(bench, site, "installation")
    page = bench.get("/inspect/", {"code": anchor.code}).content.decode()
    assert "measure first" in page
    assert "Not measured: “Proof load" in press(bench, "inspect-points", anchor, **GOOD)
    press(bench, "inspect-points", anchor, **{"check-measured-proof": "6.2", **GOOD})
    assert anchor.inspections.get().measured == {"proof": "6.2"}


# From paper


def paper(client: Client, item: Item, huw: User, **changed: object) -> str:
    on = clock.today(item.site) - timedelta(days=4)
    told = {
        "kind": "detailed",
        "right_verdict": "pass",
        "performed_on": on.isoformat(),
        "performed_time": "14:30",
        "inspector": huw.person.pk,
        "late_reason": "no signal in the silo; sheet 14 in the folder",
        "statement": "all-good",
        **NO_DEFECT,
        **changed,
    }
    address = reverse("inspections:item-paper", args=[item.code])
    return client.post(address, told, follow=True).content.decode()


def test_an_entry_from_paper_keeps_both_moments_and_the_reason(
    client: Client, item: Item, huw: User
) -> None:
    client.force_login(huw)
    page = paper(client, item, huw)
    one = item.inspections.get()
    assert (one.source, one.counts) == ("paper", True)
    assert one.recorded_at - one.performed_at > timedelta(days=3)
    assert "sheet 14 in the folder" in page
    assert "entered later from paper" in page


def test_a_pass_on_paper_told_by_another_needs_the_sheet(
    client: Client, item: Item, huw: User, petra: User
) -> None:
    client.force_login(petra)
    page = paper(client, item, huw, note="left strap looked at twice")
    assert "needs its sheet" in page
    assert "left strap looked at twice" in page
    assert not item.inspections.exists()
    paper(client, item, huw, sheet=SimpleUploadedFile("s.png", PNG, content_type="image/png"))
    assert item.inspections.get().document.kind == Document.Kind.REPORT


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"late_reason": ""}, "Fill in “Why it is entered later, and where the paper is”."),
        ({"performed_on": ""}, "Give the day under “Performed on”."),
        ({"inspector": ""}, "Choose one under “Inspected by”."),
        ({"performed_on": "2999-01-01"}, "1 Jan 2999 is in the future"),
        ({"performed_on": "2020-01-01"}, "it cannot have been inspected on 1 Jan 2020"),
        ({"performed_time": "noonish"}, "Give the time as 14:30"),
    ],
)
def test_what_cannot_be_on_paper_is_told_and_nothing_is_lost(
    client: Client, item: Item, huw: User, changed: dict[str, object], sentence: str
) -> None:
    client.force_login(huw)
    page = paper(client, item, huw, note="strap twisted", **changed)
    assert sentence in page
    assert "This field is required" not in page
    assert "strap twisted" in page
    assert not item.inspections.exists()


def test_a_record_brought_in_for_what_was_not_in_service_says_so(
    client: Client, item: Item, huw: User
) -> None:
    one = Inspection.objects.create(
        item=item,
        kind="detailed",
        verdict="pass",
        performed_on=clock.today(item.site),
        performed_at=clock.now(),
        recorded_at=clock.now(),
        counts_not_because="not-in-service",
        source="brought-in",
    )
    client.force_login(huw)
    page = record_page(client, one)
    assert "the workbook did not have it in service" in page
    assert "No checklist is named in this record" in page
