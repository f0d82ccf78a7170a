"""What to do about a task, for its page: the stop, the design, three sets, and what stays put."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from hashlib import sha256
from zoneinfo import ZoneInfo

from django.conf import settings
from django.utils import translation
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from readiness.actions.jobs import Given
from readiness.facts.remedies import bench_of, later_tasks, means_of
from readiness.rules.remedies import (
    Act,
    Bench,
    Found,
    Key,
    RemedySet,
    Trouble,
    remedies,
    troubles,
)
from readiness.rules.remedies.candidates import Offered, offered
from readiness.rules.remedies.means import Means
from readiness.rules.remedies.search import MOST_ACTS
from readiness.rules.statement import names_in
from readiness.rules.windows import Window
from readiness.wording import listed, reason_sentence
from readiness.wording.acts import act_sentence, by_when, hours_words, proof_words
from register.models import Site
from register.wording import lower_first, shown_number

HORIZONS = (7, 14, 30)
USUAL_DAYS = 14

WAYS = {
    "soonest": gettext_noop("Soonest"),
    "cheapest": gettext_noop("Cheapest"),
    "sturdiest": gettext_noop("Sturdiest"),
}


@dataclass(frozen=True, slots=True)
class ActRow:
    what: str
    who: str
    by: str
    cost: str


@dataclass(frozen=True, slots=True)
class SetBoard:
    """`ways` are the names under which the same set is the best; `mark` tells whether it is still so."""

    ways: tuple[str, ...]
    name: str
    mark: str
    acts: tuple[ActRow, ...]
    cost: str
    stops: tuple[str, ...]
    fixes: str
    hangs: str
    costs_others: tuple[str, ...]
    helps: tuple[str, ...]
    proof: str


@dataclass(frozen=True, slots=True)
class RemedyBoard:
    task: str
    hours: str
    kinds: tuple[str, ...]
    reasons: tuple[str, ...]
    sets: tuple[SetBoard, ...]
    stays: tuple[str, ...]
    tried: int
    left_out: int
    design_by: str
    design_cost: str


@dataclass(frozen=True, slots=True)
class Question:
    """One site on the bench with all that could be given to it."""

    site: Site
    sites: Mapping[str, str]
    bench: Bench
    means: Means
    later: Mapping[str, tuple[str, ...]]
    """By site, tasks declared for after the days that are looked at."""

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.site.time_zone)


def question(site: Site, sites: Sequence[Site], now: datetime, days: int) -> Question:
    """`sites` are those the user may see; kits and people come from these alone."""
    now = now.replace(second=0, microsecond=0)
    donors = list({one.pk: one for one in (site, *sites)}.values())
    names = {one.code: one.name for one in donors}
    bench = bench_of(donors, site, now, days)
    return Question(site, names, bench, means_of(donors, site, now), later_tasks(donors, bench))


def found_for(asked: Question, task: str) -> tuple[Offered, Found]:
    key = (asked.site.code, task)
    given = offered(asked.bench, key, asked.means)
    return given, remedies(asked.bench, [key], given.acts)


def remedy_board(asked: Question, task: str) -> RemedyBoard | None:
    """None where the task is covered with backup over all the days."""
    ours = [one for one in troubles(asked.bench, asked.site.code) if one.key[1] == task]
    if not ours:
        return None
    given, found = found_for(asked, task)
    terms = asked.means.terms
    return RemedyBoard(
        task=task,
        hours=hours_words(ours[0].hours, asked.zone),
        kinds=tuple(dict.fromkeys(one.kind for one in ours)),
        reasons=reasons_of(ours, asked),
        sets=tuple(_sets(found, asked)),
        stays=tuple(_stays(given, asked)),
        tried=found.tried,
        left_out=given.left_out,
        design_by=by_when(asked.means.ready("change-task"), asked.zone),
        design_cost=shown_number(terms.cost("change-task")),
    )


def reasons_of(ours: Sequence[Trouble], asked: Question) -> tuple[str, ...]:
    names = _names(asked)
    said: dict[str, None] = {}
    for trouble in ours:
        for answer in trouble.answers:
            said.update((reason_sentence(reason), None) for reason in answer.reasons)
            things = [names.get(thing.id, thing.id) for thing in answer.hangs_on]
            if things and trouble.kind == "unbacked":
                said[_("Hangs on %(things)s.") % {"things": listed(things)}] = None
    return tuple(said)


def _names(asked: Question) -> dict[str, str]:
    found: dict[str, str] = {}
    for timeline in asked.bench.timelines.values():
        names = names_in(timeline)
        found |= {**names.kits, **names.people, **names.anchors}
    return found


def _sets(found: Found, asked: Question) -> Iterator[SetBoard]:
    """The same set that is best in more than one way is shown once."""
    by_mark: dict[str, tuple[list[str], RemedySet]] = {}
    for way in WAYS:
        chosen: RemedySet | None = getattr(found, way)
        if chosen is not None:
            by_mark.setdefault(mark_of(chosen), ([], chosen))[0].append(way)
    for mark, (ways, chosen) in by_mark.items():
        yield set_board(chosen, tuple(ways), mark, asked)


def mark_of(chosen: RemedySet) -> str:
    """The same acts, the same mark, whatever the minute."""
    said = "|".join(sorted(f"{act.kind} {act.what} {act.who}" for act in chosen.acts))
    return sha256(said.encode()).hexdigest()[:16]


def set_board(chosen: RemedySet, ways: tuple[str, ...], mark: str, asked: Question) -> SetBoard:
    outcome, zone = chosen.outcome, asked.zone
    return SetBoard(
        ways=ways,
        name=_named(ways),
        mark=mark,
        acts=tuple(
            act_row(act, asked) for act in sorted(chosen.acts, key=lambda one: one.ready_at)
        ),
        cost=shown_number(outcome.cost),
        stops=tuple(hours_words(hours, zone) for hours in outcome.gaps.values()),
        fixes=_fixes(chosen, asked),
        hangs=_hangs(chosen, asked),
        costs_others=(*_weakened(chosen, asked), *_not_looked_at(chosen, asked)),
        helps=tuple(_task(key, asked) for key in outcome.helped),
        proof=proof_words(chosen.proof, MOST_ACTS),
    )


def _named(ways: Sequence[str]) -> str:
    """'Soonest and cheapest'."""
    first, *others = [_(WAYS[way]) for way in ways]
    return listed([first, *(lower_first(one) for one in others)])


def act_row(act: Act, asked: Question) -> ActRow:
    return ActRow(
        what=act_sentence(act, asked.sites),
        who=act.who or _("somebody to be named"),
        by=by_when(act.ready_at, asked.zone),
        cost=shown_number(act.cost),
    )


def given_of(chosen: RemedySet, asked: Question) -> list[Given]:
    """Each act, and each stop until they are done, as jobs; moved kits say what they cost.

    A job is kept in the words it is given out in: those of the settings' language, whoever reads it.
    """
    with translation.override(settings.LANGUAGE_CODE):
        return _given(chosen, asked)


def _given(chosen: RemedySet, asked: Question) -> list[Given]:
    costs = " ".join((*_weakened(chosen, asked), *_not_looked_at(chosen, asked)))
    given = [
        Given(act, act_sentence(act, asked.sites), costs if act.kind == "move-kit" else "")
        for act in chosen.acts
    ]
    stops = zip(chosen.stops, chosen.outcome.gaps.values(), strict=True)
    return [*given, *(_stop(act, hours, asked) for act, hours in stops)]


def _stop(act: Act, hours: tuple[Window, ...], asked: Question) -> Given:
    """Due when the last of its hours is over."""
    doer, who = asked.means.doer(asked.site.code, "stop")
    words = {"task": act.what, "hours": hours_words(hours, asked.zone)}
    said = _("Do not work on %(task)s until the rest is done: %(hours)s.") % words
    return Given(replace(act, doer=doer, who=who), said, due_at=hours[-1][1])


def _fixes(chosen: RemedySet, asked: Question) -> str:
    end = by_when(asked.bench.last, asked.zone)
    if chosen.outcome.mended_at is None:
        return _("Covered throughout, as far as is looked ahead: until %(end)s.") % {"end": end}
    words = {"begin": by_when(chosen.outcome.mended_at, asked.zone), "end": end}
    return _("Covered from %(begin)s until %(end)s.") % words


def _hangs(chosen: RemedySet, asked: Question) -> str:
    """The single things that the asked tasks hang on once all is done, and when."""
    names, said = _names(asked), []
    for (site, task), hours in chosen.outcome.hanging.items():
        spans = asked.bench.spans(site, chosen.acts)
        answers = [span.answers[task] for span in spans if task in span.answers]
        things = {names.get(one.id, one.id): None for each in answers for one in each.hangs_on}
        words = {"things": listed(list(things)), "hours": hours_words(hours, asked.zone, most=1)}
        said.append(_("%(things)s: %(hours)s") % words)
    return "; ".join(said)


def _weakened(chosen: RemedySet, asked: Question) -> Iterator[str]:
    names = _names(asked)
    for key, things in chosen.outcome.weakened.items():
        words = {
            "task": _task(key, asked),
            "things": listed([names.get(thing.id, thing.id) for thing in things]),
        }
        yield _("%(task)s loses its backup: it then hangs on %(things)s.") % words


def _not_looked_at(chosen: RemedySet, asked: Question) -> Iterator[str]:
    """Work of a lender that begins later may need what it lends."""
    lenders = {str(act.facts["from"]) for act in chosen.acts if act.kind == "move-kit"}
    for site in sorted(one for one in lenders if asked.later.get(one)):
        words = {"site": asked.sites.get(site, site), "tasks": listed(asked.later[site])}
        yield _("%(site)s has work that begins later and was not looked at: %(tasks)s.") % words


def _task(key: Key, asked: Question) -> str:
    site, task = key
    return task if site == asked.site.code else f"{task} ({asked.sites.get(site, site)})"


def _stays(given: Offered, asked: Question) -> Iterator[str]:
    for one in given.refused:
        words = {
            "kit": one.kit,
            "site": asked.sites.get(one.site, one.site),
            "tasks": listed([key[1] for key in one.held_by]),
        }
        yield _("%(kit)s stays at %(site)s: without it %(tasks)s would not be covered.") % words
