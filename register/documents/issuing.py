"""Issuing a paper: read its facts, draw it, seal it, and record that this very file was issued."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from urllib.parse import urlsplit
from zoneinfo import ZoneInfo

from django.conf import settings
from django.utils import translation
from django.utils.translation import gettext as _

from register.actions.papers import Draft, issue_paper, new_reference
from register.documents.content import Content, Frame
from register.documents.frame import pdf_of
from register.documents.kinds import Kind
from register.documents.sealing import seal
from register.models import Employer, Paper, Site, Stamp
from register.refusal import Refusal
from register.rules.tags import shown
from register.wording import shown_moment


@dataclass(frozen=True, slots=True)
class Issued:
    """The paper's record, and the file, which is not kept."""

    paper: Paper
    file: bytes

    @property
    def name(self) -> str:
        return f"{self.paper.kind}-{shown(self.paper.reference)}.pdf"


def missing_for(kind: Kind, subject: Any, at: datetime) -> list[str]:
    """A sentence for each particular without which the paper is not printed."""
    lacks = [] if Employer.objects.exclude(name="").exists() else [_no_employer()]
    return [*lacks, *kind.missing(subject, at)]


def _no_employer() -> str:
    return _(
        "The name of the employer is not entered, and no paper goes out without it. A manager or "
        "administrator enters it on the page Sites, under ‘The employer’."
    )


def issue(
    kind: Kind,
    subject: Any,
    *,
    stamp: Stamp,
    language: str,
    size: str = "",
    as_at: datetime | None = None,
) -> Issued:
    """Issue one paper in a language of the settings, of A4 or Letter (the employer's, where none is
    said), on how things stand or stood at an earlier moment.

    Refuses ("particulars-missing") with a sentence for each particular that is missing.
    """
    at = as_at or stamp.at
    with translation.override(language):
        _refuse_missing(missing_for(kind, subject, at))
        employer = Employer.objects.get()
        drawn_on = size or employer.paper_size
        draft, content = _read(kind, subject, (at, stamp.at), language, drawn_on)
        sealed = seal(pdf_of(content, frame_of(draft, content, employer)))
    paper = issue_paper(draft, file_hash=sealed.file_hash, sealed_by=sealed.sealed_by, stamp=stamp)
    return Issued(paper, sealed.content)


def _refuse_missing(lacks: list[str]) -> None:
    if lacks:
        raise Refusal("particulars-missing", " ".join(lacks))


def _read(
    kind: Kind, subject: Any, moments: tuple[datetime, datetime], language: str, size: str
) -> tuple[Draft, Content]:
    """The facts before the content: what changes between the two makes the paper untrue, not true."""
    as_at, made_at = moments
    facts, content = kind.facts(subject, as_at), kind.content(subject, as_at)
    reference, secret = new_reference()
    draft = Draft(
        reference=reference,
        secret=secret,
        kind=kind.slug,
        site=kind.site(subject),
        subjects=kind.rows(subject),
        about=content.about,
        language=language,
        size=size,
        as_at=as_at,
        made_at=made_at,
        facts=facts,
        good_until_at=content.good_until_at,
    )
    return draft, content


def frame_of(draft: Draft, content: Content, employer: Employer) -> Frame:
    """What stands around the content; in the active language."""
    return Frame(
        employer=employer.name,
        address=employer.address,
        reference=draft.reference,
        link=link_to(draft.reference, draft.secret),
        moments=_moments(draft),
        check=_(
            "Scan the code, or open the address beneath, to see whether this paper is genuine and "
            "still true."
        ),
        language=draft.language,
        size=draft.size,
        notes=_notes(draft, content),
    )


def link_to(reference: str, secret: str) -> str:
    """The open address in capitals, which a QR code packs into fewer modules."""
    parts = urlsplit(settings.PUBLIC_URL)
    origin = f"{parts.scheme}://{parts.netloc}".upper()
    return f"{origin}{parts.path}/P/{reference}/{secret}"


def _moments(draft: Draft) -> tuple[str, ...]:
    issued = _("Issued %(moment)s") % {"moment": moment_words(draft.made_at, draft.site)}
    if draft.as_at == draft.made_at:
        return (issued, _("It tells what the register held then."))
    told = _("It tells what the register held at %(moment)s, and nothing later.")
    return (issued, told % {"moment": moment_words(draft.as_at, draft.site)})


def _notes(draft: Draft, content: Content) -> tuple[str, ...]:
    until = content.good_until_at
    good = _("Good until %(moment)s, then ask for a new one.")
    notes = [good % {"moment": moment_words(until, draft.site)}] if until else []
    if draft.language in settings.LANGUAGES_TO_REVIEW:
        notes.append(
            _(
                "This translation is still to be reviewed by a native inspector. In doubt the "
                "English text holds."
            )
        )
    return tuple(notes)


def moment_words(moment: datetime, site: Site | None) -> str:
    """The moment by the site's own clock, with its zone."""
    zone = site.time_zone if site else "UTC"
    there = moment.astimezone(ZoneInfo(zone))
    return f"{shown_moment(there)} ({zone})"
