"""The three best sets of acts: soonest, cheapest, sturdiest; exact up to a bound that is told."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import combinations

from readiness.rules.remedies.acts import Act, Key, collide, stop_for
from readiness.rules.remedies.bench import Bad, Bench, OutOfBudget, unbacked, uncovered, windows_of
from readiness.rules.remedies.weighing import Outcome, lasting, weigh

MOST_ACTS = 3
"""So many acts in one set are tried in every combination."""

Chosen = tuple[Act, ...]


@dataclass(frozen=True, slots=True)
class RemedySet:
    """A set that was solved with it applied, and the stops that bridge the time until it works.

    `proof`: "best" of all sets there are, "best-of-size" of all with at most so many acts, or
    "unfinished": better ones may exist that were not tried.
    """

    outcome: Outcome
    stops: tuple[Act, ...]
    proof: str

    @property
    def acts(self) -> Chosen:
        return self.outcome.acts


@dataclass(frozen=True, slots=True)
class Found:
    """None where no set of the acts offered mends what is wanted. `tried` counts the sets."""

    soonest: RemedySet | None = None
    cheapest: RemedySet | None = None
    sturdiest: RemedySet | None = None
    tried: int = 0
    finished: bool = True


@dataclass(frozen=True, slots=True)
class _Probe:
    """The last moment at which a wanted task is in this very trouble."""

    key: Key
    at: datetime


@dataclass(slots=True)
class _Search:
    bench: Bench
    wanted: tuple[Key, ...]
    acts: tuple[Act, ...]
    most: int
    tried: int = 0
    finished: bool = True
    weighed: dict[Chosen, Outcome] = field(default_factory=dict)

    def sets(self) -> Iterator[Chosen]:
        """By size, then by cost; none takes up one thing twice."""
        for size in range(1, min(self.most, len(self.acts)) + 1):
            by_cost = sorted(combinations(self.acts, size), key=_cost)
            yield from (chosen for chosen in by_cost if not collide(chosen))

    def mending(self, bad: Bad) -> list[Chosen]:
        """Those after which every trouble that any set can mend is mended in the end."""
        probes = list(_probes(self.bench, self.wanted, bad))
        mends: dict[Chosen, frozenset[_Probe]] = {}
        try:
            for chosen in self.sets():
                mends[chosen] = frozenset(one for one in probes if self._good(chosen, one, bad))
        except OutOfBudget:
            self.finished = False
        self.tried = max(self.tried, len(mends))
        can = frozenset(one for found in mends.values() for one in found)
        return [chosen for chosen, found in mends.items() if can and found == can]

    def _good(self, chosen: Chosen, probe: _Probe, bad: Bad) -> bool:
        site, task = probe.key
        answer = self.bench.answers(site, chosen, probe.at).get(task)
        return answer is None or not bad(answer)

    def weigh(self, chosen: Chosen) -> Outcome:
        if chosen not in self.weighed:
            self.weighed[chosen] = weigh(self.bench, self.wanted, chosen)
        return self.weighed[chosen]

    def sound(self, mending: Sequence[Chosen]) -> Iterator[Outcome]:
        """Of these, those that break nothing anywhere; in order of cost, while the budget lasts."""
        try:
            for chosen in sorted(mending, key=_cost_first):
                outcome = self.weigh(chosen)
                if not outcome.broken:
                    yield outcome
        except OutOfBudget:
            self.finished = False


def remedies(
    bench: Bench, wanted: Iterable[Key], acts: Iterable[Act], most: int = MOST_ACTS
) -> Found:
    """Where all wanted tasks are covered already, all three sets are about their backup."""
    search = _Search(bench, tuple(wanted), tuple(acts), most)
    bad = uncovered if _any(bench, search.wanted, uncovered) else unbacked
    mending = search.mending(bad)
    cheapest, soonest = _cheapest(search, mending), _soonest(search, mending)
    backed = mending if bad is unbacked else search.mending(unbacked)
    sturdiest = _sturdiest(search, backed or mending)
    return Found(
        soonest=_told(search, soonest),
        cheapest=_told(search, cheapest),
        sturdiest=_told(search, sturdiest, backed=True),
        tried=search.tried,
        finished=search.finished,
    )


def _any(bench: Bench, wanted: Iterable[Key], bad: Bad) -> bool:
    return any(windows_of(bench.spans(site), task, bad) for site, task in wanted)


def _probes(bench: Bench, wanted: Iterable[Key], bad: Bad) -> Iterator[_Probe]:
    """One for each state of the facts in which the trouble stands, where it stands last."""
    for site, task in wanted:
        last: dict[object, datetime] = {}
        for span in bench.spans(site):
            if task in span.answers and bad(span.answers[task]):
                last.update({bench.key(site, at): at for at in bench.lasts(site, span)})
        yield from (_Probe((site, task), at) for at in last.values())


def _cheapest(search: _Search, mending: Sequence[Chosen]) -> Outcome | None:
    """Least cost of those that leave no gap; where all leave one, least cost of all."""
    best: Outcome | None = None
    for outcome in search.sound(mending):
        if not outcome.gaps:
            return outcome
        best = outcome if best is None else min(best, outcome, key=_by_cost)
    return best


def _soonest(search: _Search, mending: Sequence[Chosen]) -> Outcome | None:
    """The earliest end of the last gap, then the shortest gaps, then the least cost."""
    best: Outcome | None = None
    for outcome in search.sound(mending):
        if not outcome.gaps:
            return outcome  # nothing is sooner, and those before it in cost left gaps
        best = outcome if best is None else min(best, outcome, key=_by_end)
    return best


def _sturdiest(search: _Search, mending: Sequence[Chosen]) -> Outcome | None:
    """The least time without backup, then without gap, then the least cost."""
    found = list(search.sound(mending))
    return min(found, key=_by_backup, default=None)


def _cost(acts: Chosen) -> float:
    return sum(act.cost for act in acts)


def _cost_first(acts: Chosen) -> tuple[float, int]:
    return (_cost(acts), len(acts))


def _by_cost(one: Outcome) -> tuple[bool, float, timedelta, int]:
    return (bool(one.gaps), one.cost, one.gap, len(one.acts))


def _by_end(outcome: Outcome) -> tuple[datetime | bool, timedelta, float, int]:
    """Only where gaps are left."""
    return (outcome.mended_at or False, outcome.gap, outcome.cost, len(outcome.acts))


def _by_backup(one: Outcome) -> tuple[timedelta, bool, float, timedelta, int]:
    return (lasting(one.hanging), bool(one.gaps), one.cost, one.gap, len(one.acts))


def _told(search: _Search, outcome: Outcome | None, *, backed: bool = False) -> RemedySet | None:
    """With the stops for the time that is left, and solved once more with them."""
    if outcome is None:
        return None
    first = search.bench.first
    stops = tuple(stop_for(key, hours, first) for key, hours in outcome.gaps.items())
    if stops:
        try:
            again = weigh(search.bench, search.wanted, (*outcome.acts, *stops))
        except OutOfBudget:
            return None
        if again.broken or again.gaps:
            return None
    whole = not outcome.gaps and not (backed and outcome.hanging)
    return RemedySet(outcome, stops, _proof(search, outcome, whole=whole))


def _proof(search: _Search, outcome: Outcome, *, whole: bool) -> str:
    """`whole`: nothing could be better but a lower cost."""
    if not search.finished:
        return "unfinished"
    if len(search.acts) <= search.most:
        return "best"
    costs: Mapping[int, float] = dict(enumerate(sorted(act.cost for act in search.acts)))
    larger = sum(costs[place] for place in range(search.most + 1))
    return "best" if whole and larger >= outcome.cost else "best-of-size"
