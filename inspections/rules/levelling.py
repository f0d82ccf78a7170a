"""A plan of visits: every inspection by its due day, no inspector's day over-full, few visits.

Inspections move earlier only. Each site gets the days that would suit it best were its work
divisible, then real pieces are placed, visits are dropped and moved while that saves something,
and sites exchange days. The same question always gives the same plan; a count of steps, never a
clock, ends the search. ``levelling_bound`` says below which cost no plan can come, and small
questions are searched through (``small_plans``).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from inspections.rules.levelling_bound import Bound, bound_of, due_by_site, slots_by_day
from inspections.rules.site_days import Offer, cheapest_days
from inspections.rules.small_plans import SMALL, searched_through
from inspections.rules.visit_filling import Filled, Site, fill, site_of
from inspections.rules.visit_plan import Ask, Plan, Slot, Visit, cost_of, parts_of

STEPS = 1_500_000  # lots looked at, in the whole of one part
MOVES = 12  # days tried for one visit
PASSES = 6


@dataclass(slots=True)
class Search:
    """The state of one search: what each site has, and how much may still be tried."""

    ask: Ask
    sites: dict[int, Site]
    work: dict[int, list[int]]
    slots: list[list[tuple[int, Slot]]]
    has: dict[int, Filled] = field(default_factory=dict)
    steps: int = STEPS

    def filled(self, site: int, slots: Sequence[Slot]) -> Filled:
        self.steps -= len(self.sites[site].lots) * len(slots) + 1
        return fill(self.sites[site], slots)

    def cost(self, found: Filled) -> int:
        return found.cost(self.ask.visit_cost, self.ask.left_out_cost)

    def total(self) -> int:
        return sum(self.cost(found) for found in self.has.values())

    def free(self, site: int) -> list[Slot]:
        """The days that no site has and on which this one could be served, latest first."""
        taken = {slot for found in self.has.values() for slot in found.taken}
        one = self.sites[site]
        every = (slot for each in self.slots for _, slot in each if slot not in taken)
        return sorted((slot for slot in every if one.serves(slot)), reverse=True)


def level(ask: Ask) -> Plan:
    """The plan, part by part; parts share no inspector."""
    plans = [_part_plan(part) for part in parts_of(ask)]
    visits = sorted(
        (visit for plan in plans for visit in plan.visits),
        key=lambda visit: (visit.day, visit.inspector, visit.site),
    )
    left_out = sorted(key for plan in plans for key in plan.left_out)
    cost, bound = sum(plan.cost for plan in plans), sum(plan.bound for plan in plans)
    return Plan(tuple(visits), tuple(left_out), cost, bound)


def level_what_fits(ask: Ask) -> tuple[Plan, tuple[int, ...], int]:
    """The plan of what can be placed, what cannot, and how many minutes no plan could place."""
    plan = level(ask)
    if not plan.left_out:
        return plan, (), 0
    out = set(plan.left_out)
    minutes = sum(piece.minutes for piece in ask.pieces if piece.key in out)
    least = min(minutes, plan.bound // ask.left_out_cost)
    rest = replace(ask, pieces=tuple(one for one in ask.pieces if one.key not in out))
    again = level(rest)
    if again.left_out:
        bound = bound_sum(rest)
        again = replace(plan, left_out=(), cost=cost_of(rest, plan.visits, ()), bound=bound)
    return again, plan.left_out, least


def bound_sum(ask: Ask) -> int:
    """The bound of all parts together."""
    return sum(bound_of(part, part.left_out_cost).cost for part in parts_of(ask))


def _part_plan(ask: Ask) -> Plan:
    search = _begun(ask)
    for site in _by_need(search, search.sites):
        search.has[site] = _best_alone(search, site, search.free(site))
    bound = bound_of(ask, search.total())
    _take_wanted(search, bound)
    _improve(search, bound.cost)
    plan = _plan_of(ask, search.has, bound.cost)
    if plan.proven or len(ask.pieces) > SMALL:
        return plan
    return searched_through(ask, plan)


def _begun(ask: Ask) -> Search:
    by_site: dict[int, list[int]] = {}
    for at, piece in enumerate(ask.pieces):
        by_site.setdefault(piece.site, []).append(at)
    sites = {
        site: site_of([ask.pieces[at] for at in places], ask.inspectors, ask.most_out)
        for site, places in sorted(by_site.items())
    }
    return Search(ask, sites, due_by_site(ask), slots_by_day(ask))


def _by_need(search: Search, sites: Iterable[int]) -> list[int]:
    """The site with the earliest work first: it has the fewest days to choose from."""

    def urgency(site: int) -> tuple[int, int, int]:
        work = search.work[site]
        first = next(day for day, minutes in enumerate(work) if minutes)
        return first, -sum(work), site

    return sorted(sites, key=urgency)


def _best_alone(search: Search, site: int, free: Sequence[Slot]) -> Filled:
    """The best found for one site on these days, the other sites standing."""
    room = {who.key: who.minutes for who in search.ask.inspectors}
    offers: list[list[Offer]] = [[] for _ in range(search.ask.days)]
    for slot in sorted(free):
        offers[slot.day].append((room[slot.inspector][slot.day], search.ask.visit_cost, slot))
    for each in offers:
        each.sort(key=lambda offer: (-offer[0], offer[2]))
    days = cheapest_days(search.work[site], offers, search.ask.left_out_cost)
    search.steps -= 40 * search.ask.days
    found = search.filled(site, days.slots)
    return _tightened(search, site, _completed(search, site, found, free), free)


def _completed(search: Search, site: int, found: Filled, free: Sequence[Slot]) -> Filled:
    """With visits added for what found no room, while any helps."""
    while found.left and search.steps > 0:
        tried = [
            search.filled(site, [*found.taken, slot])
            for slot in free
            if slot not in found.taken and _helps(search.sites[site], found, slot)
        ]
        best = min(tried, key=search.cost, default=found)
        if search.cost(best) >= search.cost(found):
            break
        found = best
    return found


def _helps(site: Site, found: Filled, slot: Slot) -> bool:
    who = site.inspectors[slot.inspector]
    return any(
        lot.like.due >= slot.day
        and lot.like.minutes <= who.minutes[slot.day]
        and who.may(lot.like, slot.day)
        for lot, _ in found.left
    )


def _tightened(search: Search, site: int, found: Filled, free: Sequence[Slot]) -> Filled:
    """Each visit dropped, or moved to another free day, while that saves something."""
    while search.steps > 0:
        better = _one_better(search, site, found, free)
        if better is None:
            return found
        found = better
    return found


def _one_better(search: Search, site: int, found: Filled, free: Sequence[Slot]) -> Filled | None:
    now = search.cost(found)
    for slot in sorted(found.taken, key=lambda one: (len(found.taken[one]), one)):
        rest = [one for one in found.taken if one != slot]
        near = sorted(
            (one for one in free if one not in found.taken),
            key=lambda one, at=slot: (abs(one.day - at.day), one),  # type: ignore[misc]
        )
        for trial in [rest, *([*rest, one] for one in near[:MOVES])]:
            if search.steps <= 0:
                return None
            tried = search.filled(site, trial)
            if search.cost(tried) < now:
                return tried
    return None


def _take_wanted(search: Search, bound: Bound) -> None:
    """Start again from the days wanted at the prices of the bound, if that comes out cheaper."""
    before, cost = dict(search.has), search.total()
    search.has.clear()
    for site in _by_need(search, search.sites):
        free = search.free(site)
        wanted = [slot for slot in bound.wanted.get(site, ()) if slot in set(free)]
        found = _completed(search, site, search.filled(site, wanted), free)
        search.has[site] = _tightened(search, site, found, free)
    if search.total() >= cost:
        search.has = before


def _improve(search: Search, bound: int) -> None:
    """Sites planned again, alone and in pairs, while the whole gets cheaper."""
    sites = sorted(search.sites)
    pairs = [(one, two) for one in sites for two in sites if one != two]
    for _ in range(PASSES):
        before = search.total()
        for group in [*((site,) for site in sites), *pairs]:
            if search.total() <= bound or search.steps <= 0:
                return
            _planned_again(search, group)
        if search.total() == before:
            return


def _planned_again(search: Search, group: Sequence[int]) -> None:
    """The days of these sites given back and taken anew in this order; kept if cheaper."""
    before = {site: search.has.pop(site) for site in group}
    for site in group:
        search.has[site] = _best_alone(search, site, search.free(site))
    if sum(search.cost(search.has[site]) for site in group) >= sum(
        map(search.cost, before.values())
    ):
        search.has.update(before)


def _plan_of(ask: Ask, has: dict[int, Filled], bound: int) -> Plan:
    visits = [
        Visit(slot.inspector, site, slot.day, keys)
        for site, found in has.items()
        for slot, keys in found.taken.items()
    ]
    placed = {key for visit in visits for key in visit.pieces}
    left_out = tuple(piece.key for piece in ask.pieces if piece.key not in placed)
    return Plan(tuple(visits), left_out, cost_of(ask, visits, left_out), bound)
