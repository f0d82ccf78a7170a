"""A checklist is read in the reader's language, and kept in the words of its file whoever reads it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse
from django.utils import translation

from inspections.checklist_wording import misfit_sentence, worded
from inspections.checklists import checklist_for
from inspections.packs.around import checklists
from inspections.rules.answering import Misfit
from inspections.rules.checklists import Checklist, Point, content_of, hash_of
from register import clock
from register.models import Item, Site
from register.rules.classes import CLASSES
from tests.factories import inspector

EDGE = "Both edges, bent over the thumb"
KRAWEDZIE = "Obie krawędzie, zgięte na kciuku"


@pytest.fixture
def bench(client: Client, site: Site) -> Iterator[Client]:
    """A round begun by an inspector who reads Polish."""
    client.force_login(inspector(on=clock.today(site)))
    client.cookies[settings.LANGUAGE_COOKIE_NAME] = "pl"
    with translation.override(translation.get_language()):  # a request leaves its language behind
        client.post(reverse("inspections:inspect-round"), {"site": site.code, "kind": "detailed"})
        yield client


def edge(found: Checklist) -> Point:
    return next(point for point in found.points if point.slug == "edge-cut")


@pytest.mark.parametrize("slug", CLASSES)
def test_no_more_than_the_words_of_a_point_differs_by_language(slug: str) -> None:
    found = checklist_for(slug)
    assert worded(found) == found
    with translation.override("pl"):
        read = worded(found)
    assert all(
        replace(said, look=point.look, accept=point.accept, unit=point.unit) == point
        for point, said in zip(found.points, read.points, strict=True)
    )
    pairs = list(zip(found.points, read.points, strict=True))
    assert [said.look for point, said in pairs if said.look == point.look] == []
    assert [said.accept for point, said in pairs if said.accept == point.accept] == []


def test_words_that_no_file_has_any_more_are_shown_as_they_were_written() -> None:
    found = checklist_for("harness")
    part = found.parts[0]
    old = replace(part, points=(replace(part.points[0], look="Edges, by eye"), part.points[1]))
    with translation.override("pl"):
        read = worded(replace(found, parts=(old,))).points
    assert read[0].look == "Edges, by eye"
    assert read[1].look != part.points[1].look


def test_a_refusal_names_the_points_in_the_readers_language() -> None:
    with translation.override("pl"):
        assert KRAWEDZIE in misfit_sentence(Misfit("unanswered", (edge(checklist_for("harness")),)))


@pytest.mark.django_db
def test_a_pack_tells_the_points_in_its_language_under_the_hash_of_the_file(item: Item) -> None:
    found = checklist_for("harness")
    with translation.override("pl"):
        told, said = checklists([item]), content_of(worded(found))
    assert told == {"of_class": {"harness": hash_of(found)}, "by_hash": {hash_of(found): said}}
    assert KRAWEDZIE in str(said)


@pytest.mark.django_db
def test_judged_in_polish_the_version_is_kept_in_the_words_of_its_file(
    bench: Client, item: Item
) -> None:
    bench.get("/inspect/", {"code": item.code})
    address = reverse("inspections:inspect-points", args=[item.code])
    asked = bench.get(address).content.decode()
    told = {"check-answer-knot": "not-applicable", "check-rest_good": "on"}
    bench.post(address, {**told, "form-TOTAL_FORMS": "3", "form-INITIAL_FORMS": "0"})
    kept = item.inspections.get()
    record = bench.get(reverse("inspections:inspection-detail", args=[kept.pk])).content.decode()
    assert KRAWEDZIE in asked
    assert KRAWEDZIE in record
    assert EDGE not in asked + record
    assert kept.answers == {"knot": "not-applicable"}
    found, version = checklist_for("harness"), kept.checklist
    assert version
    assert version.sha256 in asked
    assert (version.sha256, version.content) == (hash_of(found), content_of(found))


@pytest.mark.django_db
def test_not_ok_at_a_point_begins_its_defect_in_the_readers_language(
    bench: Client, item: Item
) -> None:
    bench.get("/inspect/", {"code": item.code})
    address = reverse("inspections:inspect-stop", args=[item.code, "fail"])
    page = bench.post(address, {"point": "edge-cut"}, follow=True).content.decode()
    assert '<option value="edge-cut" selected>Taśma: obie krawędzie, zgięte na kciuku' in page
    assert 'value="Taśma"' in page
