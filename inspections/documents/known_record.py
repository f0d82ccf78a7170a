"""The record of one item as it was known at a past moment, and apart from it what was learned later."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from inspections.as_known import AsKnown, as_known
from inspections.models import Inspection
from inspections.wording import clock_sentence, verdict_sentence
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
from register.documents.kinds import Kind
from register.models import Item, Site
from register.wording import condition_name, shown_day


def _find(ids: Sequence[str]) -> Item | None:
    return Item.objects.with_product().filter(pk=ids[0]).first()


def _rows(item: Item) -> Sequence[Item]:
    return [item]


def _site(item: Item) -> Site:
    site: Site = item.site
    return site


def content_of(item: Item, at: datetime) -> Content:
    """From the records made by then alone."""
    then = as_known(item, at)
    told = {"item": item.shown_code, "what": item.product.kind_name, "day": shown_day(then.day)}
    return Content(
        title=_("Record as known on %(day)s") % told,
        about=_("%(item)s, %(what)s, as known on %(day)s") % told,
        blocks=tuple(_blocks(item, then)),
    )


def _blocks(item: Item, then: AsKnown) -> Iterator[Block]:
    yield Identity(tuple(_identity(item, then)))
    yield Heading(_("What was known then"))
    yield from _inspections(then.known, _("No inspection was on record."))
    if then.clocks:
        yield Heading(_("Dates that ran then"))
        yield from (Words(clock_sentence(one)) for one in then.clocks)
    yield Heading(_("What was learned later"))
    yield from _inspections(then.later, _("Nothing was recorded since."))
    yield Caution(
        _(
            "The condition is read from the chain, the inspections by when they were recorded. Product"
            " and intervals are today’s; where it was, and of a kit its pieces and its seal, are not"
            " part of this."
        )
    )


def _identity(item: Item, then: AsKnown) -> Iterator[tuple[str, str]]:
    unknown = _("not recorded")
    yield _("Tag"), item.shown_code
    yield _("Product"), f"{item.product.kind_name}, {item.product}"
    yield _("Serial"), item.serial or unknown
    yield _("Condition then"), condition_name(then.condition) if then.condition else unknown
    yield _("Use then"), verdict_sentence(then.verdict)


def _inspections(found: Sequence[Inspection], none: str) -> Iterator[Block]:
    if not found:
        yield Words(none)
        return
    heads = (_("Performed"), _("Kind"), _("Verdict"), _("Inspector"), _("Recorded"))
    yield Table(heads, tuple(map(_row, found)), (1.6, 2.6, 2, 2.4, 1.6))


def _row(one: Inspection) -> Row:
    who = str(one.inspector) if one.inspector else _("not recorded")
    return Row(
        (
            shown_day(one.performed_on),
            one.get_kind_display(),
            one.get_verdict_display(),
            who,
            shown_day(one.recorded_at),
        )
    )


def facts_of(item: Item, at: datetime) -> dict[str, object]:
    """What was known then cannot change, unless a row was changed past the program; what was learned
    later may grow."""
    then = as_known(item, at)
    return {
        "identity": [item.code, str(item.product), item.serial],
        "known": [
            [str(one.pk), one.kind, one.verdict, one.performed_on.isoformat()] for one in then.known
        ],
        "use": [then.condition, then.verdict.usable, then.verdict.code],
        "later": [str(one.pk) for one in then.later],
    }


AS_KNOWN = Kind(
    slug="record-as-known",
    name=gettext_noop("Record as known at a past moment"),
    parts={
        "identity": gettext_noop("what it is"),
        "known": gettext_noop("what was known then"),
        "use": gettext_noop("whether it could be used then"),
        "later": gettext_noop("what was learned later"),
    },
    find=_find,
    rows=_rows,
    site=_site,
    content=content_of,
    facts=facts_of,
)
