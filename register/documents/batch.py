"""Papers by the hundred: issued one after the other, in one ZIP, with a list of what was not issued."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import IO, Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from register.documents.bundles import Bundle
from register.documents.issuing import issue
from register.documents.kinds import kinds
from register.errands import Made, Step
from register.exports.columns import Table, code, text
from register.models import Errand, Stamp
from register.refusal import Refusal
from register.rules.tags import shown

ZIP = "application/zip"
MOST = 5000  # papers of one errand: about ten minutes of work

Subjects = Sequence[Sequence[str]]


@dataclass(frozen=True, slots=True)
class _Line:
    """One line of the index: a paper that was issued, or why it was not."""

    file: str
    reference: str
    about: str
    why_not: str = ""


_COLUMNS = (
    code("file", gettext_lazy("File"), "file"),
    code("reference", gettext_lazy("Reference"), "reference"),
    text("about", gettext_lazy("About"), "about"),
    text("not_issued", gettext_lazy("Not issued, because"), "why_not"),
)


def given_for(kind: str, subjects: Subjects, *, language: str, size: str) -> dict[str, object]:
    """All that the errand needs; refuses nothing at all and more than one errand does."""
    if not subjects:
        raise Refusal("nothing-chosen", _("There is nothing to print for this choice."))
    if len(subjects) > MOST:
        told = _("More than %(most)d papers in one go. Choose fewer, such as one class.")
        raise Refusal("too-many", told % {"most": MOST})
    said = {"language": language, "size": size}
    return {"kind": kind, "subjects": [list(map(str, ids)) for ids in subjects], **said}


def words_of(given: Mapping[str, Any]) -> str:
    number, kind = len(given.get("subjects", ())), kinds().get(given.get("kind", ""))
    facts = {"n": number, "kind": _(kind.name) if kind else given.get("kind", "")}
    return ngettext("%(kind)s: %(n)d paper", "%(kind)s: %(n)d papers", number) % facts


def issue_all(errand: Errand, step: Step, stamp_at: Callable[[], Stamp]) -> Made:
    """One paper for each subject that is still at a site of the errand. What was issued before it was
    stopped stays on record as issued, though nobody has the file."""
    given = errand.given
    kind, total = kinds()[given["kind"]], len(given["subjects"])
    sites = set(errand.sites.values_list("pk", flat=True))
    bundle, lines = Bundle(), []
    for done, ids in enumerate(given["subjects"]):
        step(done, total)
        subject = kind.find(ids)
        site = kind.site(subject) if subject is not None else None
        if site is None or site.pk not in sites:
            lines.append(_Line("", "", " ".join(ids), _("It has left these sites since.")))
            continue
        try:
            made = issue(
                kind,
                subject,
                stamp=stamp_at(),
                language=given["language"],
                size=given["size"],
            )
        except Refusal as refusal:
            lines.append(_Line("", "", str(subject), refusal.sentence))
            continue
        bundle.add(made.name, made.file)
        lines.append(_Line(made.name, shown(made.paper.reference), made.paper.about))
    if not any(line.file for line in lines):
        raise Refusal("none-issued", lines[0].why_not)
    return Made(f"{kind.slug}-{total}.zip", ZIP, _closed(bundle, lines))


def _closed(bundle: Bundle, lines: Sequence[_Line]) -> IO[bytes]:
    titled = [*_COLUMNS]
    bundle.add_table("index.csv", Table(_("Papers"), titled, lines, ()))
    return bundle.closed()
