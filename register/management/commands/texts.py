"""Bring the catalogues of texts up to date: what translators fill in, and what pages read."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand
from django.utils.translation import to_locale

# tests speak English, as do the commands' own words to whoever runs the server
NOT_READ = ["tests/*", "*/management/*", "*/demo/*", "manage.py"]
CHECKLISTS = settings.BASE_DIR / "fixtures" / "checklists"


class Command(BaseCommand):
    help = "Collect every text that can be translated, and compile what is translated."

    def handle(self, *args: Any, **options: Any) -> None:
        """Needs GNU gettext (on Debian and Ubuntu: apt-get install gettext)."""
        others = (code for code, _name in settings.LANGUAGES if code != settings.LANGUAGE_CODE)
        for locale in map(to_locale, others):
            with checklists_as_code():
                call_command(
                    "makemessages",
                    locale=[locale],
                    ignore_patterns=NOT_READ,
                    no_location=True,
                    no_wrap=True,
                    no_obsolete=True,
                    verbosity=0,
                )
            for catalogue in catalogues(locale):
                undate(catalogue)
            call_command("compilemessages", locale=[locale], ignore_patterns=[".*"], verbosity=0)
        self.stdout.write("The texts are collected; those that are translated are compiled.")


def catalogues(locale: str) -> list[Path]:
    """One for the code and one for the pages of each app, one for what all pages share, one for the
    checklists."""
    apps = (settings.BASE_DIR / app / "locale" for app in ("register", "inspections", "readiness"))
    found = (
        each / locale / "LC_MESSAGES" / "django.po" for each in (*apps, *settings.LOCALE_PATHS)
    )
    return [each for each in found if each.exists()]


@contextmanager
def checklists_as_code() -> Iterator[None]:
    """The words of the checklists as a module beside them, gone after: makemessages reads no JSON."""
    found: dict[str, list[str]] = {}
    for file in sorted(CHECKLISTS.glob("*.json")):
        for words, where in words_in(json.loads(file.read_text(encoding="utf-8"))):
            found.setdefault(words, []).append(where)
    code = CHECKLISTS / "collected.py"
    code.write_text("".join(_as_code(*each) for each in found.items()), encoding="utf-8")
    try:
        yield
    finally:
        code.unlink()


def words_in(checklist: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """Every text of a checklist that is shown, and what a translator wants to know of it."""
    for part in checklist["parts"]:
        yield part["name"], f"part of: {checklist['class']}"
        for point in part["points"]:
            yield point["look"], f"look at: {part['name']}"
            yield point["accept"], f"good if: {point['look']}"
            if unit := point.get("unit"):
                yield unit, "unit"


def _as_code(words: str, where: list[str]) -> str:
    told, literal = "; ".join(dict.fromkeys(where)), json.dumps(words, ensure_ascii=False)
    return f'# Translators: {told}\npgettext("checklist", {literal})\n'


def undate(catalogue: Path) -> None:
    """Without the minute in which it was collected, which would differ in every change."""
    lines = catalogue.read_text(encoding="utf-8").splitlines(keepends=True)
    kept = [line for line in lines if not line.startswith('"POT-Creation-Date:')]
    catalogue.write_text("".join(kept), encoding="utf-8")
