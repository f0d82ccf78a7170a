"""A round as its pages show it: its list, its running count, who else is at the same crate."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from inspections.conditions import states_of
from inspections.due_board import falling_due
from inspections.models import Inspection, Round, RoundLine
from inspections.rules import round_lines
from inspections.rules.item_facts import PASSES
from inspections.rules.round_lines import EXPECTED, MAY_STAY_UNSIGNED, OUT, SEEN, UNSIGNED, Tally
from inspections.rules.verdict import Verdict, usable
from inspections.wording import kind_name, not_counted_sentence, verdict_name, verdict_sentence
from register import clock
from register.models import Item, Site
from register.wording import class_name, lower_first, shown_day


@dataclass(frozen=True, slots=True, kw_only=True)
class LineShown:
    """One line in words. ``other`` says who else was at the item meanwhile, or has it on a list."""

    line: RoundLine
    time: str
    words: str
    is_out: bool
    other: str = ""
    next_due: str = ""


def items_chosen(site: Site, told: dict[str, Any], today: date) -> QuerySet[Item]:
    """What a round is to see: in service, here to be inspected, and all that was chosen."""
    found = falling_due().filter(site=site)
    if told.get("days") is not None:
        found = found.filter(Q(good_on__lte=today + timedelta(days=told["days"])) | Q(good_on=None))
    if told.get("zone"):
        found = found.filter(zone=told["zone"])
    if told.get("equipment_class"):
        found = found.filter(product__equipment_class=told["equipment_class"])
    if told.get("holder"):
        found = found.filter(holder__name__icontains=told["holder"])
    if told.get("place"):
        found = found.filter(place__icontains=told["place"])
    if kit := told.get("kit"):
        found = found.filter(Q(pk=kit.item_id) | Q(part_of__kit=kit))
    return found.order_by("product__equipment_class", "code")


def chosen_words(told: dict[str, Any]) -> str:
    """What was asked for when the list was made: 'due within 14 days, zone Silo head'."""
    if told.get("open_list"):
        return _("no list: what was put before the inspector")
    said = []
    if told.get("days") is not None:
        said.append(_("due within %(n)d days") % {"n": told["days"]})
    for name, words in (
        ("zone", _("zone %(it)s")),
        ("holder", _("on issue to %(it)s")),
        ("place", _("place %(it)s")),
        ("kit", _("kit %(it)s")),
    ):
        if told.get(name):
            said.append(words % {"it": told[name]})
    if told.get("equipment_class"):
        said.append(lower_first(class_name(told["equipment_class"])))
    return ", ".join(said) or _("everything in service")


def lines_of(found: Round) -> list[RoundLine]:
    """All lines with what they show; two queries, however many."""
    rows = found.lines.select_related(
        "item__product", "item__site", "item__zone", "item__holder", "inspection"
    )
    return list(rows.prefetch_related("inspection__defects"))


def tally_of(lines: Iterable[RoundLine]) -> Tally:
    """The running count."""
    return round_lines.tally(
        round_lines.Line(
            key=f"item {line.item_id}" if line.item_id else f"text {line.text.upper()}",
            state=line.state,
            listed=line.listed,
        )
        for line in lines
    )


def tallies_of(rounds: Sequence[Round]) -> dict[object, Tally]:
    """The counts of several rounds in one query."""
    lines: dict[object, list[RoundLine]] = {one.pk: [] for one in rounds}
    for line in RoundLine.objects.filter(round__in=rounds):
        lines[line.round_id].append(line)
    return {pk: tally_of(found) for pk, found in lines.items()}


def shown_lines(found: Round, lines: Sequence[RoundLine]) -> list[LineShown]:
    """Each line in words, the last touched first; three queries, however many."""
    others = others_at(found, [line.item_id for line in lines if line.item_id])
    return [
        shown_line(found, line, others.get(line.item_id or 0, "")) for line in _latest_first(lines)
    ]


def _latest_first(lines: Sequence[RoundLine]) -> list[RoundLine]:
    touched = [(line.at, line.pk, line) for line in lines if line.at]
    rest = [line for line in lines if not line.at]
    return [line for _at, _pk, line in sorted(touched, reverse=True)] + rest


def shown_line(found: Round, line: RoundLine, other: str = "", next_due: str = "") -> LineShown:
    return LineShown(
        line=line,
        time=time_at(found.site, line.at) if line.at else "",
        words=line_words(line),
        is_out=line.state not in (SEEN, EXPECTED),
        other=other,
        next_due=next_due,
    )


def time_at(site: Site, moment: datetime) -> str:
    """'09:14', on the site's own clock."""
    return f"{moment.astimezone(ZoneInfo(site.time_zone)):%H:%M}"


def line_words(line: RoundLine) -> str:
    """What came of the line, as it stands now."""
    one = line.inspection
    if line.stopped:
        return _("out of use, what is wrong is not written down yet")
    if one is None:
        return lower_first(_(round_lines.LINE_STATES[line.state]))
    if one.verdict not in PASSES:
        return lower_first(verdict_name(one.verdict))
    if not one.counts:
        return not_counted_sentence(one.counts_not_because)
    return lower_first(verdict_name(one.verdict)) if one.verdict != "pass" else _("passed")


def others_at(found: Round, items: Iterable[int]) -> dict[int, str]:
    """Who else looked at each item since the round began, or has it on the list of an open round.

    Two queries. What was done is told rather than what is planned.
    """
    keys = set(items)
    told: dict[int, str] = {}
    elsewhere = RoundLine.objects.filter(
        item__in=keys, round__signed_at=None, round__dropped_at=None
    ).exclude(round=found)
    for line in elsewhere.select_related("round__inspector", "round__site").order_by("at", "pk"):
        if line.item_id:
            told[line.item_id] = _other_round(line)
    looks = Inspection.objects.standing().filter(item__in=keys, performed_at__gte=found.began_at)
    mine = Q(round_line__round=found)
    for one in looks.exclude(mine).select_related("inspector").order_by("performed_at"):
        facts = {
            "who": one.inspector_name or _("Somebody"),
            "at": time_at(found.site, one.performed_at),
        }
        facts["what"] = lower_first(verdict_name(one.verdict))
        told[one.item_id] = _("%(who)s looked at it at %(at)s: %(what)s.") % facts
    return told


def _other_round(line: RoundLine) -> str:
    who, site = line.round.inspector.name, line.round.site
    if line.at and line.state in (SEEN, OUT):
        facts = {"who": who, "at": time_at(site, line.at), "what": line_words(line)}
        return _("%(who)s had it in the hand at %(at)s: %(what)s.") % facts
    facts = {"who": who, "at": time_at(site, line.round.began_at)}
    return _("It is on the list of %(who)s too, in a round begun at %(at)s.") % facts


def report_lines(found: Round, lines: Sequence[RoundLine]) -> list[LineShown]:
    """For the paper: in the order of the looks, each with its next due day as it stands now."""
    items = list({line.item.pk: line.item for line in lines if line.item}.values())
    states, today = states_of(items), clock.today(found.site)
    said = {item.pk: verdict_sentence(usable(states[item.pk], today)) for item in items}
    order = list(reversed([line for line in _latest_first(lines) if line.at]))
    rest = [line for line in lines if not line.at]
    return [
        shown_line(found, line, next_due=said.get(line.item_id or 0, ""))
        for line in [*order, *rest]
    ]


def is_waiting(item: Item, verdict: Verdict) -> bool:
    """Whether a pass that would bring the item back waits for the signature of its round."""
    if not round_lines.a_pass_mends(verdict.code, dict(verdict.facts).get("clock", "")):
        return False
    looks = Inspection.objects.standing().filter(item=item, counts_not_because=UNSIGNED)
    return looks.filter(verdict__in=PASSES).exists()


def unsigned_for_long(sites: Iterable[Site], moment: datetime) -> list[Round]:
    """Open rounds that nobody has signed for over a day."""
    late = Round.objects.open().filter(
        site__in=list(sites), began_at__lt=moment - MAY_STAY_UNSIGNED
    )
    return list(late.select_related("site", "inspector"))


def round_words(found: Round) -> str:
    """'Periodic examination, 9 Mar 2026, 07:15'"""
    day = shown_day(clock.day_at(found.site, found.began_at))
    return f"{kind_name(found.kind)}, {day}, {time_at(found.site, found.began_at)}"
