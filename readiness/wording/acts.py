"""Acts that mend a trouble, in sentences: what is done, what it rests on, what it costs others."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from readiness.rules.remedies.acts import Act
from readiness.rules.windows import Window
from readiness.wording.words import listed, plain, weekday_and_day

_ACTS: Mapping[str, str] = {
    "stop": gettext_noop("Stop %(task)s, or do not start it."),
    "examine-kit": gettext_noop("Examine what is out of date in kit %(kit)s, then seal it."),
    "replace-part": gettext_noop(
        "Replace what is missing or out in kit %(kit)s, examine it, then seal it."
    ),
    "reseal": gettext_noop("Check the contents of kit %(kit)s and put on a new seal."),
    "read-label": gettext_noop(
        "Read the labels in kit %(kit)s whose date is not known. It helps only if they are in date."
    ),
    "release": gettext_noop(
        "Inspect kit %(kit)s and release it from quarantine. It helps only if it passes."
    ),
    "move-kit": gettext_noop("Move kit %(kit)s here from %(from)s and scan it in at %(place)s."),
    "hire-kit": gettext_noop("Hire a kit (%(family)s), accept it and hang it at %(place)s."),
    "refresher": gettext_noop("Train or refresh %(person)s on %(ticket)s on %(day)s."),
    "person-on-shift": gettext_noop("Put %(person)s (%(ticket)s) on the shift."),
    "drill": gettext_noop(
        "Run a drill of %(task)s and record it. It helps if it takes %(minutes)s min or less."
    ),
    "review-plan": gettext_noop(
        "Review the rescue plan of %(task)s. It helps only if it still holds."
    ),
    "write-plan": gettext_noop(
        "Write a rescue plan for %(task)s as it is done now, carried out by people on site, and drill "
        "it. It helps if the drill takes %(minutes)s min or less."
    ),
    "redo-sums": gettext_noop(
        "Do the planning sums of %(task)s again, with what has changed since, and keep them. It helps "
        "only if there still is room enough, or no edge can be reached."
    ),
    "move-place": gettext_noop("Hang kit %(kit)s at %(place)s."),
    "duplicate-key": gettext_noop("Leave a key to kit %(kit)s with every shift."),
    "first-call": gettext_noop("Give %(task)s first call. The others have only what is left."),
    "separate": gettext_noop("Let %(task)s and %(rival)s take turns: half of the shift each."),
    "link-stop-work": gettext_noop(
        "Write into the plans of %(task)s and %(rivals)s that other work stops during a rescue."
    ),
    "examine-anchor": gettext_noop("Examine %(anchor)s. It helps only if it passes."),
    "install-anchor": gettext_noop("Install and prove one more rescue anchor at %(place)s."),
    "postpone": gettext_noop("Begin %(task)s later by this many weeks: %(weeks)s."),
}


def act_sentence(act: Act, sites: Mapping[str, str]) -> str:
    """What is to be done; `sites` gives the name of each site by its code."""
    facts: dict[str, object] = dict(act.facts)
    if "from" in facts:
        facts["from"] = sites.get(str(facts["from"]), facts["from"])
    said = plain(_ACTS[act.kind])(facts)
    if act.kind == "person-on-shift" and facts.get("from"):
        return _("%(said)s They come from %(site)s.") % {"said": said, "site": facts["from"]}
    return said


def by_when(at: datetime, zone: ZoneInfo) -> str:
    """'Thu 26 Nov 2026, 12:00' by the clock on site."""
    there = at.astimezone(zone)
    return f"{weekday_and_day(there.date())}, {there:%H:%M}"


def hours_words(hours: Iterable[Window], zone: ZoneInfo, most: int = 3) -> str:
    """'Thu 26 Nov 2026 06:00 to 14:00 and ...'; of many the first, and how many more."""
    listed_hours = list(hours)
    said = [_stretch(begins, ends, zone) for begins, ends in listed_hours[:most]]
    if len(listed_hours) > most:
        said.append(_("%(n)s more turns") % {"n": len(listed_hours) - most})
    return listed(said)


def _stretch(begins: datetime, ends: datetime, zone: ZoneInfo) -> str:
    first, last = begins.astimezone(zone), ends.astimezone(zone)
    words = {"first": f"{weekday_and_day(first.date())}, {first:%H:%M}", "last": f"{last:%H:%M}"}
    if last.date() != first.date():
        words["last"] = f"{weekday_and_day(last.date())}, {last:%H:%M}"
    return _("%(first)s to %(last)s") % words


_PROOFS = {
    "best": gettext_noop("Proven: no other set of the acts tried is better."),
    "best-of-size": gettext_noop(
        "Proven for sets of up to %(n)s acts; larger ones were not tried."
    ),
    "unfinished": gettext_noop("Not proven the best: the search was cut short."),
}


def proof_words(proof: str, most: int) -> str:
    return _(_PROOFS[proof]) % {"n": most}


_EVIDENCE: Mapping[str, str] = {
    "no-inspection": gettext_noop(
        "No inspection of it is recorded since the job was given out. Record it first."
    ),
    "no-drill": gettext_noop(
        "No drill of the task is recorded since then. Record the drill first."
    ),
    "no-plan": gettext_noop("No new version of the plan is kept since then. Keep the plan first."),
    "no-ticket": gettext_noop("No new training is recorded for them since then. Record it first."),
    "not-on-rota": gettext_noop("They are not on the rota of the site. Put them on it first."),
    "not-arrived": gettext_noop("The kit is not at the site. Scan it in first."),
    "no-sums": gettext_noop(
        "No planning sums of the task are kept since then. Do and keep them first."
    ),
    "no-first-call": gettext_noop("The task has no first call. Give it first."),
}


def evidence_words(code: str) -> str:
    """What the register still lacks before the job is done."""
    return _(_EVIDENCE[code])
