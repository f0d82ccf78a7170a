"""Who issues papers, and that a paper was issued."""

from __future__ import annotations

import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import models, transaction
from django.utils.translation import gettext as _

from register.models import Employer, Item, Paper, PaperSubject, Site, Stamp, record
from register.models.ledger import thing_of
from register.refusal import Refusal
from register.rules.chain import canonical, digest
from register.rules.tags import code_from, read, secret_from

ONE_ROW = 1  # two who name the employer at once meet here
_TRIES = 20


@dataclass(frozen=True, slots=True)
class Draft:
    """A paper before it is a file: what is printed on it to find it by, and what it rests on.

    ``facts`` maps each kind of thing (a slug of the paper's kind) to what was read of it: strings,
    whole numbers, booleans, None, lists and mappings of them.
    """

    reference: str
    secret: str
    kind: str
    site: Site | None
    subjects: Sequence[models.Model]
    about: str
    language: str
    size: str
    as_at: datetime
    made_at: datetime
    facts: Mapping[str, object]
    good_until_at: datetime | None = None

    @property
    def hashes(self) -> dict[str, str]:
        return hashed(self.facts, self.secret)


def hashed(facts: Mapping[str, object], salt: str) -> dict[str, str]:
    """A salted hash for each kind of thing: it tells which kind changed, and nothing of what it was."""
    return {part: digest(salt, canonical([said])) for part, said in facts.items()}


def new_reference() -> tuple[str, str]:
    """A reference no paper has, and the secret part of its open address."""
    for _try in range(_TRIES):
        reference = code_from(secrets.randbelow)
        if not Paper.objects.filter(reference=reference).exists():
            return reference, secret_from(secrets.randbelow)
    raise RuntimeError("No free reference was drawn.")


@transaction.atomic
def issue_paper(draft: Draft, *, file_hash: str, sealed_by: str, stamp: Stamp) -> Paper:
    """Record that this very file was issued. What it is about and rests on is never changed after."""
    if draft.as_at > draft.made_at:
        raise Refusal("not-yet", _("A paper tells how things stood; this moment is still to come."))
    hashes = draft.hashes
    paper = Paper(
        **{name: getattr(draft, name) for name in _ALIKE},
        made_by=stamp.by,
        facts=hashes,
        facts_hash=digest(draft.secret, canonical(hashes)),
        file_hash=file_hash,
        sealed_by=sealed_by,
    )
    paper.full_clean()
    paper.save()
    things = [thing_of(thing) for thing in draft.subjects]
    PaperSubject.objects.bulk_create(
        PaperSubject(paper=paper, thing_kind=kind, thing_id=pk) for kind, pk in things
    )
    record("issue-paper", {paper: _said(paper, things)}, stamp=stamp)
    return paper


_ALIKE = (
    *("reference", "secret", "kind", "site", "about", "language", "size"),
    *("as_at", "made_at", "good_until_at"),
)


def _said(paper: Paper, things: Sequence[tuple[str, str]]) -> dict[str, object]:
    return {
        "reference": paper.reference,
        "kind": paper.kind,
        "subjects": [f"{kind} {pk}" for kind, pk in things],
        "site": paper.site_id,
        "language": paper.language,
        "as_at": paper.as_at.isoformat(),
        "facts": paper.facts_hash,
        "file": paper.file_hash,
        "sealed_by": paper.sealed_by,
    }


def free_notice(number: str, kind: str) -> Paper | None:
    """The notice written by hand with this number, locked; None where none was issued, or it hangs on
    an item already."""
    papers = Paper.objects.select_for_update().filter(kind=kind, reference=read(number).code)
    paper = papers.first()
    hangs = paper is not None and paper.subjects.filter(thing_kind=thing_of(Item())[0]).exists()
    return None if hangs else paper


@transaction.atomic
def enter_notice(paper: Paper, item: Item, *, stamp: Stamp) -> None:
    """A free notice written by hand hangs on this item from now on."""
    kind, pk = thing_of(item)
    PaperSubject.objects.create(paper=paper, thing_kind=kind, thing_id=pk)
    record("enter-notice", {item: {"notice": paper.reference}}, stamp=stamp)


@transaction.atomic
def name_employer(*, name: str, address: str, paper_size: str, stamp: Stamp) -> Employer:
    """Say for whom everything here is kept: name and address stand on the head of every paper."""
    employer = Employer.objects.select_for_update().filter(pk=ONE_ROW).first()
    employer = employer or Employer(pk=ONE_ROW)
    employer.name, employer.address = " ".join(name.split()), " ".join(address.split())
    employer.paper_size = paper_size
    employer.full_clean()
    employer.save()
    facts = {"name": employer.name, "address": employer.address, "paper_size": paper_size}
    record("name-employer", {employer: facts}, stamp=stamp)
    return employer
