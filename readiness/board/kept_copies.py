"""Whether each kept statement says what the facts give."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

from django.conf import settings
from django.utils import translation

from readiness.board.keeping import statement_in
from readiness.facts import known_of
from readiness.facts.mark import judged_by
from readiness.models import KeptStatement
from readiness.rules.statement import HORIZON_DAYS, Statement, state
from register.models import Site


@dataclass(frozen=True, slots=True)
class Disagreement:
    """A site whose kept statement differs though no version says so, and in what."""

    site: Site
    what: str


def disagreements() -> Iterator[Disagreement]:
    """Those that are behind are no error: they are known to be, and are made again."""
    keys = KeptStatement.objects.order_by("pk").values_list("pk", flat=True)
    for key in list(keys):
        kept = KeptStatement.objects.with_site_version().select_related("site").get(pk=key)
        if not kept.behind(judged_by()) and (what := _difference(kept)):
            yield Disagreement(kept.site, what)


def _difference(kept: KeptStatement) -> str:
    stored = statement_in(kept)
    day = stored.begins.astimezone(stored.zone).date()
    with translation.override(settings.LANGUAGE_CODE):
        known = known_of(kept.site, day, day + timedelta(days=HORIZON_DAYS))
        if known.version != kept.facts_version:
            return ""  # it changed in between
        return _told(stored, state(known.timeline, day, stored.made_at))


def _told(stored: Statement, right: Statement) -> str:
    """Answers first: they are what somebody may have relied on."""
    names = ("spans", "names", "undeclared", "staffed", "facts")
    differing = [name for name in names if getattr(stored, name) != getattr(right, name)]
    said = {"spans": "answers", "facts": "hash of the facts"}
    return ", ".join(said.get(name, name) for name in differing)
