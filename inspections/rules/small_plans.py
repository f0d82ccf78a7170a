"""A small question searched through: every way to place each piece that could still be the best."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from inspections.rules.visit_plan import Ask, Piece, Plan, Slot, Visit

SMALL = 14  # pieces; beyond, the bound has to do
NODES = 60_000


@dataclass(slots=True)
class _Places:
    """Where the pieces stand so far: the site of each inspector's day, its room, who is out."""

    ask: Ask
    site: dict[Slot, int] = field(default_factory=dict)
    room: dict[Slot, int] = field(default_factory=dict)
    out: dict[tuple[int, str], list[int]] = field(default_factory=dict)
    chosen: list[tuple[Piece, Slot | None]] = field(default_factory=list)
    nodes: int = NODES

    def has_room(self, piece: Piece, slot: Slot) -> bool:
        if self.site.get(slot, piece.site) != piece.site or self.room[slot] < piece.minutes:
            return False
        members = set(self.out.get((slot.day, piece.group), ())) - {piece.member}
        return not piece.group or len(members) < self.ask.most_out.get(piece.group, 1)


@dataclass(slots=True)
class _Best:
    cost: int
    chosen: list[tuple[Piece, Slot | None]] | None = None


def searched_through(ask: Ask, plan: Plan) -> Plan:
    """The best plan there is, proven; or the one given where the search was not finished."""
    pieces = sorted(ask.pieces, key=lambda one: (one.due, one.site, -one.minutes, one.key))
    ways = [_ways(ask, piece) for piece in pieces]
    rest = [0]
    for piece, each in zip(reversed(pieces), reversed(ways), strict=True):
        least = min((cost for cost, _ in each), default=piece.minutes * ask.left_out_cost)
        rest.append(rest[-1] + least)
    places, best = _Places(ask), _Best(plan.cost)
    places.room = {slot: _minutes(ask, slot) for each in ways for _, slot in each}
    _search(places, pieces, ways, rest[::-1], 0, best)
    if places.nodes <= 0:
        return plan
    if best.chosen is None:
        return Plan(plan.visits, plan.left_out, plan.cost, plan.cost)
    return _plan_of(best)


def _ways(ask: Ask, piece: Piece) -> list[tuple[int, Slot]]:
    """What is given away on each day on which somebody may inspect the piece."""
    return sorted(
        (piece.minutes * (piece.due - day), Slot(day, who.key))
        for who in ask.inspectors
        for day in range(piece.due + 1)
        if who.minutes[day] >= piece.minutes and who.may(piece, day)
    )


def _minutes(ask: Ask, slot: Slot) -> int:
    return next(who.minutes[slot.day] for who in ask.inspectors if who.key == slot.inspector)


def _search(
    places: _Places,
    pieces: list[Piece],
    ways: list[list[tuple[int, Slot]]],
    rest: list[int],
    cost: int,
    best: _Best,
) -> None:
    at = len(places.chosen)
    places.nodes -= 1
    if places.nodes <= 0 or cost + rest[at] >= best.cost:
        return
    if at == len(pieces):
        best.cost, best.chosen = cost, list(places.chosen)
        return
    piece = pieces[at]
    for more, slot in sorted(_tries(places, piece, ways[at]), key=lambda one: one[0]):
        with_it = cost + more
        if slot is None:
            places.chosen.append((piece, None))
            _search(places, pieces, ways, rest, with_it, best)
            places.chosen.pop()
        else:
            _at(places, piece, slot)
            _search(places, pieces, ways, rest, with_it, best)
            _back(places, piece, slot)


def _tries(
    places: _Places, piece: Piece, ways: list[tuple[int, Slot]]
) -> Iterator[tuple[int, Slot | None]]:
    for early, slot in ways:
        if places.has_room(piece, slot):
            yield early + (0 if slot in places.site else places.ask.visit_cost), slot
    yield piece.minutes * places.ask.left_out_cost, None


def _at(places: _Places, piece: Piece, slot: Slot) -> None:
    places.site.setdefault(slot, piece.site)
    places.room[slot] -= piece.minutes
    places.chosen.append((piece, slot))
    if piece.group:
        places.out.setdefault((slot.day, piece.group), []).append(piece.member)


def _back(places: _Places, piece: Piece, slot: Slot) -> None:
    places.chosen.pop()
    places.room[slot] += piece.minutes
    if piece.group:
        places.out[slot.day, piece.group].remove(piece.member)
    if all(other != slot for _, other in places.chosen):
        del places.site[slot]


def _plan_of(best: _Best) -> Plan:
    held: dict[tuple[Slot, int], list[int]] = {}
    left_out = []
    for piece, slot in best.chosen or ():
        if slot is None:
            left_out.append(piece.key)
        else:
            held.setdefault((slot, piece.site), []).append(piece.key)
    visits = tuple(
        Visit(slot.inspector, site, slot.day, tuple(keys)) for (slot, site), keys in held.items()
    )
    return Plan(visits, tuple(left_out), best.cost, best.cost)
