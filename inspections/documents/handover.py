"""The receipt of a handover: what went, in what condition, with which limits, and who signed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from inspections.hatch import ok_until
from inspections.models import Inspection
from inspections.rules.verdict import Verdict
from inspections.wording import verdict_sentence
from register.documents.content import (
    Block,
    Caution,
    Content,
    Heading,
    Identity,
    Row,
    Sketch,
    Stroke,
    Table,
    ToWrite,
    Words,
)
from register.documents.issuing import moment_words
from register.documents.kinds import Kind
from register.models import Handover, HandoverLine, Item, Site
from register.rules.strokes import HEIGHT, WIDTH, path_of
from register.wording import shown_day

OVER_EDGES = {"lanyard", "energy-absorbing-lanyard", "retractable"}
INK = 7  # of a drawn line, in units of its box


def _find(ids: Sequence[str]) -> Handover | None:
    rows = Handover.objects.select_related("site", "to_site", "person", "made_by__person")
    return rows.filter(pk=ids[0]).first()


def _rows(handover: Handover) -> Sequence[Handover]:
    return [handover]


def _site(handover: Handover) -> Site:
    site: Site = handover.site
    return site


def _lines(handover: Handover) -> list[HandoverLine]:
    product = ("movement__item__product", "movement__item__site")
    return list(handover.lines.select_related(*product))


def content_of(handover: Handover, _at: datetime) -> Content:
    """It tells what was handed over at that moment, and stays true."""
    lines = _lines(handover)
    number = len(lines)
    pieces = ngettext("%(n)d piece", "%(n)d pieces", number) % {"n": number}
    told = {"what": handover.get_kind_display(), "pieces": pieces, "site": handover.site}
    return Content(
        title=_("Receipt: %(what)s") % told,
        about=_("%(what)s, %(pieces)s, %(site)s") % told,
        blocks=tuple(_blocks(handover, lines)),
    )


def _blocks(handover: Handover, lines: list[HandoverLine]) -> Iterator[Block]:
    yield Identity(tuple(_parties(handover)))
    yield Heading(_("What was handed over"))
    if handover.kind == Handover.Kind.RETURNED:
        yield _returned(lines)
    elif handover.kind == Handover.Kind.DISPATCHED:
        yield _sent(lines)
        yield Words(_("On its way it covers nobody, until it is scanned in where it goes."))
    else:
        yield _issued(lines)
        yield Caution(
            _(
                "Being in date does not mean fit. Do a pre-use check every time. After a fall, or where"
                " anything is wrong: do not use it, and hand it back saying so."
            )
        )
    yield Heading(_("Signature"))
    yield from _signature(handover)


def _parties(handover: Handover) -> Iterator[tuple[str, str]]:
    by = str(handover.made_by) if handover.made_by else _("somebody not recorded")
    who = str(handover.person) if handover.person else _("nobody named")
    moment = moment_words(handover.made_at, handover.site)
    if handover.kind == Handover.Kind.ISSUED:
        yield _("Issued to"), who
        yield _("Issued by"), _("%(who)s, %(moment)s, by account") % {"who": by, "moment": moment}
    elif handover.kind == Handover.Kind.RETURNED:
        yield _("Brought by"), who
        yield _("Taken by"), _("%(who)s, %(moment)s, by account") % {"who": by, "moment": moment}
    else:
        yield _("From"), str(handover.site)
        yield _("To"), str(handover.to_site or "")
        yield _("Sent by"), _("%(who)s, %(moment)s, by account") % {"who": by, "moment": moment}


def _verdict(line: HandoverLine) -> Verdict:
    facts = tuple((str(name), str(value)) for name, value in line.facts)
    return Verdict(line.usable, line.through_on, line.code, facts)


def _judged(line: HandoverLine) -> str:
    """'OK until 14 Aug 2026', with the only use a pass with conditions left; or why not."""
    verdict = _verdict(line)
    return ok_until(verdict) if verdict.usable else verdict_sentence(verdict)


def _known(item: Item) -> tuple[str, str]:
    """Tag and what it is: product, size, serial."""
    parts = (f"{item.product.kind_name}, {item.product}", item.size, item.serial)
    return item.shown_code, ", ".join(part for part in parts if part)


def _issued(lines: list[HandoverLine]) -> Table:
    heads = (_("Tag"), _("Piece"), _("Condition"), _("Limits"), _("Back on"))
    rows = tuple(_issued_row(line) for line in lines)
    return Table(heads, rows, (1.4, 3.6, 2.4, 2.6, 1.5))


def _issued_row(line: HandoverLine) -> Row:
    due = line.movement.due_back_on
    back = shown_day(due) if due else _("no day")
    item = line.movement.item
    return Row((*_known(item), _judged(line), _limits(item), back), strong=not line.usable)


def _limits(item: Item) -> str:
    """What the product's record says of who may use it, and over what."""
    product = item.product
    least, most = product.min_user_kg, product.max_user_kg
    told = []
    if least and most:
        told.append(_("users of %(least)s to %(most)s kg") % {"least": least, "most": most})
    elif most:
        told.append(_("users up to %(most)s kg") % {"most": most})
    if product.equipment_class in OVER_EDGES and not product.edge_tested:
        told.append(_("not over edges"))
    return "; ".join(told) or _("see the maker’s instructions")


def _returned(lines: list[HandoverLine]) -> Table:
    heads = (_("Tag"), _("Piece"), _("Held a fall?"), _("Anything wrong?"), _("What became of it"))
    rows = []
    for line in lines:
        movement = line.movement
        answers = (movement.get_loaded_display(), movement.get_wrong_display())
        rows.append(Row((*_known(movement.item), *answers, _judged(line)), strong=not line.usable))
    return Table(heads, tuple(rows), (1.4, 3.6, 1.3, 1.4, 3))


def _sent(lines: list[HandoverLine]) -> Table:
    """With the last inspection of each: what goes along is evidence of it (SI 2005/735, reg 12)."""
    heads = (_("Tag"), _("Piece"), _("Condition"), _("Last inspection"))
    rows = []
    for line in lines:
        item = line.movement.item
        cells = (*_known(item), _judged(line), _last_inspection(item, line.handover.made_at))
        rows.append(Row(cells, strong=not line.usable))
    return Table(heads, tuple(rows), (1.4, 3.6, 2.8, 3))


def _last_inspection(item: Item, moment: datetime) -> str:
    """The last that had been recorded by then."""
    known = item.inspections.filter(recorded_at__lte=moment).order_by("-performed_on", "-pk")
    last: Inspection | None = known.select_related("inspector").first()
    if last is None:
        return _("none is recorded")
    facts = {
        "kind": last.get_kind_display(),
        "day": shown_day(last.performed_on),
        "verdict": last.get_verdict_display(),
        "who": last.inspector or _("somebody not recorded"),
    }
    return _("%(kind)s, %(day)s: %(verdict)s, %(who)s") % facts


def _signature(handover: Handover) -> Iterator[Block]:
    if handover.signed_at is None:
        yield Words(_("Not signed on the screen: sign here."))
        yield ToWrite((_("Name"), _("Signature"), _("Day")))
        return
    facts = {
        "name": handover.signed_name,
        "moment": moment_words(handover.signed_at, handover.site),
        "how": handover.get_signed_how_display(),
    }
    yield Words(_("%(name)s, %(moment)s, %(how)s.") % facts, strong=True)
    if handover.strokes:
        strokes = tuple(Stroke(path_of(stroke), INK) for stroke in handover.strokes)
        told = _("Signature of %(name)s, as drawn") % facts
        yield Sketch(WIDTH, HEIGHT, strokes, told)


def facts_of(handover: Handover, _at: datetime) -> dict[str, object]:
    return {
        "pieces": [
            [line.movement_id, line.movement.item.code, line.usable, line.code, line.facts]
            for line in _lines(handover)
        ],
        "people": [str(handover.person or ""), str(handover.made_by or "")],
        "signature": [handover.signed_name, handover.signed_how, handover.strokes],
    }


HANDOVER = Kind(
    slug="handover",
    name=gettext_noop("Receipt of a handover"),
    parts={
        "pieces": gettext_noop("the pieces"),
        "people": gettext_noop("who gave and who took"),
        "signature": gettext_noop("the signature"),
    },
    find=_find,
    rows=_rows,
    site=_site,
    content=content_of,
    facts=facts_of,
)
