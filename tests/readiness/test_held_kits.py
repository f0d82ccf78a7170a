"""A safety notice that means a part of a rescue kit uncovers the tasks that count on the kit."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from inspections.actions.inspecting import Finding, inspect
from inspections.actions.notice_items import close_match, read_label
from inspections.actions.notices import issue_notice, withdraw_notice
from inspections.models import Notice, NoticeMatch
from readiness.wording import reason_sentence
from register.actions.conditions import report_found, report_lost
from register.actions.label_reading import Label
from register.models import Item, Site, Stamp
from register.rules.lifespan import read_span
from tests.factories import DAY, NOON, SiteFactory, inspector, stamp
from tests.readiness.asking import answers, hour, statement
from tests.readiness.grounds import Ground, covered_site

LATER = NOON + timedelta(hours=2)


@pytest.fixture
def ground(db: None) -> Ground:
    return covered_site()


@pytest.fixture
def descender(ground: Ground) -> Item:
    """Its made date is known only by year."""
    item: Item = ground.kit.parts.get(role="descender").item
    span = read_span("2025")
    Item.objects.filter(pk=item.pk).update(
        made_first_on=span.first, made_last_on=span.last, made_precision="year"
    )
    return item


def notice(item: Item, **told: object) -> Notice:
    """Stop use for what was made in the first half of 2025."""
    particulars = {
        "kind": "stop-use",
        "products": [[item.product.maker, item.product.designation]],
        "made_from_on": date(2025, 1, 1),
        "made_through_on": date(2025, 6, 30),
        **told,
    }
    one = Notice(issuer="Orla", reference="N-7", received_on=DAY, text="stop", **particulars)
    return issue_notice(one, stamp=stamp())


def codes(ground: Ground, day: date = DAY) -> list[str]:
    return [one.code for one in answers(ground.site, day)["CQ-1"].reasons]


def test_a_kit_is_out_until_the_label_of_a_possibly_meant_part_is_read(
    ground: Ground, descender: Item
) -> None:
    assert codes(ground) == []
    notice(descender)
    assert codes(ground) == ["kit-not-usable"]
    read_label(descender, label=Label(made=read_span("2025-09")), how="seen", stamp=stamp())
    assert codes(ground) == []


def test_the_reason_names_the_part_and_the_notice(ground: Ground, descender: Item) -> None:
    notice(descender)
    (reason,) = answers(ground.site)["CQ-1"].reasons
    said = reason_sentence(reason)
    assert f"descender {descender.shown_code}" in said
    assert "Orla N-7" in said


def test_a_label_that_confirms_the_notice_leaves_the_kit_out(
    ground: Ground, descender: Item
) -> None:
    notice(descender)
    read_label(descender, label=Label(made=read_span("2025-02")), how="seen", stamp=stamp())
    assert codes(ground) == ["kit-not-usable"]


def test_a_special_inspection_brings_the_kit_back(ground: Ground, descender: Item) -> None:
    notice(descender, kind="inspect-first")
    assert codes(ground) == ["kit-not-usable"]
    user = inspector()
    finding = Finding(kind="special", verdict="pass", performed_at=LATER, inspector=user.person)
    inspect(descender, finding=finding, stamp=Stamp(by=user, at=LATER))
    assert codes(ground) == ["kit-not-usable"]
    match = NoticeMatch.objects.get(item=descender)
    close_match(match, outcome="special-passed", because="sound", stamp=stamp(at=LATER))
    assert codes(ground) == []


def test_a_last_day_of_use_ends_the_cover_with_that_day(ground: Ground, descender: Item) -> None:
    last = DAY + timedelta(days=3)
    held = notice(descender, kind="use-until", deadline_on=last)
    assert codes(ground) == []
    assert lapses_on(ground) == last + timedelta(days=1)
    withdraw_notice(held, because="taken back", stamp=stamp())
    assert lapses_on(ground) != last + timedelta(days=1)


def lapses_on(ground: Ground) -> date | None:
    """The day on which the task is no longer covered."""
    lapse = statement(ground.site).lapse("CQ-1", hour(ground.site))
    return lapse.begins.date() if lapse else None


def test_a_notice_reaches_a_kit_that_was_found_again_at_another_site(
    ground: Ground, descender: Item
) -> None:
    """Its parts are where the bag is, and so is whoever counts on it."""
    bag, other = ground.kit.item, SiteFactory()
    report_lost(bag, search_note="everywhere", stamp=stamp())
    report_found(bag, site=other, where="in a van", stamp=stamp())
    before = Site.objects.get(pk=other.pk).facts_version

    notice(descender)

    assert Item.objects.get(pk=descender.pk).site == other
    assert Site.objects.get(pk=other.pk).facts_version > before
