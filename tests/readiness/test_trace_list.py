"""The trace list of a safety notice: every piece it means, who has it, and what holding it uncovers."""

from __future__ import annotations

from datetime import date

import pytest
from django.test import Client
from django.urls import reverse

from inspections.actions.notice_items import acknowledge
from inspections.actions.notices import issue_notice
from inspections.models import Notice
from readiness.documents.trace_list import TRACE_LIST, Trace, content_of, uncovered
from register import clock
from register.actions.conditions import quarantine
from register.actions.papers import name_employer
from register.documents.checking import check_paper
from register.documents.content import Table
from register.documents.issuing import issue
from register.models import Item, Role
from register.rules.lifespan import read_span
from tests.factories import DAY, NOON, ItemFactory, PersonFactory, SiteFactory, stamp, user_as
from tests.readiness.grounds import Ground, covered_site, rated_kit
from tests.register.reading_papers import text_of_pdf, unsaid

pytestmark = pytest.mark.django_db


@pytest.fixture
def ground(monkeypatch: pytest.MonkeyPatch) -> Ground:
    monkeypatch.setattr(clock, "reading", lambda: NOON)
    name_employer(name="Aldermoor Works", address="1 Quay", paper_size="a4", stamp=stamp())
    return covered_site()


@pytest.fixture
def descender(ground: Ground) -> Item:
    """In the kit; its made date is known only by year."""
    item: Item = ground.kit.parts.get(role="descender").item
    span = read_span("2025")
    Item.objects.filter(pk=item.pk).update(
        made_first_on=span.first, made_last_on=span.last, made_precision="year"
    )
    return item


def notice_on(item: Item) -> Notice:
    """Stop use for what was made in the first half of 2025."""
    return issue_notice(
        Notice(
            issuer="Orla",
            reference="N-7",
            received_on=DAY,
            text="Stop using them.",
            kind="stop-use",
            products=[[item.product.maker, item.product.designation]],
            made_from_on=date(2025, 1, 1),
            made_through_on=date(2025, 6, 30),
        ),
        stamp=stamp(),
    )


def traced(ground: Ground, notice: Notice) -> Trace:
    return Trace(notice, (ground.site,))


def rows_of(trace: Trace) -> list[tuple[str, ...]]:
    tables = [one for one in content_of(trace, NOON).blocks if isinstance(one, Table)]
    return [row.cells for row in tables[-1].rows]


def test_a_held_part_of_the_only_kit_uncovers_the_task(ground: Ground, descender: Item) -> None:
    trace = traced(ground, notice_on(descender))
    assert list(uncovered(trace, NOON)[ground.site.code]) == ["CQ-1"]


def test_with_another_kit_nothing_is_uncovered(ground: Ground, descender: Item) -> None:
    rated_kit(ground.zone, "RK-99")
    assert uncovered(traced(ground, notice_on(descender)), NOON) == {ground.site.code: {}}


def test_what_is_out_for_another_reason_too_is_not_uncovered_by_the_notice(
    ground: Ground, descender: Item
) -> None:
    """Were it not held, the kit would be out all the same."""
    notice = notice_on(descender)
    quarantine(ground.kit.item, reason="seal-broken", stamp=stamp())
    assert uncovered(traced(ground, notice), NOON) == {ground.site.code: {}}


def test_a_held_anchor_uncovers_the_task(ground: Ground) -> None:
    Item.objects.filter(pk=ground.anchor.pk).update(
        made_first_on=date(2025, 2, 1), made_last_on=date(2025, 2, 1), made_precision="day"
    )
    ground.anchor.refresh_from_db()
    trace = traced(ground, notice_on(ground.anchor))
    assert list(uncovered(trace, NOON)[ground.site.code]) == ["CQ-1"]


def test_each_piece_stands_with_why_it_is_meant_and_who_has_it(
    ground: Ground, descender: Item
) -> None:
    ((tag, piece, meant, where, knows, outcome),) = rows_of(traced(ground, notice_on(descender)))
    assert tag == descender.shown_code
    assert descender.serial in piece
    assert "made date known only" in meant
    assert ground.kit.name in where
    assert ground.site.name in where
    assert (knows, outcome) == ("not yet", "open")


def test_a_piece_at_another_site_is_on_that_sites_list_alone(
    ground: Ground, descender: Item
) -> None:
    other = ItemFactory(
        site=SiteFactory(),
        product=descender.product,
        holder=PersonFactory(name="Ines Carrow"),
        custody="person",
        made_first_on=date(2025, 2, 1),
        made_last_on=date(2025, 2, 1),
        made_precision="day",
    )
    notice = notice_on(descender)
    assert [row[0] for row in rows_of(traced(ground, notice))] == [descender.shown_code]
    both = rows_of(Trace(notice, (ground.site, other.site)))
    assert [row[0] for row in both] == [other.shown_code, descender.shown_code]
    assert "Ines Carrow" in both[0][3]


def test_an_acknowledgement_supersedes_the_list(ground: Ground, descender: Item) -> None:
    trace = traced(ground, notice_on(descender))
    issued = issue(TRACE_LIST, trace, stamp=stamp(), language="en-gb")
    assert unsaid(content_of(trace, NOON), text_of_pdf(issued.file)) == []
    assert check_paper(issued.paper, NOON).standing == "true"
    acknowledge(trace.matches[0], how="by telephone", stamp=stamp())
    checked = check_paper(issued.paper, NOON)
    assert (checked.standing, checked.changed) == ("changed", ("who knows",))


def test_the_page_tells_the_readers_own_sites(ground: Ground, descender: Item) -> None:
    notice = notice_on(descender)
    client = Client()
    client.force_login(user_as(Role.STORES, ground.site))
    path = reverse("readiness:notice-trace", args=[notice.pk])
    assert descender.shown_code in client.get(path).content.decode()
    client.force_login(user_as(Role.STORES, SiteFactory()))
    assert descender.shown_code not in client.get(path).content.decode()
    assert client.get(f"{path}?site={ground.site.code}").status_code == 404
