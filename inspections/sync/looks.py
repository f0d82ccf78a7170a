"""A look at an item, made without signal: alone, or in a round."""

from __future__ import annotations

from datetime import datetime

from django.utils.translation import gettext as _

from inspections.actions.finding import Finding, Flaw
from inspections.actions.inspecting import inspect
from inspections.actions.kit_inspecting import Contents, inspect_kit
from inspections.actions.round_kept import note_kept_look
from inspections.actions.rounds import look_in_round
from inspections.bound import UNBOUND, notices_on
from inspections.checklists import checklist_for
from inspections.models import Inspection, Round
from inspections.rules.checklists import Answers, Checklist, hash_of
from inspections.rules.item_facts import PASSES
from inspections.rules.verdict import VERDICTS
from inspections.sync.bodies import Body, unsound
from inspections.sync.context import Context, Done, Keep, Outcome, Wait
from register.models import Entry, Item, Kit
from register.rules.conditions import Condition

MAY_PASS = frozenset({Condition.IN_SERVICE, Condition.RECEIVED})
PUT_OUT_BY = ("quarantine", "withdraw", "report-lost", "report-found", "take-back-from-service")


def look(body: Body, told: Context) -> Done:
    """Recorded as it would be online. A pass on what is out, or was put out since, is kept."""
    item = told.item(body.text("item", 60))
    told.demand("inspection.record", item.site_id, item.bound_for_id)
    found = round_of(body, told)
    finding = finding_of(body, item, told)
    is_pass = finding.verdict in PASSES
    if is_pass and not told.decided and (why := why_kept(item, finding.performed_at)):
        if found:
            note_kept_look(found, item, look=finding.id, at=finding.performed_at, stamp=told.stamp)
        return Done(Outcome.KEPT, why, kept_sentence(item))
    if Inspection.objects.filter(pk=finding.id).exclude(item=item).exists():
        raise unsound("id")
    contents = contents_of(body, item)
    if found and not told.decided:
        look_in_round(found, item, finding=finding, contents=contents, stamp=told.stamp)
    elif contents:
        kit = Kit.objects.get(item=item)
        inspect_kit(kit, finding=finding, contents=contents, stamp=told.stamp)
    else:
        inspect(item, finding=finding, stamp=told.stamp)
    return Done(result=f"inspection:{finding.id}")


def round_of(body: Body, told: Context) -> Round | None:
    """The round it was made in; the event waits until that has begun here."""
    key = body.key("round")
    if key is None:
        return None
    found = Round.objects.filter(pk=key).select_related("site").first()
    if found is None and not told.decided:
        raise Wait(f"round:{key}")
    return found


def why_kept(item: Item, looked_at: datetime) -> str:
    """Why a pass made without signal is not simply recorded, as a code; '' where it is."""
    row = Item.objects.select_for_update().get(pk=item.pk)
    if row.condition not in MAY_PASS:
        return "out-of-use"
    if notices_on([row]).get(row.pk, UNBOUND).held_by:
        return "held-by-notice"
    since = Entry.objects.filter(
        thing_kind="item",
        thing_id=str(row.pk),
        act__verb__in=PUT_OUT_BY,
        act__at__gte=looked_at,
    )
    return "put-out-since" if since.exists() else ""


def kept_sentence(item: Item) -> str:
    return _(
        "%(item)s was put out of use: your pass is kept and changes nothing. A competent person or"
        " the stores decide about it."
    ) % {"item": item.shown_code}


def finding_of(body: Body, item: Item, told: Context) -> Finding:
    """What the inspector tells, with the time it counts as made."""
    verdict = body.text("verdict", 24)
    if verdict not in VERDICTS:
        raise unsound("verdict")
    is_good = verdict in PASSES
    checklist = _checklist(body, item, is_good=is_good)
    measured = body.amounts("measured") if checklist else {}
    points = body.words("answers") if checklist else {}
    statement = body.text("statement", 12) if checklist else ""
    return Finding(
        id=told.event.pk,
        kind=body.text("kind", 24),
        verdict=verdict,
        performed_at=told.performed_at(item, is_good=is_good),
        inspector=told.inspector,
        flaws=[_flaw(one, told) for one in body.parts("defects")],
        note=body.text("note"),
        good_until_on=body.day("good_until_on"),
        restricted_to=body.text("restricted_to", 60),
        covers_periodic=body.flag("covers_periodic"),
        checklist=checklist,
        answers=Answers(points=points, measured=measured, statement=statement),
    )


def _flaw(body: Body, told: Context) -> Flaw:
    return Flaw(
        grade=body.text("grade", 1),
        what=body.text("what", 200),
        place=body.text("place", 80),
        point=body.text("point", 60),
        action=body.text("action", 200),
        danger_by_on=body.day("danger_by_on"),
        photo=told.photo(body.text("photo", 64)),
    )


def _checklist(body: Body, item: Item, *, is_good: bool) -> Checklist | None:
    """The list it was judged by, if that is the one in force. A pass by another one is decided on;
    bad news is recorded without its answers, which stay in the event."""
    asked = body.text("checklist", 64)
    found = checklist_for(item.product.equipment_class)
    if asked == hash_of(found):
        return found
    if is_good:
        raise Keep(
            "checklist-changed",
            _("%(item)s was judged by a checklist that is not in force: look at it anew.")
            % {"item": item.shown_code},
        )
    return None


def contents_of(body: Body, item: Item) -> Contents | None:
    """What was done with the bag, where the item is a kit."""
    if not Kit.objects.filter(item=item).exists():
        return None
    told = body.part("contents") or Body({})
    return Contents(
        seen=frozenset(told.texts("seen")),
        left_shut=told.flag("left_shut"),
        seal=told.text("seal", 30),
    )
