"""What the hatch says of each scan: one line, and why."""

from __future__ import annotations

from datetime import date, datetime

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from inspections.conditions import verdict_of
from inspections.rules.verdict import Verdict
from inspections.wording import reason, verdict_sentence
from register import clock
from register.models import Item, Person
from register.refusal import Refusal
from register.rules.conditions import Condition
from register.wording import lower_first, quarantine_reason, shown_day

Result = dict[str, object]

_ANSWERS = {
    "mistyped": gettext_noop("Mistyped"),
    "not-a-tag": gettext_noop("No tag"),
    "unknown-tag": gettext_noop("Not known here"),
    "serial-shared": gettext_noop("Several items"),
}


def issued(item: Item, to: Person, due_back_on: date | None, moment: datetime) -> Result:
    """'M: OK until 14 Aug 2026', and who has it now."""
    verdict = verdict_of(item, clock.day_at(item.site, moment))
    facts = {"what": what(item), "person": to.name}
    why = _("%(what)s: issued to %(person)s") % facts
    if due_back_on:
        why = _("%(why)s, back on %(day)s") % {"why": why, "day": shown_day(due_back_on)}
    return _result(item, answer=_sized(item, ok_until(verdict)), why=f"{why}.", usable=True)


def returned(item: Item, person: Person | None, moment: datetime) -> Result:
    """Back on the shelf, or into quarantine with the reason; what else is not usable goes apart."""
    verdict = verdict_of(item, clock.day_at(item.site, moment))
    who = _("from %(person)s") % {"person": person.name} if person else _("it was not on issue")
    if not verdict.usable and item.condition == Condition.IN_SERVICE:
        why = f"{what(item)}, {who}: {reason(verdict.code, verdict.facts)}."
        return _result(item, answer=_("DO NOT USE"), why=why, usable=False)
    if item.condition == Condition.IN_SERVICE:
        why = f"{what(item)}, {who}."
        return _result(item, answer=_("Back in stores"), why=why, usable=True)
    if item.condition == Condition.QUARANTINED:
        stopped = lower_first(quarantine_reason(item.quarantine_reason))
        why = _("%(what)s, %(who)s: %(reason)s. Put it in the quarantine cage.")
        facts = {"what": what(item), "who": who, "reason": stopped}
        return _result(item, answer=_("DO NOT USE"), why=why % facts, usable=False)
    why = _("%(what)s, %(who)s. Keep it apart: %(condition)s.")
    facts = {"what": what(item), "who": who, "condition": lower_first(item.get_condition_display())}
    return _result(item, answer=_("DO NOT USE"), why=why % facts, usable=False)


def refused(item: Item | None, text: str, refusal: Refusal, answer: str) -> Result:
    """Why nothing was done with what was scanned."""
    if item is None:
        said = _(_ANSWERS[refusal.code]) if refusal.code in _ANSWERS else answer
        return {"code": text[:40], "answer": said, "why": refusal.sentence, "usable": False}
    return _result(item, answer=_sized(item, answer), why=refusal.sentence, usable=False)


def ok_until(verdict: Verdict) -> str:
    """'OK until 14 Aug 2026'; the whole sentence where a restriction belongs to it."""
    if verdict.code == "usable" and verdict.through:
        return _("OK until %(day)s") % {"day": shown_day(verdict.through)}
    return verdict_sentence(verdict)


def what(item: Item) -> str:
    """'Harness M, Halvard Textiles Heron, serial 0412'."""
    name = " ".join(part for part in (item.product.kind_name, item.size) if part)
    return _("%(name)s, %(product)s, serial %(serial)s") % {
        "name": name,
        "product": item.product,
        "serial": item.serial,
    }


def _sized(item: Item, answer: str) -> str:
    return f"{item.size} · {answer}" if item.size else answer


def _result(item: Item, *, answer: str, why: str, usable: bool) -> Result:
    return {
        "code": item.shown_code,
        "url": item.get_absolute_url(),
        "answer": answer,
        "why": why,
        "usable": usable,
    }
