"""The trace list of a safety notice: each piece it means, who has it, who knows, what it uncovers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from inspections.matching import rule_of
from inspections.models import Notice, NoticeMatch
from inspections.notice_board import spot_words, traced
from inspections.notice_wording import certainty_name, doubt_words, outcome_name, rule_lines
from readiness.documents.trace_uncovered import held_by, uncovered_by
from register.documents.content import (
    Block,
    Caution,
    Content,
    Heading,
    Identity,
    Row,
    Table,
    Words,
)
from register.documents.issuing import moment_words
from register.documents.kinds import Kind
from register.models import Site
from register.wording import condition_name, shown_day

Uncovered = dict[str, Mapping[str, datetime]]
"""By the site's code, each task that the pieces held now uncover, and from when on."""


@dataclass(frozen=True, slots=True)
class Trace:
    """A notice, and the sites whose pieces are told."""

    notice: Notice
    sites: tuple[Site, ...]
    _uncovered: dict[datetime, Uncovered] = field(default_factory=dict, compare=False, repr=False)

    def uncovered(self, at: datetime) -> Uncovered:
        """Asked once for a moment: the page, the file and its facts tell the same."""
        if at not in self._uncovered:
            self._uncovered[at] = uncovered(self, at)
        return self._uncovered[at]

    @property
    def matches(self) -> list[NoticeMatch]:
        """Certain ones first, each group by where the pieces are; what the label ruled out last."""
        rows = traced(NoticeMatch.objects.filter(notice=self.notice, item__site__in=self.sites))
        order = {"certain": 0, "possible": 1}
        return sorted(rows, key=lambda match: order.get(match.certainty, 2))


def _find(ids: Sequence[str]) -> Trace | None:
    notice = Notice.objects.filter(pk=ids[0]).first()
    sites = tuple(Site.objects.filter(pk__in=ids[1:]))
    return Trace(notice, sites) if notice and len(sites) == len(ids) - 1 else None


def _rows(trace: Trace) -> Sequence[Notice | Site]:
    return [trace.notice, *trace.sites]


def _site(trace: Trace) -> Site | None:
    """Of one site, where it tells of one; a list of several is for who sees every site."""
    return trace.sites[0] if len(trace.sites) == 1 else None


def uncovered(trace: Trace, at: datetime) -> Uncovered:
    """For each site where the notice holds a kit, a part of one or an anchor."""
    holding = NoticeMatch.objects.holding().filter(notice=trace.notice, item__site__in=trace.sites)
    held = held_by(list(holding.select_related("item")))
    sites = {site.pk: site for site in trace.sites}
    return {
        sites[pk].code: uncovered_by(sites[pk], one, at)
        for pk, one in sorted(held.items())
        if pk in sites
    }


def content_of(trace: Trace, at: datetime) -> Content:
    """How it stands at the moment; the tasks from then on."""
    matches, notice = trace.matches, trace.notice
    meant = sum(match.certainty != "none" for match in matches)
    where = trace.sites[0].name if len(trace.sites) == 1 else _("every site")
    pieces = ngettext("%(n)d piece", "%(n)d pieces", meant) % {"n": meant}
    about = _("%(notice)s, %(where)s: %(pieces)s meant")
    return Content(
        title=_("Trace list of a safety notice"),
        about=about % {"notice": notice, "where": where, "pieces": pieces},
        blocks=tuple(_blocks(trace, matches, at)),
    )


def _blocks(trace: Trace, matches: Sequence[NoticeMatch], at: datetime) -> Iterator[Block]:
    yield Identity(tuple(_notice(trace.notice)))
    yield Words(trace.notice.text)
    yield Heading(_("Tasks that it uncovers"))
    yield from _tasks(trace, at)
    yield Heading(_("Where each piece is"))
    if matches:
        yield _pieces(matches)
    else:
        yield Words(_("It means no piece here."))
    yield Caution(
        _(
            "Matched by what the records say: read the label of what is possibly meant; it is held"
            " until then. Held is what is meant, whoever has it."
        )
    )


def _notice(notice: Notice) -> Iterator[tuple[str, str]]:
    yield _("Notice"), str(notice)
    yield _("Kind"), notice.get_kind_display()
    yield _("Received"), shown_day(notice.received_on)
    if notice.deadline_on:
        yield _("Last day of use"), shown_day(notice.deadline_on)
    yield from ((name, words) for name, words in rule_lines(rule_of(notice)) if words)
    if not notice.is_in_force:
        yield _("In force"), _("no longer: withdrawn, or followed by another version")


def _tasks(trace: Trace, at: datetime) -> Iterator[Block]:
    names = {site.code: site for site in trace.sites}
    rows = [
        Row((names[code].name, task, moment_words(since, names[code])), strong=True)
        for code, tasks in trace.uncovered(at).items()
        for task, since in sorted(tasks.items())
    ]
    if rows:
        heads = (_("Site"), _("Task"), _("Not covered from"))
        yield Table(heads, tuple(rows), (3, 1.5, 4))
        yield Words(_("Each would be covered, were its kit or anchor not held by this notice."))
    else:
        yield Words(
            _("None within the next two weeks: no task is uncovered by these pieces alone.")
        )


def _pieces(matches: Sequence[NoticeMatch]) -> Table:
    heads = (_("Tag"), _("Piece"), _("Meant"), _("Who has it"), _("Knows"), _("Outcome"))
    return Table(heads, tuple(map(_row, matches)), (1.5, 2.7, 2.2, 2.6, 1.9, 2.3))


def _row(match: NoticeMatch) -> Row:
    item = match.item
    doubts = doubt_words(match.doubts)
    meant = certainty_name(match.certainty)
    return Row(
        (
            item.shown_code,
            f"{item.product}, {item.serial}",
            f"{meant}: {doubts}" if doubts else meant,
            f"{spot_words(item)}\n{item.site.name}",
            _known(match),
            _outcome(match),
        ),
        strong=match.certainty == "certain" and match.is_open,
        struck=match.certainty == "none",
    )


def _known(match: NoticeMatch) -> str:
    if match.acknowledged_at is None:
        return _("not yet")
    return f"{shown_day(match.acknowledged_at)} {match.acknowledged_how}".strip()


def _outcome(match: NoticeMatch) -> str:
    if match.certainty == "none":
        return _("label read: not meant")
    if match.is_open:
        return _("open")
    if not match.outcome:
        return condition_name(match.item.condition)
    when = shown_day(match.closed_at) if match.closed_at else ""
    return f"{outcome_name(match.outcome)} {when}".strip()


def facts_of(trace: Trace, at: datetime) -> dict[str, object]:
    """Without the moments at which tasks become uncovered: they move on with the clock."""
    matches = trace.matches
    return {
        "notice": [str(trace.notice), trace.notice.is_in_force, trace.notice.text],
        "pieces": [
            [one.item.code, one.item.serial, one.certainty, list(map(list, one.doubts))]
            for one in matches
        ],
        "holders": [[one.item.code, _where(one)] for one in matches],
        "told": [[one.item.code, one.acknowledged_at is not None] for one in matches],
        "outcomes": [[one.item.code, one.outcome, one.is_open] for one in matches],
        "tasks": [[code, *sorted(tasks)] for code, tasks in trace.uncovered(at).items()],
    }


def _where(match: NoticeMatch) -> list[object]:
    item = match.item
    return [item.custody, item.site_id, item.holder_id or 0, item.kit_id or 0, item.place]


TRACE_LIST = Kind(
    slug="trace-list",
    name=gettext_noop("Trace list of a safety notice"),
    parts={
        "notice": gettext_noop("the notice"),
        "pieces": gettext_noop("which pieces are meant"),
        "holders": gettext_noop("where a piece is"),
        "told": gettext_noop("who knows"),
        "outcomes": gettext_noop("an outcome"),
        "tasks": gettext_noop("the tasks uncovered"),
    },
    find=_find,
    rows=_rows,
    site=_site,
    content=content_of,
    facts=facts_of,
)
