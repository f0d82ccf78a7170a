"""Inspecting a rescue kit: each piece ticked against the contents card, then a new seal."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

from django.db import transaction

from inspections.actions.finding import Finding
from inspections.actions.inspecting import inspect
from inspections.checklist_wording import contents_sentence
from inspections.models import Inspection
from inspections.rules.contents import CardLine, contents_problem
from inspections.rules.item_facts import PASSES
from register.actions.kits import seal_kit, unseal_kit
from register.actions.locking import locked_kit
from register.models import Kit, SealEvent, Stamp
from register.refusal import Refusal


@dataclass(frozen=True, slots=True)
class Contents:
    """What was done with the bag: the tags of the pieces in the hand, left shut, the new seal."""

    seen: Collection[str] = ()
    left_shut: bool = False
    seal: str = ""


@transaction.atomic
def inspect_kit(kit: Kit, *, finding: Finding, contents: Contents, stamp: Stamp) -> Inspection:
    """Record the look at the bag with its ticks; opened and passed, it is sealed anew in one act."""
    kit = locked_kit(kit)
    if known := Inspection.objects.filter(pk=finding.id, item_id=kit.item_id).first():
        return known
    lines = _lines(kit, contents.seen)
    code = contents_problem(
        finding.verdict,
        finding.kind,
        lines,
        left_shut=contents.left_shut,
        sealed=kit.seal_intact,
    )
    if code:
        raise Refusal(code, contents_sentence(code, [line for line in lines if not line.seen]))
    told = replace(finding, contents=lines, left_shut=contents.left_shut)
    inspection = inspect(kit.item, finding=told, stamp=stamp)
    if not contents.left_shut and (contents.seal or finding.verdict in PASSES):
        _seal(kit, contents.seal, inspection, stamp)
    return inspection


def _lines(kit: Kit, seen: Collection[str]) -> tuple[CardLine, ...]:
    parts = kit.parts.exclude(item=None).select_related("item")
    return tuple(
        CardLine(part.role, part.item.code, part.item.serial, part.item.code in seen)
        for part in parts
        if part.item
    )


def _seal(kit: Kit, number: str, inspection: Inspection, stamp: Stamp) -> None:
    """With the number given; a kit sealed on this very day may be closed already."""
    if not number and kit.seal_intact and kit.sealed_on == inspection.performed_on:
        return
    if kit.seal_intact:
        opened = SealEvent.Kind.OPENED
        unseal_kit(kit, kind=opened, reason="opened for inspection", stamp=stamp.again())
    seal_kit(kit, number=number, on=inspection.performed_on, stamp=stamp.again())
