"""What a line does, told: of which item, where it is, who has it and which kit is out with it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from django.core.exceptions import ObjectDoesNotExist

from inspections.actions.finding import Finding
from inspections.intake.reports.wording import said_of
from inspections.rules.verdict import effect_of
from inspections.wording import kind_name, verdict_name
from register.actions.conditions import STAYS_OUT
from register.intake.rows import Problem
from register.models import Item
from register.rules.conditions import Condition
from register.wording import lower_first, shown_day


def about_item(item: Item) -> str:
    """'TW4-12K · Halvard Ridgeline 2 · 000412'."""
    return " · ".join((item.shown_code, str(item.product), item.serial))


def goes_in(finding: Finding, day: date | None, notes: Iterable[Problem]) -> str:
    """'Pass, periodic examination of 9 Mar 2026.'"""
    told = said_of(
        "goes-in",
        verdict=verdict_name(finding.verdict),
        kind=lower_first(kind_name(finding.kind)),
        day=shown_day(day) if day else "",
    )
    return " ".join([told, *(said_of(note.code, **note.facts) for note in notes)])


def puts_out(item: Item, finding: Finding, authorised: bool) -> str:  # noqa: FBT001
    """What bad news does to the item, where it is, and what is out with it."""
    effect = effect_of(finding.verdict, authorised=authorised)
    code = {"withdraw": "withdraws", "quarantine": "quarantines"}.get(effect, "quarantines")
    if item.condition in {*STAYS_OUT, Condition.DESTROYED}:
        code = "stays-out"
    said = said_of(code, verdict=verdict_name(finding.verdict), day=shown_day(finding.performed_at))
    flaws = "; ".join(flaw.what for flaw in finding.flaws)
    return " ".join(filter(None, (said, f"{flaws}." if flaws else "", where_it_is(item))))


def holds(item: Item, verdict: str, why: str) -> str:
    """Into quarantine though the line cannot be recorded."""
    return f"{said_of('holds', verdict=verdict_name(verdict), why=why)} {where_it_is(item)}"


def unsure(verdict: str, why: Iterable[str]) -> str:
    """Bad news of nothing we can stop."""
    return " ".join([said_of("bad-unsure", verdict=verdict_name(verdict).lower()), *why])


def where_it_is(item: Item) -> str:
    """'At Corrick Quay, with Tomasz Bielak. The kit RK-3 is out with it.'"""
    holder = said_of("with-holder", name=item.holder.name) if item.holder else ""
    said = said_of("found", site=item.site.name, holder=holder)
    kit = _kit_of(item)
    return f"{said} {said_of('out-with-it', kit=kit)}" if kit else said


def _kit_of(item: Item) -> str:
    """The kit whose contents card needs this very piece."""
    try:
        part = item.part_of
    except ObjectDoesNotExist:
        return ""
    return str(part.kit.name) if part.required else ""
