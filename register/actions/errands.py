"""Asking for work that takes long, stopping it, asking again; and the steps its worker takes.

A worker's steps are compare-and-set on state and attempt: whoever was stopped or overtaken changes
nothing. Only what a person or an ending does is an act of the ledger, never how far the work is.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta
from typing import IO, Any

from django.core.files.base import ContentFile, File
from django.db import IntegrityError, models, transaction
from django.db.models import F
from django.utils.translation import gettext as _

from register.models import Errand, Site, Stamp, User, record
from register.refusal import Refusal
from register.rules.chain import canonical

State = Errand.State
MOST_OPEN = 20  # of one user at a time
_BLOCK = 1 << 20


def ask_for(
    kind: str,
    given: Mapping[str, object],
    *,
    by: User,
    sites: Iterable[Site] = (),
    language: str,
    stamp: Stamp,
) -> tuple[Errand, bool]:
    """Ask for one piece of work; where the same is still open, that one is given back, and False.

    Raises Refusal('too-many') for a user with too much open already.
    """
    sha256 = hashlib.sha256(canonical(dict(given)).encode()).hexdigest()
    same = Errand.objects.open().filter(asked_by=by, kind=kind, given_sha256=sha256)
    if known := same.first():
        return known, False
    asked = {"kind": kind, "given": dict(given), "given_sha256": sha256, "language": language}
    try:
        return _asked(asked, by, list(sites), stamp), True
    except IntegrityError:
        return same.get(), False  # asked for at the same moment, by a second tap


@transaction.atomic
def _asked(asked: Mapping[str, Any], by: User, sites: list[Site], stamp: Stamp) -> Errand:
    if Errand.objects.open().filter(asked_by=by).count() >= MOST_OPEN:
        told = _("You have %(number)s errands open. Wait for them, or stop one.")
        raise Refusal("too-many", told % {"number": MOST_OPEN})
    errand = Errand.objects.create(**asked, asked_by=by, asked_at=stamp.at, moved_at=stamp.at)
    errand.sites.set(sites)
    facts = {"kind": errand.kind, "given": errand.given_sha256, "sites": [s.code for s in sites]}
    record("ask-errand", {errand: facts}, stamp=stamp)
    return errand


@transaction.atomic
def ask_again(errand: Errand, *, stamp: Stamp) -> Errand:
    """Let it be begun anew, from the start: it failed, was stopped, or nobody works on it.

    Raises Refusal('under-way') while it moves, Refusal('done') where its result waits, and
    Refusal('asked-already') where the same was asked for meanwhile.
    """
    errand = Errand.objects.select_for_update().get(pk=errand.pk)
    if errand.waits_for_its_asker(stamp.at):
        raise Refusal("done", _("This is done already: its result waits."))
    if errand.is_open and not errand.is_quiet(stamp.at):
        raise Refusal("under-way", _("This is being worked on. Wait until it is through."))
    same = {"asked_by": errand.asked_by, "kind": errand.kind, "given_sha256": errand.given_sha256}
    if Errand.objects.open().filter(**same).exclude(pk=errand.pk).exists():
        raise Refusal("asked-already", _("The same was asked for again meanwhile: look there."))
    errand.state, errand.attempt, errand.moved_at = State.ASKED, errand.attempt + 1, stamp.at
    errand.done, errand.total, errand.sentence, errand.ended_at = 0, 0, "", None
    errand.save(
        update_fields=["state", "attempt", "moved_at", "done", "total", "sentence", "ended_at"]
    )
    record("ask-errand-again", {errand: {"attempt": errand.attempt}}, stamp=stamp)
    return errand


@transaction.atomic
def stop_errand(errand: Errand, *, stamp: Stamp) -> Errand:
    """End it; a worker in the middle finds out at its next step. Raises Refusal('ended')."""
    errand = Errand.objects.select_for_update().get(pk=errand.pk)
    if not errand.is_open:
        raise Refusal("ended", _("This has ended already: there is nothing to stop."))
    errand.state, errand.ended_at = State.STOPPED, stamp.at
    errand.save(update_fields=["state", "ended_at"])
    record("stop-errand", {errand: {"done": errand.done, "total": errand.total}}, stamp=stamp)
    return errand


def begin_errand(pk: int, attempt: int, *, at: datetime) -> Errand | None:
    """Take the errand in hand; None where another worker has it, or it was stopped."""
    waiting = Errand.objects.filter(pk=pk, attempt=attempt, state=State.ASKED)
    if not waiting.update(state=State.RUNNING, moved_at=at):
        return None
    return Errand.objects.select_related("asked_by").get(pk=pk)


def move_errand(errand: Errand, done: int, total: int, sentence: str, *, at: datetime) -> bool:
    """Keep how far it is; False where it was stopped or asked for again: then leave off."""
    moved = {"done": done, "total": total, "sentence": sentence[:400], "moved_at": at}
    return bool(_in_hand(errand).update(**moved))


def finish_errand(
    errand: Errand,
    content: bytes | IO[bytes],
    *,
    name: str,
    content_type: str,
    keep: timedelta,
    stamp: Stamp,
) -> bool:
    """Keep the result until it expires; False, and no file, where it was stopped or overtaken."""
    kept = File(content) if not isinstance(content, bytes) else ContentFile(content)
    errand.file.save(f"{errand.pk}-{errand.attempt}", kept, save=False)
    ended = {"state": State.DONE, "ended_at": stamp.at, "moved_at": stamp.at, "sentence": ""}
    result = {
        "file": errand.file.name,
        "name": name[:200],
        "content_type": content_type,
        "size": errand.file.size,
        "sha256": hash_of(errand),
        "expires_at": stamp.at + keep,
    }
    with transaction.atomic():
        done = _in_hand(errand).update(**ended, **result, done=F("total"))
        if done:
            facts = {"sha256": result["sha256"], "size": result["size"]}
            record("finish-errand", {errand: facts}, stamp=stamp)
    if not done:
        errand.file.delete(save=False)
    return bool(done)


@transaction.atomic
def fail_errand(errand: Errand, sentence: str, *, stamp: Stamp) -> None:
    """Tell why it ended without a result."""
    ended = {"state": State.FAILED, "ended_at": stamp.at, "sentence": sentence[:400]}
    if _in_hand(errand).update(**ended):
        record("fail-errand", {errand: {"attempt": errand.attempt}}, stamp=stamp)


def take_off_expired(*, at: datetime) -> int:
    """Take the files of expired results off the disk; how many went."""
    over = Errand.objects.filter(expires_at__lte=at).exclude(file="")
    for errand in over:
        errand.file.delete(save=False)
        Errand.objects.filter(pk=errand.pk).update(file="")
    return len(over)


def hash_of(errand: Errand) -> str:
    """SHA-256 of the result as it lies on the disk now."""
    digest = hashlib.sha256()
    with errand.file.open("rb") as file:
        while block := file.read(_BLOCK):
            digest.update(block)
    return digest.hexdigest()


def _in_hand(errand: Errand) -> models.QuerySet[Errand]:
    """The row, as long as this attempt is the one under way."""
    return Errand.objects.filter(pk=errand.pk, attempt=errand.attempt, state=State.RUNNING)
