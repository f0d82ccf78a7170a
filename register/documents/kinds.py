"""The kinds of paper: each says what it reads, what may be missing, and how it is told."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import Any

from django.conf import settings
from django.db import models
from django.utils.module_loading import import_string

from register.documents.content import Content
from register.models import PaperSize, Site

Facts = Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of paper, listed in the setting ``PAPER_KINDS``.

    ``find`` reads the subject again from the ids of its rows, in the order in which ``rows`` named
    them, or gives None. ``facts`` is all that the paper rests on, by the kind of thing, each kind
    named in ``parts`` without anybody's name: where a fact that the paper tells is left out, a paper
    that is no longer true is called true. ``missing`` are sentences, each a particular without which
    it is not printed.
    """

    slug: str
    name: str
    parts: Mapping[str, str]
    find: Callable[[Sequence[str]], Any]
    rows: Callable[[Any], Sequence[models.Model]]
    site: Callable[[Any], Site | None]
    content: Callable[[Any, datetime], Content]
    facts: Callable[[Any, datetime], Facts]
    missing: Callable[[Any, datetime], list[str]] = lambda _subject, _at: []
    sizes: Sequence[str] = (PaperSize.A4, PaperSize.LETTER)


@cache
def kinds() -> dict[str, Kind]:
    """Every kind of paper by its slug."""
    found = [import_string(name) for name in settings.PAPER_KINDS]
    return {kind.slug: kind for kind in found}
