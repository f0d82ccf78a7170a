"""An examiner's report on its way in: what its lines would do, doing it, taking it back."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from inspections.actions.finding import Finding
from inspections.actions.inspecting import correct_inspection, inspect
from inspections.intake.reports.answers import Answered, questions, see
from inspections.intake.reports.columns import REPORT
from inspections.intake.reports.held import items_by_key, on_record, register_now
from inspections.intake.reports.judging import Act, Judge, Meant
from inspections.intake.reports.matching import matched
from inspections.intake.reports.stated import Stated, lines_of
from inspections.intake.ways import Line, ListOf, Undone, Way
from inspections.models import Inspection, Intake
from inspections.rules.item_facts import PASSES
from register import clock
from register.actions.conditions import quarantine
from register.intake.reading import Sheets
from register.intake.rows import Problem
from register.models import Item, Person, Stamp
from register.refusal import Refusal

# fmt: off
LISTS = (
    ListOf(slug="unsure", name=gettext_noop("Say fail, item not found"), about=gettext_noop("Bad news of a piece that no line surely names. Nothing is stopped by it: find these first."), stays_out=True, is_loud=True),
    ListOf(slug="fails", name=gettext_noop("Put out of use"), about=gettext_noop("These act first, and at once."), acts=True, is_loud=True),
    ListOf(slug="holds", name=gettext_noop("Put out of use, record waits"), about=gettext_noop("Bad news acts though something is wrong with the line; it also comes back to you to be put right."), acts=True, stays_out=True, is_loud=True),
    ListOf(slug="out", name=gettext_noop("Stay out"), about=gettext_noop("Once the others are in you get these lines back as a workbook, each with its reason."), stays_out=True),
    ListOf(slug="in", name=gettext_noop("Go in"), about=gettext_noop("What is compared is the serial and the mark; see that product and serial are those of the paper."), acts=True),
    ListOf(slug="known", name=gettext_noop("On record already")),
    ListOf(slug="twice", name=gettext_noop("Same line again")),
)
# fmt: on


def plan(intake: Intake, sheets: Sheets) -> list[Line]:
    """What each line would do; nothing is changed."""
    mapping, answered = REPORT_WAY.mapping(intake), Answered(intake)
    seen = intake.seen
    proved = seen["order"] if seen["order"] in {"day-first", "month-first"} else ""
    order = intake.choices.get("date_order", "") or proved
    left_out = frozenset(intake.choices.get("left_out", ()))
    register = register_now(intake)
    meant = []
    for stated in lines_of(sheets, mapping, order=order, left_out=left_out):
        line = stated.on_day(answered.performed_on)
        verdict, kind = answered.verdict_of(line.verdict), answered.kind_of(line.kind)
        problems = (*line.problems, *_unread(line, verdict, kind))
        meant.append(Meant(line, matched(line, register), verdict, kind, problems))
    keys = {one.match.item.pk for one in meant if one.match.item}
    judge = Judge(
        intake=intake,
        mapping=mapping,
        answered=answered,
        items=items_by_key(keys),
        record=on_record(keys),
        people=Person.objects.in_bulk(answered.people),
        stamp=Stamp(by=intake.by, at=clock.now()),
    )
    return judge.lines(meant)


def _unread(line: Stated, verdict: str, kind: str) -> list[Problem]:
    found = []
    if not verdict:
        code = "verdict-unknown" if line.verdict else "verdict-missing"
        found.append(Problem(code, "verdict", {"value": line.verdict}))
    if not kind:
        found.append(Problem("kind-unknown", "kind", {"value": line.kind}))
    return found


def act(intake: Intake, line: Line, stamp: Stamp) -> str:
    """Record the finding, or only stop the item; the key of the record."""
    wanted: Act = line.act
    item = Item.objects.get(pk=wanted.item)
    if wanted.finding is None:
        quarantine(item, reason=wanted.reason, note=wanted.note, stamp=stamp)
        return ""
    return str(inspect(item, finding=wanted.finding, stamp=stamp).pk)


def undo(intake: Intake, stamp: Stamp) -> Undone:
    """Each pass of the file gives way to 'not presented': no date rests on it any longer.

    What it put out stays out. A pass corrected since stays as it was corrected.
    """
    made = Inspection.objects.filter(pk__in=intake.made).select_related("item")
    bad = sum(1 for one in made if one.verdict not in PASSES)
    stays = [_bad_stays(bad)] if bad else []
    number = 0
    for one in made:
        if one.verdict not in PASSES:
            continue
        try:
            with transaction.atomic():
                _take_back(one, intake, stamp.again())
        except Refusal as refusal:
            stays.append(f"{one.item.shown_code}: {refusal.sentence}")
        else:
            number += 1
    return Undone(taken_back=number, stays=stays)


def _bad_stays(number: int) -> str:
    return ngettext(
        "%(number)d finding that put an item out stays: it comes back by an inspection of its own.",
        "%(number)d findings that put items out stay: they come back by inspections of their own.",
        number,
    ) % {"number": number}


def _take_back(one: Inspection, intake: Intake, stamp: Stamp) -> None:
    instead = Finding(
        kind=one.kind,
        verdict="not-presented",
        performed_at=one.performed_at,
        inspector=one.inspector,
        inspector_text=one.inspector_text,
        source=Inspection.Source.REPORT,
        document=intake.document,
    )
    reason = _("The file %(file)s was taken back.") % {"file": intake.document.name}
    correct_inspection(one, finding=instead, reason=reason[:200], stamp=stamp)


REPORT_WAY = Way(
    kind=Intake.Kind.REPORT,
    book=REPORT,
    lists=LISTS,
    see=see,
    questions=questions,
    plan=plan,
    act=act,
    undo=undo,
    needed=(("serial", "tag"), ("verdict",)),
    document="report",
)
