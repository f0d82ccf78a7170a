"""Recording at the bench: three touches for a pass, at once out for a fail, and nothing lost."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from inspections.models import Authorisation, Due, Inspection
from register import clock
from register.actions.conditions import quarantine
from register.models import Document, Entry, Item, Role, Site, User
from register.rules.conditions import Condition
from register.rules.photos import plain_photo
from tests.factories import (
    PNG,
    ItemFactory,
    ProductFactory,
    SiteFactory,
    kit_of,
    passed,
    stamp,
    user_as,
)

BENCH = "/inspect/"
NO_DEFECT = {"form-TOTAL_FORMS": "3", "form-INITIAL_FORMS": "0"}


@pytest.fixture
def huw(site: Site) -> User:
    """The competent person, authorised for everything today."""
    user = user_as(Role.COMPETENT, username="huw")
    today = clock.today(site)
    days = {"from_on": today - timedelta(days=9), "through_on": today + timedelta(days=9)}
    Authorisation.objects.create(person=user.person, **days)
    return user


@pytest.fixture
def item(site: Site) -> Item:
    """A harness due in a few weeks."""
    made: Item = ItemFactory(site=site, serial="HT-34471")
    passed(made, clock.today(site) - timedelta(days=150))
    return made


@pytest.fixture
def bench(client: Client, huw: User, site: Site) -> Client:
    """Huw's phone, a round of periodic examinations begun."""
    client.force_login(huw)
    begin(client, site)
    return client


def begin(client: Client, site: Site, kind: str = "detailed") -> None:
    client.post(reverse("inspections:inspect-round"), {"site": site.code, "kind": kind})


def look(client: Client, item: Item) -> str:
    return client.get(BENCH, {"code": item.code}).content.decode()


def press(client: Client, name: str, item: Item, *verdict: str, **told: object) -> str:
    address = reverse(f"inspections:{name}", args=[item.code, *verdict])
    return client.post(address, told, follow=True).content.decode()


def defect(**told: object) -> dict[str, object]:
    """What the browser sends for one defect."""
    filled = {"grade": "A", "what": "edge cut of 3 mm", "place": "left leg strap", **told}
    forms = {"form-TOTAL_FORMS": "3", "form-INITIAL_FORMS": "0"}
    return {**forms, **{f"form-0-{name}": value for name, value in filled.items()}}


def test_a_pass_takes_three_touches_and_tells_the_next_due_day(
    bench: Client, item: Item, site: Site
) -> None:
    assert "HT-34471" in look(bench, item)
    page = press(bench, "inspect-pass", item)
    due_on = Due.objects.get(item=item).last_good_on
    assert f"passed, next due {due_on.day} {due_on:%b %Y}" in page
    assert Inspection.objects.filter(item=item, verdict="pass", counts=True).count() == 2
    assert due_on > clock.today(site) + timedelta(days=150)


def test_the_facts_show_the_end_of_the_serial_and_the_last_verdict(
    bench: Client, item: Item
) -> None:
    page = look(bench, item)
    assert '<b class="code serial-tail">4471</b>' in page
    assert "Pass, " in page
    assert "Periodic examination: until" in page


def test_the_same_button_twice_records_once(bench: Client, item: Item) -> None:
    look(bench, item)
    press(bench, "inspect-pass", item)
    press(bench, "inspect-pass", item)
    assert item.inspections.count() == 2


def test_an_item_that_was_not_looked_at_cannot_be_passed(bench: Client, item: Item) -> None:
    assert "was not looked at in this round" in press(bench, "inspect-pass", item)
    assert item.inspections.count() == 1


def test_the_round_counts_done_out_and_not_presented(bench: Client, item: Item, site: Site) -> None:
    bad, absent = ItemFactory(site=site), ItemFactory(site=site)
    for each in (item, bad, absent):
        look(bench, each)
    press(bench, "inspect-pass", item)
    press(bench, "inspect-finding", bad, "fail", **defect())
    empty = {"form-TOTAL_FORMS": "3", "form-INITIAL_FORMS": "0"}
    page = press(bench, "inspect-finding", absent, "not-presented", **empty)
    figures = [
        page.split(f"<dt>{name}</dt><dd>")[1][0]
        for name in ("done", "of these out", "not presented")
    ]
    assert figures == ["2", "1", "1"]


def test_what_was_not_presented_moves_no_clock(bench: Client, item: Item) -> None:
    before = Due.objects.get(item=item).last_good_on
    look(bench, item)
    empty = {"form-TOTAL_FORMS": "3", "form-INITIAL_FORMS": "0"}
    press(bench, "inspect-finding", item, "not-presented", **empty)
    assert Due.objects.get(item=item).last_good_on == before
    assert item.inspections.first().verdict == "not-presented"


def test_an_item_done_before_is_told_with_its_time(bench: Client, item: Item) -> None:
    look(bench, item)
    press(bench, "inspect-pass", item)
    page = look(bench, item)
    assert "already done at" in page
    right = reverse("inspections:inspection-detail", args=[item.inspections.first().pk])
    assert f'<a class="button" href="{right}">The record, to correct it</a>' in page
    assert "PASS <span>" not in page
    assert "PASS <span>" in bench.get(BENCH, {"code": item.code, "again": "1"}).content.decode()


def test_the_first_tap_of_a_fail_quarantines(bench: Client, item: Item) -> None:
    look(bench, item)
    page = press(bench, "inspect-stop", item, "fail")
    item.refresh_from_db()
    assert (item.condition, item.quarantine_reason) == ("quarantined", "failed-inspection")
    assert "Out of use since the first tap" in page
    assert "not written down yet" in bench.get(BENCH).content.decode()


def test_signing_a_fail_withdraws(bench: Client, item: Item) -> None:
    look(bench, item)
    press(bench, "inspect-stop", item, "fail")
    page = press(bench, "inspect-finding", item, "fail", **defect(action="cut through"))
    item.refresh_from_db()
    assert item.condition == Condition.WITHDRAWN
    assert item.inspections.first().defects.get().what == "edge cut of 3 mm"
    assert "not written down yet" not in page


def test_a_fail_needs_a_defect_and_keeps_what_was_written(bench: Client, item: Item) -> None:
    look(bench, item)
    page = press(
        bench, "inspect-finding", item, "fail", **defect(what="", grade=""), note="left leg"
    )
    assert "Say what is wrong." in page
    assert "Choose how bad it is: A, B or C." in page
    assert "Not signed yet" in page
    assert "left leg" in page
    assert item.inspections.count() == 1


@pytest.mark.parametrize(
    ("told", "sentence"),
    [
        ({"grade": "B"}, "Give the day by which this could become a danger."),
        ({"grade": "B", "danger_by_on": "2020-01-01"}, "1 Jan 2020 has passed"),
        ({"photo": SimpleUploadedFile("notes.jpg", b"no photograph")}, "is no JPEG or PNG"),
    ],
)
def test_a_defect_that_cannot_be_keeps_the_form(
    bench: Client, item: Item, told: dict[str, object], sentence: str
) -> None:
    look(bench, item)
    page = press(bench, "inspect-finding", item, "refer", **defect(**told))
    assert sentence in page
    assert "edge cut of 3 mm" in page
    assert item.inspections.count() == 1


def test_a_photograph_is_kept_with_its_defect(bench: Client, item: Item) -> None:
    look(bench, item)
    photo = SimpleUploadedFile("IMG_0001.png", PNG, content_type="image/png")
    press(bench, "inspect-finding", item, "fail", **defect(photo=photo))
    kept = item.inspections.first().defects.get().photo
    assert (kept.kind, kept.name, kept.size) == (
        Document.Kind.PHOTO,
        f"{item.code}.jpg",
        len(plain_photo(PNG)),
    )


def test_a_danger_by_a_date_is_a_clock_of_the_item(bench: Client, item: Item, site: Site) -> None:
    by = clock.today(site) + timedelta(days=5)
    look(bench, item)
    told = {"check-rest_good": "on", **defect(grade="B", danger_by_on=by.isoformat())}
    press(bench, "inspect-finding", item, "pass-with-conditions", **told)
    assert (Due.objects.get(item=item).last_good_on, Due.objects.get(item=item).clock) == (
        by,
        "defect",
    )


def test_a_pass_with_conditions_names_one(bench: Client, item: Item) -> None:
    look(bench, item)
    empty = {"form-TOTAL_FORMS": "3", "form-INITIAL_FORMS": "0"}
    page = press(bench, "inspect-finding", item, "pass-with-conditions", **empty)
    assert "without any it is a pass" in page
    told = {"restricted_to": "restraint", **empty}
    page = press(bench, "inspect-finding", item, "pass-with-conditions", **told)
    assert "Nothing is said yet of: “Both edges" in page
    told["check-rest_good"] = "on"
    press(bench, "inspect-finding", item, "pass-with-conditions", **told)
    assert item.inspections.first().restricted_to == "restraint"


def test_a_pass_that_would_not_count_is_told_before_it_is_given(
    bench: Client, huw: User, item: Item
) -> None:
    Authorisation.objects.filter(person=huw.person).update(classes=["rope"])
    assert "You are not authorised for harness (periodic examination) today" in look(bench, item)
    assert "kept, but it does not count" in press(bench, "inspect-pass", item)
    assert not item.inspections.first().counts


def test_a_login_without_a_person_is_told_so(client: Client, item: Item, site: Site) -> None:
    client.force_login(user_as(Role.COMPETENT, person=None))
    begin(client, site)
    assert "your login is linked to no person" in look(client, item)


def test_a_quarantined_item_that_passes_stays_out(bench: Client, item: Item) -> None:
    Item.objects.filter(pk=item.pk).update(
        condition=Condition.QUARANTINED, quarantine_reason="suspected-load"
    )
    look(bench, item)
    page = press(bench, "inspect-pass", item)
    assert "passed, but still DO NOT USE: in quarantine: may have taken a load" in page


def test_a_thorough_examination_is_suggested_when_its_clock_governs(
    bench: Client, site: Site
) -> None:
    pulley = ItemFactory(site=site, product=ProductFactory(equipment_class="pulley"))
    page = look(bench, pulley)
    assert "Its thorough examination is due first" in page


def test_a_mistyped_code_is_told_as_mistyped(bench: Client, item: Item) -> None:
    page = bench.get(BENCH, {"code": item.code[:-1] + "?"}).content.decode()
    assert "is mistyped: no tag reads like that" in page


def test_an_item_of_another_site_is_told_with_its_site(bench: Client) -> None:
    stray = ItemFactory(site=SiteFactory(name="Holm Tower"))
    page = look(bench, stray)
    assert "belongs to Holm Tower in the register, not to Corrick Quay" in page
    assert f'href="/t/{stray.code}"' in page


def test_a_site_that_is_not_theirs_is_not_named(client: Client, site: Site) -> None:
    client.force_login(user_as(Role.COMPETENT, site))
    begin(client, site)
    stray = ItemFactory(site=SiteFactory(name="Holm Tower"))
    page = look(client, stray)
    assert "belongs to a site that is not yours" in page
    assert "Holm Tower" not in page
    address = reverse("inspections:inspect-pass", args=[stray.code])
    assert client.post(address).status_code == 404


def test_a_stores_controller_does_not_inspect(client: Client, petra: User) -> None:
    client.force_login(petra)
    assert client.get(BENCH).status_code == 403


def test_the_bench_asks_a_fixed_number_of_questions(
    bench: Client, item: Item, django_assert_max_num_queries: object
) -> None:
    for days in range(5):
        passed(item, clock.today(item.site) - timedelta(days=10 + days))
    with django_assert_max_num_queries(24):  # type: ignore[operator]
        look(bench, item)


def test_the_contents_card_of_a_kit_is_shown(bench: Client, site: Site) -> None:
    kit = kit_of(site, "descender", "rope")
    page = look(bench, kit.item)
    assert [role in page for role in ("<li>descender: ", "<li>rope: ")] == [True, True]


def test_a_kit_is_cut_open_sealed_anew_and_passed_from_its_facts(bench: Client, site: Site) -> None:
    begin(bench, site, "kit-check")
    kit = kit_of(site, "rope", on=clock.today(site))
    seal, unseal = (reverse(f"register:kit-{act}", args=[kit.name]) for act in ("seal", "unseal"))
    page = look(bench, kit.item)
    assert ">S-1</b>: whole, and the same?" in page
    assert f'href="{unseal}"' in page
    card = bench.post(unseal, {"kind": "opened", "reason": ""}, follow=True).content.decode()
    assert f'href="/inspect/?code={kit.item.code}&amp;again=1">Inspect it</a>' in card
    page = look(bench, kit.item)
    assert "<b>Not sealed.</b> The pass asks for" in page
    assert f'href="{seal}"' in page
    bench.post(seal, {"number": "S-2"})
    assert ">S-2</b>: whole, and the same?" in look(bench, kit.item)
    assert "Not ticked: rope " in press(bench, "inspect-pass", kit.item)
    look(bench, kit.item)
    shut = {"card-whole": "on", "check-rest_good": "on", **NO_DEFECT}
    assert "passed, next due" in press(bench, "inspect-points", kit.item, **shut)
    assert kit.item.inspections.first().left_shut


def test_a_pass_that_does_not_bring_the_item_back_leads_to_its_release(
    bench: Client, item: Item
) -> None:
    quarantine(item, reason="returned-unsure", stamp=stamp())
    look(bench, item)
    page = press(bench, "inspect-pass", item)
    assert "passed, but still DO NOT USE: in quarantine" in page
    assert f'href="/items/{item.code}/">What keeps it out, and its release</a>' in page


def test_a_round_of_yesterday_is_asked_for_anew(bench: Client, item: Item) -> None:
    session = bench.session
    session["inspection-round"] |= {"day": "2020-01-01"}
    session.save()
    assert bench.get(BENCH, {"code": item.code})["Location"].startswith("/inspect/round/")


def test_each_verdict_is_in_the_ledger(bench: Client, item: Item) -> None:
    look(bench, item)
    press(bench, "inspect-pass", item)
    assert Entry.objects.filter(thing_kind="item", act__verb="inspect").count() == 1
