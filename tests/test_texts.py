"""The catalogues: whole, sound in themselves, compiled, and of the same mind about the same text."""

from __future__ import annotations

import gettext
import re
import shutil
import subprocess
import sys
from collections import defaultdict
from pathlib import Path

import polib
import pytest
from django.conf import settings

from register.management.commands.texts import catalogues

ROOT = Path(settings.BASE_DIR)
FILES = catalogues("pl")
PLACES = re.compile(r"%\((\w+)\)[a-zA-Z]|%%|{\w*}")
MARKUP = re.compile(r"</?[a-z][^>]*>")
named = pytest.mark.parametrize("file", FILES, ids=lambda file: str(file.relative_to(ROOT)))


def entries(file: Path) -> list[polib.POEntry]:
    return [each for each in polib.pofile(str(file)) if not each.obsolete]


def pairs(entry: polib.POEntry) -> list[tuple[str, str]]:
    """Each text of an entry and its translation; every plural form is that of the plural."""
    if not entry.msgid_plural:
        return [(entry.msgid, entry.msgstr)]
    return [(entry.msgid_plural, text) for text in entry.msgstr_plural.values()]


def told(text: str) -> tuple[list[str], list[str]]:
    """The places to be filled and the tags, wherever they stand in the sentence."""
    return sorted(place.group() for place in PLACES.finditer(text)), sorted(MARKUP.findall(text))


def test_there_is_a_catalogue_for_the_code_and_the_pages_of_each_app_and_one_of_checklists() -> (
    None
):
    assert len(FILES) == 8


@named
def test_every_text_is_translated(file: Path) -> None:
    open_texts = [each.msgid for each in entries(file) if not each.translated() or each.fuzzy]
    assert open_texts == []


@named
def test_a_translation_has_the_places_and_the_tags_of_its_text(file: Path) -> None:
    differing = [
        (text, said)
        for entry in entries(file)
        for text, said in pairs(entry)
        if said and told(text) != told(said)
    ]
    assert differing == []


@named
def test_what_is_counted_is_said_in_every_plural_form(file: Path) -> None:
    forms = int(re.search(r"nplurals=(\d)", polib.pofile(str(file)).metadata["Plural-Forms"])[1])  # type: ignore[index]
    counted = [each for each in entries(file) if each.msgid_plural]
    assert forms == 3  # one, two to four, many
    assert [each.msgid for each in counted if len(each.msgstr_plural) != forms] == []


@named
def test_what_is_compiled_says_what_the_catalogue_says(file: Path) -> None:
    with file.with_suffix(".mo").open("rb") as compiled:
        read = gettext.GNUTranslations(compiled)._catalog  # type: ignore[attr-defined]
    written = {}
    for entry in entries(file):
        key = f"{entry.msgctxt}\4{entry.msgid}" if entry.msgctxt else entry.msgid
        if entry.msgid_plural and entry.translated():
            written |= {(key, form): text for form, text in entry.msgstr_plural.items()}
        elif entry.translated():
            written[key] = entry.msgstr
    assert {key: text for key, text in read.items() if key} == written


def test_the_same_text_is_translated_alike_everywhere() -> None:
    said = defaultdict(set)
    for file in FILES:
        for entry in entries(file):
            for text, translation in pairs(entry)[:1]:
                if translation:
                    said[entry.msgctxt, text].add(translation)
    assert {text: texts for text, texts in said.items() if len(texts) > 1} == {}


@pytest.mark.skipif(not shutil.which("xgettext"), reason="GNU gettext is not on this machine")
def test_no_text_is_missing_from_the_catalogues(tmp_path: Path) -> None:
    """Collected anew from a copy of the code, they come out as they are."""
    for folder in ("register", "inspections", "readiness", "templates", "fixtures"):
        shutil.copytree(ROOT / folder, tmp_path / folder, ignore=shutil.ignore_patterns("*.pyc"))
    shutil.copy(ROOT / "manage.py", tmp_path)
    django = [sys.executable, "-m", "django", "texts", "--settings", "register.conf.settings"]
    environment = {"PYTHONPATH": ".", "DATA_DIR": str(tmp_path / "data"), "PATH": "/usr/bin:/bin"}
    subprocess.run(django, cwd=tmp_path, check=True, capture_output=True, env=environment)
    anew = {file: (tmp_path / file.relative_to(ROOT)).read_text() for file in FILES}
    assert [str(file.relative_to(ROOT)) for file in FILES if file.read_text() != anew[file]] == []
