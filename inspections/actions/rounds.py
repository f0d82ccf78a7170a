"""A round of inspections: begun with its list, gone item by item; bad news counts at the first tap."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from inspections.actions.finding import Finding
from inspections.actions.inspecting import QUARANTINE_AFTER, inspect
from inspections.actions.kit_inspecting import Contents, inspect_kit
from inspections.models import Inspection, Round, RoundLine
from inspections.rules.kinds import KINDS
from inspections.rules.round_lines import EXPECTED, contradicts, state_after, takes
from inspections.rules.verdict import effect_at_first_tap
from register.actions.conditions import quarantine
from register.models import Item, Kit, Person, Site, Stamp, User, record
from register.refusal import Refusal

MOST_ITEMS = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What a round is to be: ``id`` is made where it is begun, ``chosen`` says in words what was
    asked for when the list was made. ``began_at`` is earlier than the act where it began without
    signal."""

    site: Site
    kind: str
    covers_periodic: bool = False
    chosen: str = ""
    id: uuid.UUID
    began_at: datetime | None = None


@transaction.atomic
def begin_round(
    plan: Plan, *, inspector: Person | None, items: Sequence[Item], stamp: Stamp
) -> Round:
    """Open a round with the items it expects; the same round sent twice is begun once."""
    if inspector is None:
        raise Refusal(
            "no-inspector",
            _(
                "Your login is linked to no person, so nobody could sign this round. Ask an"
                " administrator to link it; until then take bad news under Inspect."
            ),
        )
    Person.objects.select_for_update().get(pk=inspector.pk)  # the same round sent twice at once
    if known := Round.objects.filter(pk=plan.id).first():
        return _known_round(known, inspector)
    _refuse_plan(plan, items)
    found = Round(
        **{name: getattr(plan, name) for name in ("id", "site", "kind", "covers_periodic")},
        inspector=inspector,
        chosen=plan.chosen[:300],
        began_at=plan.began_at or stamp.at,
        began_by=stamp.by,
    )
    found.full_clean()
    found.save(force_insert=True)
    lines = [RoundLine(round=found, item=item, listed=True, state=EXPECTED) for item in items]
    RoundLine.objects.bulk_create(lines, batch_size=200)
    facts = {"kind": found.kind, "expected": [item.code for item in items]}
    record("begin-round", {found: facts}, stamp=stamp, sites=[found.site_id])
    return found


def _known_round(known: Round, inspector: Person) -> Round:
    """The round that was begun under this id, if it is the inspector's."""
    if known.inspector_id != inspector.pk:
        raise Refusal(
            "round-of-another",
            _("This is the round of %(inspector)s: begin your own.")
            % {"inspector": known.inspector},
        )
    return known


@transaction.atomic
def look_in_round(
    found: Round, item: Item, *, finding: Finding, contents: Contents | None = None, stamp: Stamp
) -> RoundLine:
    """Record the look: out counts at once, a pass counts once the round is signed.

    ``finding.id`` is made where the item was seen: the same look sent twice is recorded once.
    """
    found = locked_round(found)
    known = RoundLine.objects.filter(look=finding.id).exclude(inspection=None).first()
    if known:
        return the_same(known, found, item)
    refuse_unless_going(found, item, stamp)
    _refuse_contradiction(found, item, finding.verdict)
    told = replace(
        finding,
        kind=found.kind,
        covers_periodic=found.covers_periodic,
        inspector=found.inspector,
        waits=True,
    )
    line = line_for(found, item, finding.verdict, finding.id)
    line.inspection = _inspected(item, told, contents, stamp)
    line.state, line.stopped, line.at = state_after(finding.verdict), "", finding.performed_at
    line.save()
    facts = {"item": item.code, "inspection": str(finding.id), "verdict": finding.verdict}
    record("look-in-round", {found: facts}, stamp=stamp.again())
    return line


def _inspected(item: Item, told: Finding, contents: Contents | None, stamp: Stamp) -> Inspection:
    if contents is None:
        return inspect(item, finding=told, stamp=stamp)
    kit = Kit.objects.get(item=item)
    return inspect_kit(kit, finding=told, contents=contents, stamp=stamp)


@transaction.atomic
def stop_in_round(
    found: Round, item: Item, *, verdict: str, look: uuid.UUID, stamp: Stamp
) -> RoundLine | None:
    """The first tap of a bad verdict: out now, and what is wrong is written down after.

    The item is out whatever the round is; None where the round is closed, of another, or elsewhere
    and so has no line for it.
    """
    if effect_at_first_tap(verdict) != "quarantine":
        raise Refusal("verdict-unknown", _("Choose fail, refer or serial differs."))
    found = locked_round(found)
    if known := RoundLine.objects.filter(look=look).first():
        return the_same(known, found, item)
    quarantine(item, reason=QUARANTINE_AFTER[verdict], stamp=stamp)
    if why_not_going(found, item, stamp):
        return None
    line = line_for(found, item, verdict, look)
    line.state, line.stopped, line.at = state_after(verdict), verdict, stamp.at
    line.save()
    facts = {"item": item.code, "stopped": verdict}
    record("stop-in-round", {found: facts}, stamp=stamp.again())
    return line


def locked_round(found: Round) -> Round:
    """The round as it stands now, locked until the transaction ends."""
    rows = Round.objects.select_for_update(of=("self",)).select_related("site", "inspector")
    return rows.get(pk=found.pk)


def is_own(found: Round, by: User | None) -> bool:
    """Whether the user is the person whose round it is."""
    return by is not None and by.person_id == found.inspector_id


def refuse_unless_going(found: Round, item: Item | None, stamp: Stamp) -> None:
    """Only its inspector goes on with a round, only while it is open, only at its site."""
    if refusal := why_not_going(found, item, stamp):
        raise refusal


def why_not_going(found: Round, item: Item | None, stamp: Stamp) -> Refusal | None:
    """Why the round takes no line about the item from this person; None where it does."""
    if not is_own(found, stamp.by):
        return Refusal(
            "round-of-another",
            _(
                "This is the round of %(inspector)s: begin your own, and your look stands beside"
                " theirs."
            )
            % {"inspector": found.inspector},
        )
    if not found.is_open:
        return Refusal(
            "round-closed", _("This round is closed: nothing is added to it. Begin another.")
        )
    if item is not None and item.site_id != found.site_id:
        return Refusal(
            "elsewhere",
            _(
                "%(item)s belongs to %(site)s in the register, not to %(site2)s. Have it booked in"
                " here first; bad news about it is taken on its own page."
            )
            % {"item": item.shown_code, "site": item.site, "site2": found.site},
        )
    return None


def _refuse_plan(plan: Plan, items: Sequence[Item]) -> None:
    if plan.kind not in KINDS:
        raise Refusal("kind-unknown", _("Choose a kind of inspection."))
    if len(items) > MOST_ITEMS:
        raise Refusal(
            "list-too-long",
            _(
                "%(number)s items are more than one round can hold (%(MOST_ITEMS)s). Choose a zone,"
                " a class or fewer days."
            )
            % {"number": len(items), "MOST_ITEMS": MOST_ITEMS},
        )
    strange = [item for item in items if item.site_id != plan.site.pk]
    if strange:
        raise Refusal(
            "elsewhere",
            _("%(strange)s is not at %(site)s.")
            % {"strange": strange[0].shown_code, "site": plan.site},
        )


def the_same(known: RoundLine, found: Round, item: Item | None = None) -> RoundLine:
    """The line that this look has; an id kept for another item or round is not this look."""
    if known.round_id != found.pk or (item and known.item_id != item.pk):
        what = item.shown_code if item else "it"
        raise Refusal(
            "recorded-for-another",
            _("Nothing is recorded for %(what)s: look at it anew.") % {"what": what},
        )
    return known


def _refuse_contradiction(found: Round, item: Item, verdict: str) -> None:
    seen = found.lines.filter(item=item).values_list("state", flat=True)
    if contradicts(seen, verdict):
        raise Refusal(
            "was-in-the-hand",
            _("%(item)s was looked at in this round, so it was there. Nothing is changed.")
            % {"item": item.shown_code},
        )


def line_for(found: Round, item: Item, verdict: str, look: uuid.UUID) -> RoundLine:
    """The line that was stopped with this look, else one that takes the verdict, else a new one."""
    lines = list(found.lines.filter(item=item))
    line = next((one for one in lines if one.look == look), None)
    if line is None:
        line = next((one for one in lines if takes(one.state, verdict)), None)
    line = line or RoundLine(round=found, item=item)
    line.look = look
    return line
