"""Giving kits, or people, to tasks that may share them only pairwise: exact, within a budget.

Kits and people are seated apart, since once the family of kit is chosen for each task neither
limits the other. Without sharing an augmenting path decides; with sharing a full search does.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

Slot = tuple[str, int]
"""A task and which of its places is meant."""


class OutOfNodes(Exception):
    """The budget of the search is spent."""


@dataclass(slots=True)
class Meter:
    """Counts the work of a search, so that it ends at the same place on every machine."""

    left: int

    def step(self, cost: int) -> None:
        if self.left <= 0:
            raise OutOfNodes
        self.left -= cost


@dataclass(frozen=True, slots=True)
class Request:
    wanted: tuple[str, ...]
    places: int


@dataclass(slots=True)
class Seats:
    mates: Mapping[str, frozenset[str]]
    requests: dict[str, Request] = field(default_factory=dict)
    holders: dict[str, tuple[Slot, ...]] = field(default_factory=dict)
    seat: dict[Slot, str] = field(default_factory=dict)

    def copy(self) -> Seats:
        return Seats(self.mates, dict(self.requests), dict(self.holders), dict(self.seat))

    def of_task(self, task: str) -> tuple[str, ...]:
        return tuple(self.seat[task, place] for place in range(self.requests[task].places))

    @property
    def tied_up(self) -> int:
        return sum(bool(slots) for slots in self.holders.values())

    def release(self, task: str) -> None:
        for place in range(self.requests.pop(task).places):
            slot = (task, place)
            one = self.seat.pop(slot)
            self.holders[one] = tuple(held for held in self.holders[one] if held != slot)

    def blockers(self, one: str, slot: Slot) -> tuple[Slot, ...]:
        held = self.holders.get(one)
        if not held:
            return ()
        mates = self.mates[slot[0]]
        return tuple([other for other in held if other[0] not in mates]) if mates else held

    def take(self, one: str, slot: Slot) -> None:
        self.seat[slot] = one
        self.holders[one] = (*self.holders.get(one, ()), slot)

    def place(self, slot: Slot, seen: set[str]) -> bool:
        """Seat it, moving others along if need be; on failure nothing has changed."""
        wanted = [one for one in self.requests[slot[0]].wanted if one not in seen]
        one = self.open_one(wanted, slot)
        if one is not None:
            self.take(one, slot)
            return True
        return any(one not in seen and self.evict(one, slot, seen) for one in wanted)

    def open_one(self, wanted: list[str], slot: Slot) -> str | None:
        """One that may be shared before one that is free, so that fewer are tied up."""
        holders, free = self.holders, None
        if not self.mates[slot[0]]:
            for one in wanted:
                if not holders.get(one):
                    return one
            return None
        for one in wanted:
            if holders.get(one):
                if not self.blockers(one, slot):
                    return one
            elif free is None:
                free = one
        return free

    def evict(self, one: str, slot: Slot, seen: set[str]) -> bool:
        if one in seen:
            return False
        seen.add(one)
        gone = self.blockers(one, slot)
        if len(gone) == 1:
            return self._replaced(one, slot, gone[0], seen)
        before, seat = dict(self.holders), dict(self.seat)
        self.holders[one] = tuple(held for held in self.holders[one] if held not in gone)
        self.take(one, slot)
        if all(self.place(held, seen) for held in gone):
            return True
        self.holders, self.seat = before, seat
        return False

    def _replaced(self, one: str, slot: Slot, gone: Slot, seen: set[str]) -> bool:
        """As `evict`, for the common case that one alone has to go."""
        before, seat = self.holders[one], self.seat.get(slot)
        self.holders[one] = (*[held for held in before if held != gone], slot)
        self.seat[slot] = one
        if self.place(gone, seen):
            return True
        self.holders[one] = before
        if seat is None:
            del self.seat[slot]
        else:
            self.seat[slot] = seat
        return False


def placed(seats: Seats, task: str, request: Request, dead: set[str] | None = None) -> Seats | None:
    """The seats with one more task served, by moving along alone; None decides nothing yet.

    `dead` is what a way to something free was looked for in vain from. Where nothing is shared and
    tasks only come on top, no way ever opens there.
    """
    known = set[str]() if dead is None else dead
    if request.places and known.issuperset(request.wanted):
        return None
    more = seats.copy()
    more.requests[task] = request
    for place in range(request.places):
        seen = set(known)
        if not more.place((task, place), seen):
            if place == 0:
                known |= seen
            return None
    return more


def seated(seats: Seats, task: str, request: Request, meter: Meter) -> Seats | None:
    """The seats with one more task served, or None where that cannot be."""
    more = placed(seats, task, request)
    requests = {**seats.requests, task: request}
    if more is not None or not any(seats.mates[other] for other in requests):
        return more
    more = Seats(seats.mates, requests)
    return more if _relaxation_holds(more) and _searched(more, meter) else None


def cells(tasks: Iterable[str], mates: Mapping[str, frozenset[str]]) -> list[set[str]]:
    """Tasks linked by sharing, however loosely; tasks of two cells never share."""
    left, found = set(tasks), []
    while left:
        cell, edge = set(), {min(left)}
        while edge:
            cell |= edge
            edge = set().union(*(mates[task] for task in edge)) & left - cell
        left -= cell
        found.append(cell)
    return found


def _relaxation_holds(seats: Seats) -> bool:
    """Seating only tasks that can never share with each other is easy, and must be possible."""
    slots = [
        (task, place) for task, request in seats.requests.items() for place in range(request.places)
    ]
    return _apart_fit(seats, {slot: list(seats.requests[slot[0]].wanted) for slot in slots})


def _apart_fit(seats: Seats, choices: Mapping[Slot, list[str]]) -> bool:
    """Each of a set of places that none can share needs one of its own."""
    apart: list[Slot] = []
    for slot in sorted(choices, key=lambda one: (len(choices[one]), one)):
        if all(held[0] not in seats.mates[slot[0]] for held in apart):
            apart.append(slot)
    alone = Seats({str(slot): frozenset() for slot in apart})
    for slot in apart:
        alone.requests[str(slot)] = Request(tuple(choices[slot]), 1)
    return all(alone.place((str(slot), 0), set()) for slot in apart)


def _slack(request: Request) -> int:
    return len(request.wanted) - request.places


def _searched(seats: Seats, meter: Meter) -> bool:
    """Seat all requests from nothing, by full search."""
    followers = _followers(seats)
    slots = [
        (task, place)
        for task, request in sorted(seats.requests.items())
        if task not in followers
        for place in range(request.places)
    ]
    if not _search(seats, slots, meter):
        return False
    for task, leader in followers.items():
        for place in range(seats.requests[task].places):
            seats.take(seats.seat[leader, place], (task, place))
    return True


def _followers(seats: Seats) -> dict[str, str]:
    """Tasks that lose nothing by taking just what another takes, with that other."""
    found: dict[str, str] = {}
    leaders: list[str] = []
    by_demand = sorted(
        seats.requests, key=lambda task: (_slack(seats.requests[task]), -_places(seats, task), task)
    )
    for task in by_demand:
        leader = next((one for one in leaders if _may_follow(seats, task, one)), None)
        if leader is None:
            leaders.append(task)
        else:
            found[task] = leader
    return found


def _places(seats: Seats, task: str) -> int:
    return seats.requests[task].places


def _may_follow(seats: Seats, task: str, leader: str) -> bool:
    led, follows = seats.requests[leader], seats.requests[task]
    near = leader in seats.mates[task] and seats.mates[leader] - {task} <= seats.mates[task]
    return near and follows.places <= led.places and set(led.wanted) <= set(follows.wanted)


def _search(seats: Seats, slots: list[Slot], meter: Meter) -> bool:
    if not slots:
        return True
    meter.step(len(slots))
    choices = {slot: _choices(seats, slot) for slot in slots}
    slot = min(slots, key=lambda one: (len(choices[one]), one))
    if not _apart_fit(seats, choices):
        return False
    rest = [other for other in slots if other != slot]
    for one in _unlike(seats, choices[slot]):
        before = seats.holders.get(one, ())
        seats.take(one, slot)
        if _search(seats, rest, meter):
            return True
        seats.holders[one] = before
        del seats.seat[slot]
    return False


def _choices(seats: Seats, slot: Slot) -> list[str]:
    return [one for one in seats.requests[slot[0]].wanted if not seats.blockers(one, slot)]


def _unlike(seats: Seats, choices: list[str]) -> list[str]:
    """Of several that are alike for everybody, one; those already held first, as they cost less."""
    alike: dict[tuple[object, ...], str] = {}
    for one in choices:
        wanted_by = tuple(task for task, request in seats.requests.items() if one in request.wanted)
        alike.setdefault((wanted_by, seats.holders.get(one, ())), one)
    return sorted(alike.values(), key=lambda one: (-len(seats.holders.get(one, ())), one))
