"""The ledger's acts on one item, in words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from inspections.notice_wording import outcome_name
from inspections.rules.round_lines import NOT_PRESENTED
from inspections.wording import kind_name, verdict_name
from register.actions.marking import history_of
from register.models import Act, Entry, Item, Person
from register.rules.tags import shown
from register.wording import lower_first, quarantine_reason, use_class_name

Facts = Mapping[str, object]

_WORDS = {
    "receive": gettext_noop("Received, serial %(serial)s, delivery %(delivery)s"),
    "bring-in": gettext_noop("Brought in from a workbook, serial %(serial)s"),
    "accept": gettext_noop("Accepted into service"),
    "reject": gettext_noop("Rejected and sent back: %(because)s"),
    "issue": gettext_noop("Issued to %(person)s"),
    "take-back": gettext_noop("Taken back"),
    "dispatch": gettext_noop("Sent to site %(to_site)s"),
    "arrive": gettext_noop("Arrived at site %(at)s"),
    "place": gettext_noop("Placed in zone %(zone)s"),
    "quarantine": gettext_noop("Quarantined: %(why)s"),
    "release": gettext_noop("Released from quarantine"),
    "withdraw": gettext_noop("Withdrawn for good: %(ground)s"),
    "destroy": gettext_noop("Destroyed before %(person)s: %(method)s"),
    "report-lost": gettext_noop("Reported lost"),
    "report-found": gettext_noop("Reported found"),
    "send-away": gettext_noop("Sent away for service to %(recipient)s"),
    "take-back-from-service": gettext_noop("Back from service, certificate %(certificate)s"),
    "let-go": gettext_noop("Left the undertaking, to %(recipient)s"),
    "change-use": gettext_noop("Conditions of use changed from %(from_use)s to %(to_use)s"),
    "state-dates": gettext_noop("Its dates were stated"),
    "replace-tag": gettext_noop("Tag %(old)s replaced by %(new)s: %(because)s"),
    "hold": gettext_noop("Held as evidence: %(because)s"),
    "release-hold": gettext_noop("Released as evidence"),
    "ask-undo-withdrawal": gettext_noop("Said to be withdrawn in error"),
    "undo-withdrawal": gettext_noop("Withdrawal undone by two people; quarantined"),
    "make-kit": gettext_noop("Made into kit %(kit)s"),
    "fill-part": gettext_noop("Put into kit %(kit)s"),
    "take-out-part": gettext_noop("Taken out of its kit"),
    "read-label": gettext_noop("Label read"),
    "acknowledge-notice": gettext_noop("Holder told of safety notice %(notice)s"),
    "close-notice": gettext_noop("Safety notice %(notice)s settled: %(ended)s"),
    "reopen-notice": gettext_noop("Safety notice %(notice)s opened again"),
    "inspect": gettext_noop("%(kind)s: %(verdict)s"),
    "sign-round": gettext_noop("Round signed: %(came)s"),
    "take-on": gettext_noop("Taken on in quarantine: it was on no record"),
    "enter-notice": gettext_noop("A notice written by hand hangs on it: %(notice)s"),
    "make-report": gettext_noop("Report made of an inspection: %(kind)s"),
    "correct-inspection": gettext_noop("An inspection record was corrected: %(reason)s"),
}


@dataclass(frozen=True, slots=True)
class Line:
    """One act: when, by whom, what, and the free texts that came with it."""

    at: datetime
    by: str
    words: str
    notes: tuple[str, ...]


def lines_of(item: Item) -> list[Line]:
    """The acts on the item in words, newest first; four queries whatever their number."""
    acts = history_of(item)
    entries = Entry.objects.filter(thing_kind="item", thing_id=str(item.pk))
    facts = {entry.act_id: entry.facts for entry in entries}
    people = Person.objects.in_bulk(_people_named(facts.values()))
    return [_line(act, facts.get(act.pk, {}), people) for act in acts]


def last_act(item: Item, verb: str) -> Act | None:
    """The latest act of this verb on the item."""
    found = Entry.objects.filter(thing_kind="item", thing_id=str(item.pk), act__verb=verb)
    entry = found.select_related("act__by__person").order_by("-seq").first()
    return entry.act if entry else None


def _line(act: Act, facts: Facts, people: Mapping[int, Person]) -> Line:
    by = str(act.by) if act.by else ""
    notes = tuple(note.text for note in act.notes.all())
    return Line(act.at, by, _words(act.verb, facts, people), notes)


def _words(verb: str, facts: Facts, people: Mapping[int, Person]) -> str:
    if verb not in _WORDS:  # an act of a later version, or of an app above this one
        return verb.replace("-", " ").capitalize()
    return _(_WORDS[verb]) % _Named(_named(verb, facts, people))


class _Named(dict[str, str]):
    """Facts by name; one that an old entry lacks is told as missing, so that the line still shows."""

    def __missing__(self, key: str) -> str:
        return _("not recorded")


def _named(verb: str, facts: Facts, people: Mapping[int, Person]) -> dict[str, str]:
    """The facts as strings, slugs turned into names."""
    named = {key: str(value) for key, value in facts.items() if value is not None}
    why = facts.get("reason") or facts.get("again")
    named["why"] = lower_first(quarantine_reason(str(why or "")))
    person = people.get(_person_in(facts) or 0)
    named["person"] = person.name if person else _("somebody")
    if verb == "change-use":
        named["from_use"] = lower_first(use_class_name(named["from"]))
        named["to_use"] = lower_first(use_class_name(named["to"]))
    elif verb == "inspect":
        named["kind"] = kind_name(named["kind"])
        named["verdict"] = lower_first(verdict_name(named["verdict"]))
    elif verb == "sign-round":
        missed = named.get("line") == NOT_PRESENTED
        named["came"] = _("it was not presented") if missed else _("its looks count from then on")
    elif verb == "enter-notice":
        named["notice"] = shown(named["notice"])
    elif verb == "make-report":
        named["kind"] = lower_first(kind_name(named["kind"]))
    elif verb == "close-notice":
        named["ended"] = lower_first(outcome_name(named["outcome"]))
    elif verb == "replace-tag":
        named["old"], named["new"] = shown(named["old"]), shown(named["new"])
    return named


def _people_named(entries: Iterable[Facts]) -> set[int]:
    return {pk for facts in entries if (pk := _person_in(facts))}


def _person_in(facts: Facts) -> int | None:
    pk = facts.get("to_person") or facts.get("witness")
    return pk if isinstance(pk, int) else None
