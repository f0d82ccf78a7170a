"""Is a paper genuine, does it still hold, and is a file the one that was issued?"""

from __future__ import annotations

import hmac
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256

from django.utils.translation import gettext as _

from register.actions.papers import hashed
from register.documents.kinds import Kind, kinds
from register.documents.sealing import read_seal
from register.models import Paper
from register.rules.tags import read


@dataclass(frozen=True, slots=True)
class Checked:
    """``standing`` is "true", "past" (of an earlier moment, and that still reads the same),
    "changed", "over" (its time is) or "unknown" (its kind or its subject is not here any more);
    ``changed`` names kinds of things and nobody."""

    paper: Paper
    name: str
    standing: str
    changed: tuple[str, ...] = ()


def paper_with(reference: str, secret: str) -> Paper | None:
    """The paper with this reference and this secret part; None says nothing of which was wrong."""
    typed = read(reference)
    paper = Paper.objects.filter(reference=typed.code).select_related("site").first()
    known = paper.secret if paper else "-"
    same = hmac.compare_digest(known.encode(), secret.strip().upper().encode())
    return paper if same else None


def check_paper(paper: Paper, now: datetime) -> Checked:
    """Read the facts of its subject again and compare their hashes."""
    kind = kinds().get(paper.kind)
    name = _(kind.name) if kind else paper.kind
    if paper.good_until_at is not None and paper.good_until_at <= now:
        return Checked(paper, name, "over")
    if kind is None:
        return Checked(paper, name, "unknown")
    subject = kind.find([one.thing_id for one in paper.subjects.all()])
    if subject is None:
        return Checked(paper, name, "unknown")
    at = paper.as_at if paper.is_of_the_past else now
    changed = _changed(paper, kind, hashed(kind.facts(subject, at), paper.secret))
    if changed:
        return Checked(paper, name, "changed", changed)
    return Checked(paper, name, "past" if paper.is_of_the_past else "true")


def _changed(paper: Paper, kind: Kind, now: dict[str, str]) -> tuple[str, ...]:
    parts = [part for part in {**paper.facts, **now} if paper.facts.get(part) != now.get(part)]
    return tuple(_(kind.parts[part]) if part in kind.parts else part for part in parts)


@dataclass(frozen=True, slots=True)
class FileRead:
    """``verdict`` is "unaltered", "another" (unaltered, of another paper), "altered" (sealed by us,
    and changed since) or "not-ours"."""

    verdict: str
    paper: Paper | None = None


def look_at_file(content: bytes, expected: Paper | None = None) -> FileRead:
    """By the hash of the file among those that were issued, and where it is none of them, by its
    seal: a file is unaltered only where both agree."""
    found = Paper.objects.filter(file_hash=sha256(content).hexdigest()).select_related("site")
    paper = found.first()
    seal = read_seal(content)
    if paper is not None and seal.whole and seal.by == paper.sealed_by:
        of_it = expected is None or expected.pk == paper.pk
        return FileRead("unaltered" if of_it else "another", paper)
    ours = seal.found and Paper.objects.filter(sealed_by=seal.by).exists()
    return FileRead("altered" if ours else "not-ours")
