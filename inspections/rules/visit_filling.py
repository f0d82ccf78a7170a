"""Which pieces of one site go into which of its visits: the latest visit that has room takes them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from inspections.rules.visit_plan import Inspector, Piece, Slot


@dataclass(frozen=True, slots=True)
class Lot:
    """Pieces of a site that are alike in all that decides where they go."""

    like: Piece
    keys: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Filled:
    """The pieces of each visit, those left over, and the minute-days given away."""

    taken: Mapping[Slot, tuple[int, ...]]
    left: tuple[tuple[Lot, int], ...]
    given_away: int

    @property
    def minutes_left(self) -> int:
        return sum(lot.like.minutes * number for lot, number in self.left)

    def cost(self, visit_cost: int, left_out_cost: int) -> int:
        """Empty visits are not made."""
        visits = len(self.taken) * visit_cost
        return visits + self.given_away + self.minutes_left * left_out_cost


@dataclass(frozen=True, slots=True)
class Site:
    """The lots of one site in the order in which they are placed, and who may take each."""

    lots: tuple[Lot, ...]
    inspectors: Mapping[int, Inspector]
    most_out: Mapping[str, int]

    def serves(self, slot: Slot) -> bool:
        """Whether anything of the site could be inspected then by that inspector."""
        return any(
            lot.like.due >= slot.day and self.inspectors[slot.inspector].may(lot.like, slot.day)
            for lot in self.lots
        )


def site_of(
    pieces: Iterable[Piece], inspectors: Sequence[Inspector], most_out: Mapping[str, int]
) -> Site:
    """Those with the fewest inspectors first, then what is out of a group, then the longest."""
    found: dict[tuple[object, ...], list[Piece]] = {}
    for piece in pieces:
        alike = (piece.minutes, piece.due, piece.need, piece.barred, piece.group, piece.member)
        found.setdefault(alike, []).append(piece)
    able = {
        key: sum(1 for who in inspectors if key[2] in who.rights and who.key != key[3])
        for key in found
    }

    def turn(key: tuple[object, ...]) -> tuple[object, ...]:
        like = found[key][0]
        return able[key], not like.group, -like.minutes, -like.due, like.need, like.key

    lots = [
        Lot(found[key][0], tuple(one.key for one in found[key])) for key in sorted(found, key=turn)
    ]
    return Site(tuple(lots), {who.key: who for who in inspectors}, most_out)


def fill(site: Site, slots: Iterable[Slot]) -> Filled:
    """From the latest visit to the earliest, each takes all it can of what is not yet placed."""
    waiting = [len(lot.keys) for lot in site.lots]
    out: dict[tuple[int, str], set[int]] = {}
    taken: dict[Slot, tuple[int, ...]] = {}
    given_away = 0
    for slot in sorted(slots, reverse=True):
        room = site.inspectors[slot.inspector].minutes[slot.day]
        keys: list[int] = []
        for at, number in _fitting(site, slot, waiting, room, out):
            lot = site.lots[at]
            first = len(lot.keys) - waiting[at]
            keys.extend(lot.keys[first : first + number])
            waiting[at] -= number
            given_away += number * lot.like.minutes * (lot.like.due - slot.day)
        if keys:
            taken[slot] = tuple(keys)
    left = tuple((lot, n) for lot, n in zip(site.lots, waiting, strict=True) if n)
    return Filled(taken, left, given_away)


def _fitting(
    site: Site,
    slot: Slot,
    waiting: Sequence[int],
    room: int,
    out: dict[tuple[int, str], set[int]],
) -> Iterable[tuple[int, int]]:
    """How many of which lots go into the visit."""
    who = site.inspectors[slot.inspector]
    found = []
    for at, lot in enumerate(site.lots):
        like = lot.like
        if not waiting[at] or like.due < slot.day or like.minutes > room:
            continue
        if not who.may(like, slot.day) or not _may_go_out(site, like, slot.day, out):
            continue
        number = min(waiting[at], room // like.minutes)
        room -= number * like.minutes
        found.append((at, number))
    return found


def _may_go_out(site: Site, like: Piece, day: int, out: dict[tuple[int, str], set[int]]) -> bool:
    """Whether one more of its group may be out on the day; if so it is."""
    if not like.group:
        return True
    members = out.setdefault((day, like.group), set())
    if like.member not in members and len(members) >= site.most_out.get(like.group, 1):
        return False
    members.add(like.member)
    return True
