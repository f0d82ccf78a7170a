"""Verifying the chains of the ledger, and binding all their heads in one checkpoint."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from register.models import Checkpoint, Entry, Head
from register.rules.chain import NOTHING, inclusion, leaf, link, root, root_by


@dataclass(frozen=True, slots=True)
class Misfit:
    """The first entry of a chain that does not fit, and why; ``seq`` 0 stands for the head."""

    thing_kind: str
    thing_id: str
    seq: int
    why: str

    def __str__(self) -> str:
        return f"{self.thing_kind} {self.thing_id}, entry {self.seq}: {self.why}"


@dataclass(frozen=True, slots=True)
class Report:
    """How many entries and chains were read, and the misfits found."""

    entries: int
    chains: int
    misfits: tuple[Misfit, ...]


@transaction.atomic
def verify_ledger() -> Report:
    """Read every chain from its first entry, in one snapshot of the heads.

    Finds a changed, removed, added or reordered entry. A chain rewritten from its first entry
    with its head is found only by a checkpoint kept elsewhere.
    """
    heads = {(h.thing_kind, h.thing_id): (h.seq, h.hash) for h in Head.objects.iterator()}
    misfits: list[Misfit] = []
    entries = 0
    reached: dict[tuple[str, str], tuple[int, str]] = {}
    broken: set[tuple[str, str]] = set()
    for entry in _entries_in_order():
        entries += 1
        thing = (entry.thing_kind, entry.thing_id)
        seq, before = reached.get(thing, (0, NOTHING))
        why = "" if thing in broken else _misfit(entry, seq + 1, before)
        if why:
            broken.add(thing)
            misfits.append(Misfit(*thing, entry.seq, why))
        reached[thing] = (entry.seq, entry.hash)
    misfits += [
        Misfit(*thing, 0, "the chain does not end at its head")
        for thing in sorted((heads.keys() | reached.keys()) - broken)
        if heads.get(thing) != reached.get(thing, (0, NOTHING))
    ]
    return Report(entries, len(heads), tuple(misfits))


@transaction.atomic
def make_checkpoint(*, at: datetime) -> Checkpoint:
    """One root over the heads of all chains, sorted by thing; print it or keep it elsewhere."""
    chains, found = root_of_heads()
    return Checkpoint.objects.create(at=at, chains=chains, root=found)


def root_of_heads() -> tuple[int, str]:
    """How many chains there are, and the root over their heads as they stand; keeps nothing."""
    leaves = _leaves()
    return len(leaves), root(leaves)


@dataclass(frozen=True, slots=True)
class EntryProof:
    """That an entry belongs to the ledger whose root is known, without the rest of the ledger.

    ``bodies`` are those of the thing's chain from the entry on, ``before`` the hash before it, and
    ``beside`` the hashes beside the way from the chain's head to the root.
    """

    thing: tuple[str, str]
    seq: int
    before: str
    bodies: tuple[str, ...]
    place: int
    chains: int
    beside: tuple[str, ...]

    def root(self) -> str:
        """The root that it leads to; whoever checks it compares that with one kept elsewhere."""
        head = self.before
        for body in self.bodies:
            head = link(head, body)
        last = self.seq + len(self.bodies) - 1
        return root_by(leaf(*self.thing, last, head), self.place, self.chains, self.beside)


@transaction.atomic
def prove_entry(kind: str, thing: str, seq: int) -> EntryProof | None:
    """The proof against the ledger as it stands now; None where there is no such entry."""
    entries = list(Entry.objects.filter(thing_kind=kind, thing_id=thing, seq__gte=seq))
    if not entries or entries[0].seq != seq:
        return None
    heads = _heads()
    place = next(at for at, head in enumerate(heads) if head[:2] == (kind, thing))
    return EntryProof(
        thing=(kind, thing),
        seq=seq,
        before=entries[0].before,
        bodies=tuple(entry.body for entry in entries),
        place=place,
        chains=len(heads),
        beside=tuple(inclusion([leaf(*head) for head in heads], place)),
    )


def _leaves() -> list[bytes]:
    return [leaf(*head) for head in _heads()]


def _heads() -> list[tuple[str, str, int, str]]:
    """By kind and id, ordered here: a database sorts by its own language's rules, another otherwise."""
    rows = Head.objects.order_by().values_list("thing_kind", "thing_id", "seq", "hash")
    return sorted(rows.iterator())


def _entries_in_order() -> Iterator[Entry]:
    return Entry.objects.order_by("thing_kind", "thing_id", "seq").iterator(chunk_size=2000)


def _misfit(entry: Entry, seq: int, before: str) -> str:
    """Why the entry does not follow the one before it, or ''."""
    if entry.seq != seq:
        return f"entry {seq} is missing before it"
    if entry.before != before:
        return "it is not linked to the entry before it"
    if entry.hash != link(before, entry.body):
        return "its content does not fit its hash"
    said = json.loads(entry.body)
    if [said["seq"], said["thing"], said["act"]] != [
        entry.seq,
        [entry.thing_kind, entry.thing_id],
        str(entry.act_id),
    ]:
        return "its columns do not say what its content says"
    return ""
