"""The pages of safety notices: looked at before they are entered, and settled item by item."""

from __future__ import annotations

from io import StringIO
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import call_command
from django.test import Client
from django.urls import reverse

from inspections import hatch
from inspections.models import Notice, NoticeMatch
from register import clock
from register.models import Item, Role, Site
from tests.factories import DAY, NOON, ItemFactory, PersonFactory, ProductFactory, passed, user_as

pytestmark = pytest.mark.django_db


@pytest.fixture
def held(site: Site) -> Item:
    """An item that the notice of ``told`` means."""
    product = ProductFactory(maker="Orla", designation="Heron 2")
    item: Item = ItemFactory(site=site, product=product, serial="A1000", serial_key="A1000")
    passed(item, clock.today(site))
    return item


def told(item: Item, **other: Any) -> dict[str, Any]:
    return {
        "issuer": "Orla",
        "reference": "N-7",
        "received_on": DAY.isoformat(),
        "kind": "stop-use",
        "text": "stop",
        "products": [item.product.pk],
        "serials": "A0990 to A1010",
        **other,
    }


def signed_in(role: Role, site: Site | None, **particulars: Any) -> Client:
    client = Client()
    client.force_login(user_as(role, site, **particulars))
    return client


def post(client: Client, name: str, told: dict[str, Any], *parts: object) -> Any:
    return client.post(reverse(f"inspections:{name}", args=parts), told)


def entered(item: Item, **other: Any) -> Notice:
    post(signed_in(Role.STORES, None), "notice-new", {**told(item, **other), "issue": "yes"})
    return Notice.objects.get()


def test_what_a_notice_would_hold_is_shown_and_nothing_kept(held: Item) -> None:
    other = ItemFactory(site=held.site, product=held.product, serial="1000", serial_key="1000")
    client = signed_in(Role.STORES, held.site)
    page = post(client, "notice-new", told(held, others="Brack; Eagle")).content.decode()
    assert "1 certain, 1 possible" in page
    assert held.shown_code in page
    assert other.shown_code in page
    assert "Brack Eagle" in page
    assert not Notice.objects.exists()


def test_entered_it_holds_and_is_told_on_the_items_page_and_its_tag_page(held: Item) -> None:
    notice = entered(held)
    client = signed_in(Role.MANAGER, held.site)
    for address in (held.get_absolute_url(), f"/T/{held.code}/"):
        assert "eld by safety notice Orla N-7" in client.get(address).content.decode()
    assert held.shown_code in client.get(notice.get_absolute_url()).content.decode()
    assert "1 item is held" in client.get(reverse("readiness:morning")).content.decode()


def test_what_is_wrong_is_said_beside_what_was_typed(held: Item) -> None:
    client = signed_in(Role.STORES, held.site)
    wrong = told(held, serials="A1010 to A0990\nA1 to 7", kind="use-until")
    page = post(client, "notice-new", wrong).content.decode()
    assert "ends before it begins" in page
    assert "cannot be compared" in page
    assert "A1010 to A0990" in page
    late = post(client, "notice-new", told(held, kind="use-until")).content.decode()
    assert "give the last day of use" in late


def test_the_file_chosen_at_the_first_look_is_kept_for_the_second(held: Item) -> None:
    client = signed_in(Role.STORES, held.site)
    upload = SimpleUploadedFile("n7.pdf", b"stop")
    page = post(client, "notice-new", told(held, document=upload))
    kept = page.context["form"]["kept"].value()
    post(client, "notice-new", told(held, kept=kept, issue="yes"))
    notice = Notice.objects.get()
    assert client.get(reverse("inspections:notice-document", args=[notice.pk])).content == b"stop"


def test_a_reference_entered_before_is_told_before_anything_is_held(held: Item) -> None:
    entered(held)
    page = post(signed_in(Role.STORES, held.site), "notice-new", told(held)).content.decode()
    assert "is entered already" in page


def test_only_who_has_every_site_may_free_what_a_notice_holds(held: Item) -> None:
    notice = entered(held)
    reason = {"because": "the maker took it back"}
    assert (
        post(signed_in(Role.MANAGER, held.site), "notice-withdraw", reason, notice.pk).status_code
        == 403
    )
    post(signed_in(Role.MANAGER, None), "notice-withdraw", reason, notice.pk)
    assert not NoticeMatch.objects.holding().exists()


def test_a_revision_starts_from_what_stands_and_needs_its_reason(held: Item) -> None:
    notice = entered(held)
    client = signed_in(Role.MANAGER, None)
    form = client.get(reverse("inspections:notice-revise", args=[notice.pk])).context["form"]
    assert form.initial["products"] == [held.product.pk]
    assert form.initial["serials"] == "A0990 to A1010"
    post(client, "notice-revise", {**told(held), "issue": "yes"}, notice.pk)
    assert Notice.objects.count() == 1
    wider = {**told(held, serials="A0900 to A1010"), "because": "more", "issue": "yes"}
    post(client, "notice-revise", wider, notice.pk)
    assert Notice.objects.in_force().get().version == 2


def test_stores_cannot_free_an_item_and_an_inspector_can(held: Item) -> None:
    notice = entered(held)
    answer = {"outcome": "not-ours", "because": "red gate"}
    post(signed_in(Role.STORES, held.site), "match-settle", answer, notice.pk, held.code)
    assert NoticeMatch.objects.holding().exists()
    post(signed_in(Role.COMPETENT, held.site), "match-settle", answer, notice.pk, held.code)
    assert not NoticeMatch.objects.holding().exists()


def test_the_holder_or_who_runs_the_site_says_that_they_know(held: Item) -> None:
    notice, holder = entered(held), PersonFactory()
    Item.objects.filter(pk=held.pk).update(holder=holder, custody="person")
    answer = {"how": "I laid it aside"}
    post(signed_in(Role.WORKER, held.site), "match-acknowledge", answer, notice.pk, held.code)
    assert NoticeMatch.objects.get().acknowledged_at is None
    own = signed_in(Role.WORKER, held.site, person=holder)
    post(own, "match-acknowledge", answer, notice.pk, held.code)
    assert NoticeMatch.objects.get().acknowledged_at


def test_a_label_read_on_its_page_frees_what_is_not_meant(held: Item) -> None:
    entered(held)
    answer = {"serial": "A2000", "made": "2025-01", "how": "in the hand"}
    page = post(signed_in(Role.STORES, held.site), "item-read-label", answer, held.code)
    assert page.status_code == 302
    assert not NoticeMatch.objects.holding().exists()


def test_what_comes_back_held_is_laid_apart(held: Item) -> None:
    assert hatch.returned(held, None, clock.now())["answer"] == "Back in stores"
    entered(held)
    line = hatch.returned(held, None, clock.now())
    assert (line["answer"], line["usable"]) == ("DO NOT USE", False)


def test_the_due_list_marks_what_is_held(held: Item) -> None:
    entered(held)
    client = signed_in(Role.STORES, held.site)
    page = client.get(reverse("inspections:due-list"), {"weeks": 52}).content.decode()
    assert "Held by a safety notice" in page


def test_the_list_of_notices_asks_as_much_for_five_as_for_one(
    held: Item, django_assert_max_num_queries: Any
) -> None:
    entered(held)
    for number in range(4):
        one = Notice.objects.create(
            issuer="Brack",
            reference=str(number),
            name_key=str(number),
            kind="stop-use",
            received_on=DAY,
            recorded_at=NOON,
            text="stop",
        )
        one.matches.create(item=held, certainty="certain", matched_at=NOON)
    client = signed_in(Role.STORES, held.site)
    with django_assert_max_num_queries(10):
        client.get(reverse("inspections:notice-list"))


def test_a_match_that_went_astray_is_reported_and_put_right(held: Item) -> None:
    entered(held)
    NoticeMatch.objects.all().delete()
    out = StringIO()
    with pytest.raises(SystemExit):
        call_command("check_notices", stdout=out)
    assert held.shown_code in out.getvalue()
    call_command("check_notices", "--mend", stdout=out)
    assert NoticeMatch.objects.holding().get().item == held
    call_command("check_notices", stdout=out)
    assert "Every stored match agrees" in out.getvalue()
