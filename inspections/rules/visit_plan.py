"""Inspections to be done by their due days, inspectors with hours, and a plan of visits for them.

Days are whole numbers counted from the first day of the plan. Costs are minute-days: a visit costs
what the employer says, a piece that is inspected early its minutes for each day given away.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

Spans = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Piece:
    """One inspection to be made: where, how long it takes and the last day for it.

    need: what an inspector must be authorised for. barred: whoever may not inspect it (it is theirs).
    group: the things of a site of which not all may be out on one day; member: the one that this
    inspection takes out.
    """

    key: int
    site: int
    minutes: int
    due: int
    need: str
    barred: int = 0
    group: str = ""
    member: int = 0


@dataclass(frozen=True, slots=True)
class Inspector:
    """Minutes on each day of the plan, and for each need the first and last days of their right."""

    key: int
    minutes: tuple[int, ...]
    rights: Mapping[str, Spans]

    def may(self, piece: Piece, day: int) -> bool:
        """Whether they may inspect the piece on the day; hours are another question."""
        if piece.barred == self.key:
            return False
        return any(first <= day <= last for first, last in self.rights.get(piece.need, ()))


@dataclass(frozen=True, slots=True, order=True)
class Slot:
    """A day of one inspector, spent at one site."""

    day: int
    inspector: int


@dataclass(frozen=True, slots=True)
class Ask:
    """All that is to be planned. most_out: how many members of a group may be out on one day.

    dear: what a minute costs that no visit has room for; 0 for more than all other costs together.
    """

    pieces: tuple[Piece, ...]
    inspectors: tuple[Inspector, ...]
    days: int
    visit_cost: int
    most_out: Mapping[str, int] = field(default_factory=dict)
    dear: int = 0

    @property
    def left_out_cost(self) -> int:
        """So dear that leaving out a minute is never worth a visit or days given away."""
        if self.dear:
            return self.dear
        early = sum(piece.minutes for piece in self.pieces) * self.days
        slots = sum(sum(1 for each in one.minutes if each) for one in self.inspectors)
        return early + self.visit_cost * slots + 1


@dataclass(frozen=True, slots=True)
class Visit:
    """One inspector at one site on one day, and what they inspect there."""

    inspector: int
    site: int
    day: int
    pieces: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """The visits, what found no room in any, and a cost below which no plan can come.

    proven: no plan costs less than this one.
    """

    visits: tuple[Visit, ...]
    left_out: tuple[int, ...]
    cost: int
    bound: int

    @property
    def proven(self) -> bool:
        return self.cost <= self.bound

    def visits_above(self, visit_cost: int) -> int:
        """By how many visits, or what is worth as much, the best there can be might be better."""
        return -(-max(0, self.cost - self.bound) // visit_cost)


def cost_of(ask: Ask, visits: Iterable[Visit], left_out: Iterable[int]) -> int:
    """What the visits cost, what is given away, and what is left out."""
    pieces = {piece.key: piece for piece in ask.pieces}
    cost = sum(pieces[key].minutes for key in left_out) * ask.left_out_cost
    for visit in visits:
        cost += ask.visit_cost
        cost += sum(pieces[key].minutes * (pieces[key].due - visit.day) for key in visit.pieces)
    return cost


def days_given_away(ask: Ask, visits: Iterable[Visit]) -> int:
    """Days of intervals thrown away, over all pieces."""
    due = {piece.key: piece.due for piece in ask.pieces}
    return sum(due[key] - visit.day for visit in visits for key in visit.pieces)


def parts_of(ask: Ask) -> list[Ask]:
    """The same in parts that share no inspector and no group: each is planned by itself.

    What nobody is ever authorised for stands in a part without inspectors.
    """
    top = _shared(ask)
    pieces: dict[object, list[Piece]] = {}
    for piece in ask.pieces:
        pieces.setdefault(top("need " + piece.need), []).append(piece)
    inspectors: dict[object, list[Inspector]] = {}
    for who in ask.inspectors:
        inspectors.setdefault(top(f"who {who.key}"), []).append(who)
    return [_part(ask, found, inspectors.get(at, [])) for at, found in pieces.items()]


def _shared(ask: Ask) -> Callable[[str], str]:
    """The part in which a need or an inspector stands, by the name of one that stands there."""
    above: dict[str, str] = {}

    def top(one: str) -> str:
        while above.setdefault(one, one) != one:
            one = above[one]
        return one

    links = [(f"who {who.key}", "need " + need) for who in ask.inspectors for need in who.rights]
    links += [("group " + one.group, "need " + one.need) for one in ask.pieces if one.group]
    for one, other in links:
        above[top(one)] = top(other)
    return top


def _part(ask: Ask, pieces: Sequence[Piece], inspectors: Sequence[Inspector]) -> Ask:
    return replace(ask, pieces=tuple(pieces), inspectors=tuple(inspectors), dear=ask.left_out_cost)
