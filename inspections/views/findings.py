"""Verdicts that need words or ticks: their form, their defects, and the record kept of them."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from inspections.actions.finding import Finding
from inspections.actions.inspecting import inspect as record_inspection
from inspections.actions.kit_inspecting import Contents, inspect_kit
from inspections.checklist_wording import cues_shown, worded
from inspections.checklists import checklist_for
from inspections.forms.bench import NEEDS_A_DEFECT, FindingForm
from inspections.forms.checklist import ChecklistForm, ContentsForm
from inspections.forms.defects import BaseDefects
from inspections.models import Inspection
from inspections.rules.checklists import Answers, Checklist
from inspections.rules.contents import MAY_STAY_SHUT, asks_for_card
from inspections.rules.rounds import NOT_SEEN, Round
from inspections.rules.verdict import VERDICTS
from inspections.views.defects import defect_forms, flaws_of, keep_photos
from inspections.views.rounds import inspector_of, round_of, sign
from inspections.wording import verdict_name
from register import clock
from register.access import fetch, needs
from register.models import Item, Kit
from register.refusal import Refusal
from register.telling import stamp_of

NEED = "inspection.record"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """All the forms of one item at the bench; a round shows these and nothing else."""

    verdict: str
    words: FindingForm
    defects: BaseDefects
    checklist: ChecklistForm | None
    contents: ContentsForm | None

    @property
    def is_valid(self) -> bool:
        every = (self.words, self.defects, self.checklist, self.contents)
        sound = [form.is_valid() for form in every if form is not None]
        return all(sound)


@needs(NEED)
def inspect_finding(request: HttpRequest, code: str, verdict: str) -> HttpResponse:
    """What is wrong, how bad and what was done; signing it records the verdict."""
    if verdict not in VERDICTS or verdict == "pass":
        raise Http404
    return _finding(request, code, verdict)


@needs(NEED)
def inspect_points(request: HttpRequest, code: str) -> HttpResponse:
    """A pass with what must be measured, ticked or answered point by point."""
    return _finding(request, code, "pass")


def _finding(request: HttpRequest, code: str, verdict: str) -> HttpResponse:
    item = fetch(Item.objects.with_product(), request.user, NEED, code=code)
    found = round_of(request)
    if found is None or code not in found.looks:
        messages.error(request, _("Scan %(item)s first.") % {"item": item.shown_code})
        return redirect("inspections:inspect")
    bench = bench_of(request, item, kind=found.kind, verdict=verdict)
    if bench.is_valid and says_something(bench):
        try:
            record_verdict(request, found, item, verdict=verdict, bench=bench)
        except Refusal as refusal:
            bench.words.add_error(None, refusal.sentence)
        else:
            return redirect("inspections:inspect")
    if request.method == "POST":
        keep_photos(request, item, bench.defects)
    page: dict[str, object] = {"item": item, "verdict": verdict, "name": verdict_name(verdict)}
    page["cues"] = cues_shown(item.product.equipment_class)
    page |= {"form": bench.words, "defects": bench.defects, "checklist": bench.checklist}
    page |= {"contents": bench.contents, "stopped": code in found.unsigned}
    return render(request, "inspections/inspect_finding.html", page)


def bench_of(request: HttpRequest, item: Item, *, kind: str, verdict: str) -> Bench:
    """The forms that this verdict on this item asks for, filled in with what was sent."""
    day, found = clock.today(item.site), checklist_for(item.product.equipment_class)
    sent = request.POST if request.method == "POST" else None
    seen = verdict not in NOT_SEEN
    wanted = verdict in NEEDS_A_DEFECT
    return Bench(
        verdict=verdict,
        words=FindingForm(sent, verdict=verdict, day=day),
        defects=defect_forms(
            request, day=day, wanted=wanted, checklist=found, **_begun(request, found)
        ),
        checklist=ChecklistForm(sent, checklist=found, kind=kind) if seen else None,
        contents=_contents(sent, item, kind, found) if seen else None,
    )


def _begun(request: HttpRequest, found: Checklist) -> dict[str, Any]:
    """The defect begun by a tap on Not OK at a point."""
    slug = request.GET.get("point", "")
    point = next((point for point in found.points if point.slug == slug), None)
    part = worded(found).part_of(slug)
    if point is None or part is None or request.method == "POST":
        return {}
    return {"initial": [{"point": slug, "grade": point.grade, "place": part.name}]}


def _contents(sent: Any, item: Item, kind: str, found: Checklist) -> ContentsForm | None:
    kit = kit_of(item)
    if kit is None or not asks_for_card(found, kind):
        return None
    parts = list(kit.parts.select_related("item"))
    return ContentsForm(sent, parts=parts, may_stay_shut=kind in MAY_STAY_SHUT and kit.seal_intact)


def kit_of(item: Item) -> Kit | None:
    """The kit whose bag the item is."""
    return Kit.objects.filter(item=item).first() if item.product.kind.is_rescue_kit else None


def says_something(bench: Bench) -> bool:
    """A pass with conditions names its condition; else it is a plain pass."""
    told = bench.words.cleaned_data
    if bench.verdict != "pass-with-conditions" or bench.defects.told:
        return True
    if told["good_until_on"] or told["restricted_to"] or told["note"]:
        return True
    bench.words.add_error(
        None, _("Give the observation, the shorter day or the one use; without any it is a pass.")
    )
    return False


ALL_GOOD = Answers(statement="all-good", points={}, measured={})


def record_verdict(
    request: HttpRequest, found: Round, item: Item, *, verdict: str, bench: Bench | None = None
) -> Inspection:
    """Record the verdict once, however often the button was pressed, and count it in the round."""
    look = uuid.UUID(found.looks[item.code].finding)
    told = Asked(verdict=verdict, kind=found.kind, covers_periodic=found.covers_periodic, look=look)
    finding = finding_of(request, item, told, bench)
    contents, stamp = contents_of(item, finding, bench), stamp_of(request)
    kit = kit_of(item)
    if kit is None or contents is None:
        inspection = record_inspection(item, finding=finding, stamp=stamp)
    else:
        inspection = inspect_kit(kit, finding=finding, contents=contents, stamp=stamp)
    sign(request, found, inspection)
    return inspection


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Which verdict on which kind of look, and the id that the finding has from its first sight."""

    verdict: str
    kind: str
    covers_periodic: bool
    look: uuid.UUID


def finding_of(request: HttpRequest, item: Item, asked: Asked, bench: Bench | None) -> Finding:
    """What was told in the forms; without any it is the big button: all looked at, all good."""
    told = bench.words.cleaned_data if bench else {}
    seen = asked.verdict not in NOT_SEEN
    answers = bench.checklist.answers if bench and bench.checklist else ALL_GOOD
    return Finding(
        kind=asked.kind,
        verdict=asked.verdict,
        performed_at=clock.now(),
        inspector=inspector_of(request),
        flaws=flaws_of(request, item, bench.defects.told if bench else []),
        note=told.get("note", ""),
        good_until_on=told.get("good_until_on"),
        restricted_to=told.get("restricted_to", ""),
        covers_periodic=asked.covers_periodic,
        checklist=checklist_for(item.product.equipment_class) if seen else None,
        answers=answers if seen else Answers(points={}, measured={}),
        id=asked.look,
    )


def contents_of(item: Item, finding: Finding, bench: Bench | None) -> Contents | None:
    """What was ticked on the contents card; None for what is no kit or has no card to tick."""
    found, form = finding.checklist, bench.contents if bench else None
    if found is None or not item.product.kind.is_rescue_kit or kit_of(item) is None:
        return None
    if not asks_for_card(found, finding.kind):
        return None
    told = form.cleaned_data if form else {}
    return Contents(
        seen=form.ticked if form else (),
        left_shut=told.get("whole", False),
        seal=told.get("seal", "").strip(),
    )
