"""Whoever reads a page can choose its language, and is told where nobody has reviewed it yet."""

import re
from datetime import date

import pytest
from django.conf import settings
from django.test import Client
from django.utils import formats, translation

from inspections.packs.making import mark_of
from register.access import NEEDS
from register.models import Item, Role, Site, User
from register.wording import shown_day, shown_number
from tests.factories import NOON
from tests.test_pages import ADDRESSES, client_as, world

DAYS_AND_MOMENTS = (
    "WEEKDAY",
    "WEEKDAY_AND_DAY",
    "DAY",
    "DAY_OF_YEAR",
    "LONG_DAY",
    "MOMENT",
    "MONTH",
    "MONTH_ALONE",
)


def chosen(client: Client, language: str, page: str = "/sign-in/") -> str:
    answer = client.post("/language/", {"language": language, "next": page}, follow=True)
    assert answer.redirect_chain[0][0] == page
    return str(answer.content.decode())


@pytest.mark.django_db
def test_nobody_need_sign_in_to_choose_a_language(client: Client) -> None:
    assert '<html lang="en-gb">' in client.get("/sign-in/").content.decode()
    assert '<html lang="pl">' in chosen(client, "pl")
    assert '<html lang="pl">' in client.get("/sign-in/").content.decode()
    assert '<html lang="en-gb">' in chosen(client, "en-gb")


@pytest.mark.django_db
def test_the_page_behind_a_tag_has_the_choice_and_sets_no_cookie(
    client: Client, item: Item
) -> None:
    page = client.get(f"/t/{item.code}")
    assert page.cookies == {}
    assert 'value="pl"' in page.content.decode()
    assert '<html lang="pl">' in chosen(client, "pl", f"/t/{item.code}")


def test_choosing_leads_to_no_other_machine(client: Client) -> None:
    elsewhere = {"language": "pl", "next": "https://example.org/"}
    assert client.post("/language/", elsewhere)["Location"] == "/"


@pytest.mark.django_db
@pytest.mark.parametrize("language", [code for code, _ in settings.LANGUAGES])
def test_a_language_nobody_has_reviewed_says_so(client: Client, language: str) -> None:
    with translation.override(language):
        told = translation.gettext(
            "This translation is still to be reviewed by a native inspector. In doubt the English"
            " text holds."
        )
    assert (told in chosen(client, language)) is (language in settings.LANGUAGES_TO_REVIEW)


@pytest.mark.parametrize("language", [code for code, _ in settings.LANGUAGES])
@pytest.mark.parametrize("name", DAYS_AND_MOMENTS)
def test_every_language_knows_every_form_of_a_day(language: str, name: str) -> None:
    """A name that a language lacks would be read as letters of a format: 'DAY' as 'MonAM2026'."""
    assert formats.get_format(name, lang=language) != name


def test_a_polish_month_stands_in_the_genitive_after_its_day() -> None:
    with translation.override("pl"):
        assert formats.date_format(date(2026, 3, 9), "DAY") == "9 marca 2026"


def test_a_pack_is_made_anew_in_another_language(site: Site, petra: User) -> None:
    marks = set()
    for language, _name in settings.LANGUAGES:
        with translation.override(language):
            marks.add(mark_of(site, petra, NOON, names=True))
    assert len(marks) == len(settings.LANGUAGES)


def test_a_figure_has_the_comma_of_its_language() -> None:
    with translation.override("pl"):
        assert [shown_number(each) for each in (6.75, 1.5, 40)] == ["6,75", "1,5", "40"]
    assert shown_number(6.75) == "6.75"


def test_a_day_is_written_even_where_no_language_is_active() -> None:
    with translation.override(None):
        assert shown_day(date(2026, 3, 9)) == "9 Mar 2026"


LOOSE_COMMA = re.compile(
    r"""\s(?:width|height|x|y|x1|x2|y1|y2|cx|cy|r|viewBox|value|min|max|step|stroke-width)="[\d. -]*\d,\d"""
)


@pytest.mark.django_db
@pytest.mark.parametrize("language", [code for code, _ in settings.LANGUAGES])
def test_every_page_opens_in_every_language(language: str) -> None:
    """And what programs read in it, such as the width of a drawing, keeps its decimal point."""
    here = world("here")
    client = client_as(Role.MANAGER, here.site)
    client.cookies[settings.LANGUAGE_COOKIE_NAME] = language
    wrong = {}
    for address in ADDRESSES:
        if address.need is not None and Role.MANAGER not in NEEDS[address.need]:
            continue
        page = client.get(here.path(address))
        words = b"" if page.streaming else page.content
        if page.status_code >= 500 or LOOSE_COMMA.search(words.decode(errors="replace")):
            wrong[address.name] = page.status_code
    assert wrong == {}
