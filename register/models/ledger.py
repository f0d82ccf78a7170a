"""The append-only ledger: one act per change, one entry per thing it touched, chained per thing.

Two crews at work on different things never wait for one another: each thing has its own chain.
Database triggers (``register.models.ledger_guard``) refuse every update and delete of an entry.
"""

from __future__ import annotations

import json
import secrets
import uuid
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime

from django.db import connection, models
from django.db.models import F, Q

from register.models.people import User
from register.models.places import Site
from register.rules.chain import NOTHING, canonical, digest, link

Facts = Mapping[str, object]


class Act(models.Model):
    """One change: who did what, when, from which device."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    verb = models.CharField(max_length=40)
    at = models.DateTimeField(db_index=True)
    claimed_at = models.DateTimeField(null=True)
    by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="acts"
    )
    device = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["-at"]

    def __str__(self) -> str:
        return f"{self.verb} at {self.at:%Y-%m-%d %H:%M}"


class ActNote(models.Model):
    """A free text of an act. The chain holds only its salted digest, so it can be erased."""

    act = models.ForeignKey(Act, on_delete=models.CASCADE, related_name="notes")
    field = models.CharField(max_length=40)
    salt = models.CharField(max_length=32)
    text = models.TextField()

    def __str__(self) -> str:
        return self.text


class Entry(models.Model):
    """What an act did to one thing. ``body`` is the canonical text that was hashed."""

    act = models.ForeignKey(Act, on_delete=models.PROTECT, related_name="entries")
    thing_kind = models.CharField(max_length=40)
    thing_id = models.CharField(max_length=40)
    seq = models.PositiveIntegerField()
    before = models.CharField(max_length=64)
    hash = models.CharField(max_length=64)
    body = models.TextField()

    class Meta:
        ordering = ["thing_kind", "thing_id", "seq"]
        verbose_name_plural = "entries"
        constraints = [
            models.UniqueConstraint(
                fields=["thing_kind", "thing_id", "seq"], name="entry_once_in_its_chain"
            )
        ]

    def __str__(self) -> str:
        return f"{self.thing_kind} {self.thing_id} #{self.seq}"

    @property
    def facts(self) -> dict[str, object]:
        """The facts of the entry, as recorded."""
        facts: dict[str, object] = json.loads(self.body)["facts"]
        return facts


class Head(models.Model):
    """The last entry of one thing's chain: what the next entry is linked to."""

    thing_kind = models.CharField(max_length=40)
    thing_id = models.CharField(max_length=40)
    seq = models.PositiveIntegerField(default=0)
    hash = models.CharField(max_length=64, default=NOTHING)

    class Meta:
        ordering = ["thing_kind", "thing_id"]
        constraints = [
            models.UniqueConstraint(fields=["thing_kind", "thing_id"], name="head_once_a_thing")
        ]

    def __str__(self) -> str:
        return f"{self.thing_kind} {self.thing_id} at #{self.seq}"


class Checkpoint(models.Model):
    """One hash over the heads of all chains at a moment; print it, and later rewriting shows."""

    at = models.DateTimeField()
    chains = models.PositiveIntegerField()
    root = models.CharField(max_length=64)

    class Meta:
        ordering = ["-at"]

    def __str__(self) -> str:
        return f"{self.root[:16]} over {self.chains} chains"


@dataclass(frozen=True, slots=True)
class Stamp:
    """Who acts, when, and from what device; ``claimed_at`` is the device's own time."""

    by: User | None
    at: datetime
    claimed_at: datetime | None = None
    device: str = ""
    act_id: uuid.UUID = field(default_factory=uuid.uuid4)

    def again(self) -> Stamp:
        """The same person and moment, for a consequence that is an act of its own."""
        return replace(self, act_id=uuid.uuid4())


def thing_of(thing: models.Model) -> tuple[str, str]:
    """The name under which a row stands in the ledger, such as ('item', '17')."""
    return type(thing).__name__.lower(), str(thing.pk)


def record(
    verb: str,
    touched: Mapping[models.Model, Facts],
    *,
    stamp: Stamp,
    notes: Mapping[str, str] | None = None,
    sites: Iterable[Site | int | None] = (),
) -> Act:
    """Write one act with an entry for each thing it touched; inside the caller's transaction.

    ``touched`` maps each row to its facts (strings, whole numbers, booleans, None, lists of them).
    ``notes`` are free texts, kept beside the chain. ``sites`` are those whose facts have changed.
    """
    when = {"at": stamp.at, "claimed_at": stamp.claimed_at}
    act = Act.objects.create(id=stamp.act_id, verb=verb, by=stamp.by, device=stamp.device, **when)
    common = _common_of(act, stamp, _kept_notes(act, notes or {}))
    facts = {thing_of(thing): dict(said) for thing, said in touched.items()}
    _append(act, common, facts)
    _bump(sites)
    return act


def _kept_notes(act: Act, notes: Mapping[str, str]) -> list[ActNote]:
    kept = [
        ActNote(act=act, field=name, salt=secrets.token_hex(16), text=text)
        for name, text in sorted(notes.items())
        if text
    ]
    return ActNote.objects.bulk_create(kept)


def _common_of(act: Act, stamp: Stamp, notes: list[ActNote]) -> dict[str, object]:
    """What every entry of one act says alike."""
    by = stamp.by
    return {
        "act": str(act.id),
        "at": stamp.at.isoformat(),
        "by": digest(by.ledger_salt, f"user {by.pk}") if by else None,
        "claimed_at": stamp.claimed_at.isoformat() if stamp.claimed_at else None,
        "device": stamp.device,
        "notes": {note.field: digest(note.salt, note.text) for note in notes},
        "verb": act.verb,
    }


def _append(
    act: Act, common: dict[str, object], facts: dict[tuple[str, str], dict[str, object]]
) -> None:
    """Link an entry to each head, the heads locked in their order so that nobody deadlocks."""
    heads = _locked_heads(sorted(facts))
    entries = []
    for thing in sorted(facts):
        head = heads[thing]
        head.seq += 1
        said = {**common, "facts": facts[thing], "seq": head.seq, "thing": list(thing)}
        body = canonical(said)
        before, head.hash = head.hash, link(head.hash, body)
        place = {"thing_kind": thing[0], "thing_id": thing[1], "seq": head.seq}
        entries.append(Entry(act=act, before=before, hash=head.hash, body=body, **place))
    Entry.objects.bulk_create(entries, batch_size=100)
    _move_heads(heads.values())


def _move_heads(heads: Iterable[Head]) -> None:
    """One statement for all of them: `bulk_update` takes nine times as long for a thousand."""
    table = connection.ops.quote_name(Head._meta.db_table)  # noqa: SLF001
    moved = [(head.seq, head.hash, head.pk) for head in heads]
    with connection.cursor() as cursor:
        cursor.executemany(f"UPDATE {table} SET seq = %s, hash = %s WHERE id = %s", moved)  # noqa: S608


def _locked_heads(things: list[tuple[str, str]]) -> dict[tuple[str, str], Head]:
    """The heads of these chains, made where they are new, locked in (kind, id) order."""
    fresh = [Head(thing_kind=kind, thing_id=thing) for kind, thing in things]
    Head.objects.bulk_create(fresh, ignore_conflicts=True, batch_size=400)
    wanted: dict[str, list[str]] = {}
    for kind, thing in things:
        wanted.setdefault(kind, []).append(thing)
    chosen = Q(pk__in=[])
    for kind, ids in wanted.items():
        chosen |= Q(thing_kind=kind, thing_id__in=ids)
    rows = Head.objects.select_for_update().filter(chosen).order_by("thing_kind", "thing_id")
    return {(head.thing_kind, head.thing_id): head for head in rows}


def _bump(sites: Iterable[Site | int | None]) -> None:
    """Raise the facts version of the sites, last in the act so that the lock is short."""
    ids = sorted({site.pk if isinstance(site, Site) else site for site in sites if site})
    for pk in ids:
        Site.objects.filter(pk=pk).update(facts_version=F("facts_version") + 1)
