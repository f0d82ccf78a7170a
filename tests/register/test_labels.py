"""Labels: where they sit on the paper, that a phone reads them, and who may print which."""

from __future__ import annotations

import csv
import random
from dataclasses import asdict, replace
from io import StringIO
from typing import Any

import pypdfium2
import pytest
import zxingcpp
from django.test import Client
from django.urls import reverse

from register.labels import Label, address_of, label_sheet, labels_of, qr_fit
from register.models import Delivery, Item, Role, Site, Tag
from register.refusal import Refusal
from register.rules.label_face import face_of
from register.rules.label_grid import SHEETS, Sheet, places
from register.rules.nfc import uri_message
from register.rules.tags import code_from, read, secret_from, shown
from register.tasks import LABELS, ask
from tests.factories import DAY, ItemFactory, ProductFactory, SiteFactory, stamp, user_as

DPI = 150  # of a plain office scan
POINTS_PER_MM = 72 / 25.4
ADDRESS = reverse("register:label-sheet")

SQUARE = Sheet(
    name="4 x 5", columns=4, rows=5, width_mm=45, height_mm=50, left_mm=10, top_mm=10, gap_x_mm=2
)
# About the smallest label that takes the code of a usual address.
TINY = Sheet(
    name="5 x 16", columns=5, rows=16, width_mm=35.6, height_mm=16.9, left_mm=11, top_mm=13.3
)


@pytest.fixture(autouse=True)
def public_address(settings: Any) -> None:
    settings.PUBLIC_URL = "https://gear.example.org"
    settings.PUBLIC_HOST = "gear.example.org"


def some_labels(count: int, seed: int = 1) -> list[Label]:
    draw = random.Random(seed).randrange  # noqa: S311
    return [Label(code_from(draw), secret_from(draw), "4471", "Harness") for _ in range(count)]


def pages(paper: bytes) -> list[Any]:
    document = pypdfium2.PdfDocument(paper)
    images = [page.render(scale=DPI / 72).to_pil() for page in document]
    document.close()
    return images


def scanned(paper: bytes) -> list[str]:
    """What a reader finds on the paper, page by page, row by row."""
    found: list[str] = []
    for image in pages(paper):
        codes = zxingcpp.read_barcodes(image)
        codes.sort(
            key=lambda code: (round(code.position.top_left.y / 20), code.position.top_left.x)
        )
        found += [code.text for code in codes]
    return found


def words(paper: bytes) -> list[str]:
    document = pypdfium2.PdfDocument(paper)
    texts = [page.get_textpage().get_text_bounded() for page in document]
    document.close()
    return [line.strip() for text in texts for line in text.splitlines() if line.strip()]


# The paper


@pytest.mark.parametrize("sheet", [*SHEETS.values(), SQUARE, TINY], ids=lambda sheet: sheet.name)
@pytest.mark.parametrize("skip", [0, 5])
def test_every_label_of_a_sheet_reads_back_as_what_was_asked_for(sheet: Sheet, skip: int) -> None:
    wanted = some_labels(sheet.labels)
    found = scanned(label_sheet(wanted, sheet, skip))
    assert found == [address_of(label) for label in wanted]


def test_a_scanned_label_is_its_tag_and_its_secret() -> None:
    [label] = some_labels(1)
    [address] = scanned(label_sheet([label], SHEETS["3x8"]))
    seen = read(address)
    assert address == f"HTTPS://GEAR.EXAMPLE.ORG/T/{label.code}/{label.secret}"
    assert (seen.code, seen.secret) == (label.code, label.secret)


def test_a_path_in_the_public_address_keeps_its_case(settings: Any) -> None:
    settings.PUBLIC_URL = "https://example.org/Gear"
    wanted = some_labels(3)
    found = scanned(label_sheet(wanted, SHEETS["3x8"]))
    assert found[0] == f"HTTPS://EXAMPLE.ORG/Gear/T/{wanted[0].code}/{wanted[0].secret}"
    assert found == [address_of(label) for label in wanted]


def test_a_label_says_its_code_in_groups_and_nothing_but_the_class_and_the_serials_end() -> None:
    label = Label("H7K2PD3", "2345678923", "4471", "Harness")
    assert words(label_sheet([label], SHEETS["3x8"])) == ["H7K-2PD3", "Harness", "Serial ends 4471"]


def test_a_small_label_has_its_code_in_two_rows() -> None:
    label = Label("H7K2PD3", "2345678923")
    assert words(label_sheet([label], SHEETS["5x13"])) == ["H7K", "2PD3"]


def test_a_serial_in_other_letters_prints_as_it_is() -> None:
    label = Label("H7K2PD3", "2345678923", "Ж-71")
    assert words(label_sheet([label], SHEETS["3x8"])) == ["H7K-2PD3", "Serial ends Ж-71"]


def test_a_line_too_long_for_its_label_is_cut_and_says_so() -> None:
    label = Label("H7K2PD3", "2345678923", "", "Rope-access descender, ascender or back-up")
    *_, line = words(label_sheet([label], SHEETS["5x13"]))
    assert line.endswith("…")
    assert label.line.startswith(line[:-1])


def test_the_first_label_comes_after_those_used_already() -> None:
    sheet = SHEETS["4x10"]
    [image] = pages(label_sheet(some_labels(1), sheet, skip=6))
    [code] = zxingcpp.read_barcodes(image)
    corner = code.position.top_left
    quiet_mm = 4 * qr_fit(sheet, some_labels(1)).module_mm
    # Seven: second row, third column. 48.5 and 25.4 mm, margins of 8 and 21.5 mm.
    x_mm = 8 + 2 * 48.5 + face_of(sheet).qr.x_mm + quiet_mm
    y_mm = 21.5 + 25.4 + face_of(sheet).qr.y_mm + quiet_mm
    assert corner.x / DPI * 25.4 == pytest.approx(x_mm, abs=0.5)
    assert corner.y / DPI * 25.4 == pytest.approx(y_mm, abs=0.5)


def test_the_paper_is_a4_and_asks_not_to_be_scaled() -> None:
    paper = label_sheet(some_labels(25), SHEETS["3x8"])
    document = pypdfium2.PdfDocument(paper)
    sizes = [tuple(side / POINTS_PER_MM for side in page.get_size()) for page in document]
    document.close()
    assert sizes == [pytest.approx((210, 297), abs=0.1)] * 2
    assert b"/PrintScaling /None" in paper


def test_the_same_labels_make_the_same_paper() -> None:
    assert label_sheet(some_labels(2), SHEETS["3x8"]) == label_sheet(some_labels(2), SHEETS["3x8"])


def test_nothing_to_print_is_refused() -> None:
    with pytest.raises(Refusal, match="at least one item"):
        label_sheet([], SHEETS["3x8"])


@pytest.mark.parametrize("skip", [-1, 24])
def test_a_sheet_with_no_label_left_is_refused(skip: int) -> None:
    with pytest.raises(ValueError, match="0 to 23"):
        places(SHEETS["3x8"], 1, skip)
    with pytest.raises(Refusal, match="0 to 23") as refused:
        label_sheet(some_labels(1), SHEETS["3x8"], skip)
    assert refused.value.code == "no-label-left"


def test_the_refusal_of_a_sheet_says_what_to_do() -> None:
    with pytest.raises(Refusal) as refused:
        label_sheet(some_labels(1), replace(SQUARE, columns=5))
    assert refused.value.code == "too-wide"
    assert refused.value.sentence == (
        "The left margin, the labels and their gaps need 243 mm, and A4 is 210 mm wide. "
        "Take a column away, or make the labels, the gaps or the margin smaller."
    )


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
def test_dots_are_large_enough_on_every_sheet_on_offer(sheet: Sheet) -> None:
    assert qr_fit(sheet, some_labels(1)).module_mm >= 0.33  # common practice, no source


def test_a_label_too_small_for_a_phone_is_refused() -> None:
    small = Sheet(name="", columns=2, rows=2, width_mm=17.8, height_mm=10, left_mm=5, top_mm=5)
    with pytest.raises(Refusal, match=r"17\.8 x 10 mm leaves 0\.22 mm") as refused:
        label_sheet(some_labels(1), small)
    assert refused.value.code == "label-too-small"


# The page


@pytest.fixture
def stores(site: Site, client: Client) -> Client:
    """The stores controller of one site, signed in."""
    client.force_login(user_as(Role.STORES, site))
    return client


def printed(client: Client, **chosen: object) -> list[str]:
    """The codes on the paper that the page gives for the choice."""
    answer = client.post(ADDRESS, {"sheet": "3x8", "used": 0, "print": "yes", **chosen})
    assert answer.headers["Content-Type"] == "application/pdf", answer.content.decode()
    return [str(read(address).code) for address in scanned(answer.content)]


def told(client: Client, **chosen: object) -> list[str]:
    """What the page says is wrong with the choice."""
    answer = client.post(ADDRESS, {"sheet": "3x8", "used": 0, "print": "yes", **chosen})
    assert answer.status_code == 200
    assert answer.headers["Content-Type"].startswith("text/html")
    return [text for texts in answer.context["form"].errors.values() for text in texts]


def test_typed_pasted_and_scanned_tags_print_in_their_order_and_once(
    site: Site, stores: Client
) -> None:
    one, two, three, four = ItemFactory.create_batch(4, site=site)
    text = (
        f"{shown(two.code).lower()}, {one.code}\n{three.code[:3]} {three.code[3:]}\n"
        f"HTTPS://GEAR.EXAMPLE.ORG/T/{four.code}/2345678923\n{two.code} {one.code}"
    )
    assert printed(stores, items=text) == [two.code, one.code, three.code, four.code]


def test_the_secret_on_the_paper_is_the_one_of_the_current_tag(item: Item, stores: Client) -> None:
    [label] = labels_of([item])
    answer = stores.post(ADDRESS, {"sheet": "3x8", "used": 0, "print": "yes", "items": item.code})
    assert scanned(answer.content) == [f"HTTPS://GEAR.EXAMPLE.ORG/T/{item.code}/{label.secret}"]
    assert label.secret == item.tags.get().secret
    assert (label.serial_tail, label.line) == (item.serial[-4:], "Harness")
    assert answer.headers["Content-Disposition"] == 'attachment; filename="labels-1.pdf"'


def test_many_labels_are_drawn_in_the_background_and_wait(
    site: Site, stores: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("register.views.labels.AT_ONCE", 2)
    items = ItemFactory.create_batch(3, site=site)
    codes = [item.code for item in items]
    page = stores.post(
        ADDRESS, {"items": " ".join(codes), "sheet": "3x8", "used": 0, "print": "yes"}
    )
    paper = b"".join(stores.get(f"{page.headers['Location']}result/").streaming_content)  # type: ignore[attr-defined]
    assert [str(read(address).code) for address in scanned(paper)] == codes


def test_labels_of_an_item_that_has_left_since_are_not_drawn(site: Site) -> None:
    """Its secret is for its new site, even where the asker sees the item there."""
    user = user_as(Role.STORES, site)
    user.grants.create(role=Role.WORKER, site=SiteFactory())
    item = ItemFactory(site=user.grants.exclude(site=site).get().site)
    given = {"items": [item.pk], "sheet": asdict(SHEETS["3x8"]), "used": 0}
    errand = ask(LABELS, given, by=user, sites=[site], stamp=stamp(user))
    errand.refresh_from_db()
    assert errand.sentence == "1 item has left your sites since. Choose the items anew."


def test_a_delivery_prints_in_the_order_of_its_serials(site: Site, stores: Client) -> None:
    delivery = Delivery.objects.create(
        site=site, product=ProductFactory(), delivery_note="N-1", received_on=DAY
    )
    late = ItemFactory(site=site, delivery=delivery, serial="B2", product=delivery.product)
    early = ItemFactory(site=site, delivery=delivery, serial="B1", product=delivery.product)
    ItemFactory(site=site)
    assert printed(stores, delivery=delivery.pk) == [early.code, late.code]


def test_a_site_prints_what_is_still_there(site: Site, stores: Client) -> None:
    harness = ItemFactory(site=site)
    ItemFactory(site=site, condition="withdrawn")
    ItemFactory(site=site, product=ProductFactory(equipment_class="rope"))
    chosen = {"site": site.code, "equipment_class": "harness"}
    assert printed(stores, **chosen) == [harness.code]


def test_a_label_size_of_ones_own_prints(item: Item, stores: Client) -> None:
    size = {"columns": 2, "rows": 5, "width_mm": "99.1", "height_mm": "57", "left_mm": "4.7"}
    assert printed(stores, items=item.code, sheet="own", **size) == [item.code]
    [wrong] = told(stores, items=item.code, sheet="own", **size | {"columns": 3})
    assert wrong.startswith("The left margin, the labels and their gaps need 302 mm")
    [wrong] = told(stores, items=item.code, sheet="own")
    assert wrong.startswith("For another size give the columns")


def test_the_page_counts_the_sheets_before_it_prints(site: Site, stores: Client) -> None:
    codes = ",".join(item.code for item in ItemFactory.create_batch(2, site=site))
    page = stores.get(ADDRESS, {"items": codes, "used": 23}).content.decode()
    assert "2 labels, 2 sheets." in page
    assert "29 x 29 dots, 0.86 mm each, error level Q" in page


def test_the_page_opens_empty(stores: Client) -> None:
    answer = stores.get(ADDRESS)
    assert answer.status_code == 200
    assert answer.context["form"].errors == {}


def test_items_of_other_sites_are_neither_printed_nor_offered(item: Item, client: Client) -> None:
    elsewhere = SiteFactory()
    client.force_login(user_as(Role.STORES, elsewhere))
    delivery = Delivery.objects.create(
        site=item.site, product=item.product, delivery_note="N-1", received_on=DAY
    )
    assert told(client, items=item.code) == [
        f"At your sites no item has the tag “{item.shown_code}”."
    ]
    assert told(client, site=item.site.code) != []
    assert told(client, delivery=delivery.pk) != []


def test_seeing_an_item_is_not_enough_to_print_its_secret(item: Item, client: Client) -> None:
    user = user_as(Role.STORES, SiteFactory())
    user.grants.create(role=Role.WORKER, site=item.site)
    client.force_login(user)
    assert item in Item.objects.visible_to(user)
    assert told(client, items=item.code) != []


def test_the_list_for_nfc_tags_holds_the_addresses_of_the_labels(
    item: Item, stores: Client
) -> None:
    chosen = {"sheet": "3x8", "used": 0, "items": item.code, "nfc": "yes"}
    answer = stores.post(ADDRESS, chosen)
    assert answer.headers["Content-Type"] == "text/csv; charset=utf-8"
    (row,) = csv.DictReader(StringIO(answer.content.decode()))
    secret = Tag.objects.get(item=item, replaced_at=None).secret
    assert row["address"].endswith(f"/T/{item.code}/{secret}")
    assert bytes.fromhex(row["NDEF message (hex)"]) == uri_message(row["address"])
    assert row["serial ends"] == f"…{item.serial[-4:]}"


def test_a_worker_may_not_open_the_page(site: Site, client: Client) -> None:
    client.force_login(user_as(Role.WORKER, site))
    assert client.get(ADDRESS).status_code == 403
    assert client.post(ADDRESS, {"print": "yes"}).status_code == 403


def test_a_mistyped_tag_is_told_and_the_form_keeps_it(item: Item, stores: Client) -> None:
    wrong = item.code[:-1] + ("2" if item.code[-1] != "2" else "3")
    assert told(stores, items=f"{item.code} {wrong}") == [
        f"No tag can read “{wrong}”. Compare with the label and type it again."
    ]
    answer = stores.post(ADDRESS, {"sheet": "3x8", "used": 0, "print": "yes", "items": wrong})
    assert wrong in answer.content.decode()


def test_a_replaced_tag_leads_to_the_one_in_its_place(item: Item, stores: Client) -> None:
    old = item.code
    spare = ItemFactory.build(product=item.product, site=item.site)
    item.tags.update(replaced_at=stamp().at)
    item.tags.create(code=spare.code, secret="2345678923", issue=2, issued_at=stamp().at)
    Item.objects.filter(pk=item.pk).update(code=spare.code)
    assert told(stores, items=old) == [
        f"Tag {shown(old)} was replaced by {shown(spare.code)}. Print that one instead."
    ]
    assert printed(stores, items=spare.code) == [spare.code]


def test_an_item_without_a_tag_on_record_is_told(item: Item, stores: Client) -> None:
    item.tags.all().delete()
    [wrong] = told(stores, items=item.code)
    assert wrong.startswith(f"No tag is on record for {item.shown_code}.")


def test_items_are_chosen_in_one_way(item: Item, site: Site, stores: Client) -> None:
    only_one = ["Choose the items in one way: by tags, by a delivery or by a site."]
    assert told(stores) == only_one
    assert told(stores, items=item.code, site=site.code) == only_one


@pytest.mark.parametrize(
    ("host", "warnings"),
    [("localhost", 1), ("127.0.0.1", 1), ("gear.localhost", 1), ("gear.lan", 0)],
)
def test_the_page_warns_of_labels_that_no_phone_can_open(
    host: str, warnings: int, stores: Client, settings: Any
) -> None:
    settings.PUBLIC_URL = f"http://{host}:8000"
    settings.PUBLIC_HOST = host
    page = stores.get(ADDRESS).content.decode()
    assert page.count(f"These labels would lead to http://{host}:8000") == warnings
