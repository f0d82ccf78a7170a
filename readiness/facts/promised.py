"""The answers of a window as they are now, and what was promised of one, as JSON and back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from django.conf import settings
from django.utils import translation

from readiness.facts import known_of
from readiness.rules.fact_json import plain, unplain
from readiness.rules.facts_hash import facts_hash
from readiness.rules.reasons import Reason
from readiness.rules.relied import Promise
from readiness.rules.spans import spans
from readiness.rules.statement import Names, Statement, names_in
from readiness.rules.timeline import Timeline
from register.clock import day_at
from register.models import Site


def stated_between(site: Site, begins: datetime, ends: datetime, at: datetime) -> Statement:
    """From the facts as they are, for these hours only."""
    with translation.override(settings.LANGUAGE_CODE):
        timeline = known_of(site, day_at(site, begins), day_at(site, ends)).timeline
    return statement_of(timeline, begins, ends, at)


def statement_of(timeline: Timeline, begins: datetime, ends: datetime, at: datetime) -> Statement:
    """What a timeline comes to in these hours."""
    return Statement(
        site=timeline.site,
        zone=timeline.zone,
        made_at=at,
        facts=facts_hash(timeline),
        spans=spans(timeline, begins, ends),
        names=names_in(timeline),
        undeclared=timeline.undeclared,
        staffed=timeline.staffed,
    )


def written_promises(promised: Iterable[Promise], names: Names) -> list[object]:
    """What people on site call each person and anchor stands beside the ids."""
    return [
        {
            "begins_at": one.begins.isoformat(),
            "ends_at": one.ends.isoformat(),
            "kit": one.kit,
            "people": list(one.people),
            "names": [names.people.get(person, person) for person in one.people],
            "anchor": one.anchor,
            "anchor_name": names.anchors.get(one.anchor, one.anchor),
            "minutes": one.minutes,
            "state": one.state,
        }
        for one in promised
    ]


def read_promises(kept: Iterable[Mapping[str, Any]]) -> tuple[Promise, ...]:
    return tuple(
        Promise(
            begins=datetime.fromisoformat(one["begins_at"]),
            ends=datetime.fromisoformat(one["ends_at"]),
            kit=one["kit"],
            people=tuple(one["people"]),
            anchor=one["anchor"],
            minutes=one["minutes"],
            state=one["state"],
        )
        for one in kept
    )


def written_reasons(reasons: Iterable[Reason]) -> list[object]:
    return [[one.code, plain(dict(one.facts))] for one in reasons]


def read_reasons(kept: Iterable[Any]) -> tuple[Reason, ...]:
    found = ((code, unplain(facts)) for code, facts in kept)
    return tuple(Reason(code, facts) for code, facts in found if isinstance(facts, dict))
