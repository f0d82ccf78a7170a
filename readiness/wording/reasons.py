"""Why a task is not covered: each reason's code and facts become one sentence."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from readiness.rules.reasons import Reason
from readiness.wording import kits
from readiness.wording.words import Facts, plain, weekday_and_day


def reason_sentence(reason: Reason) -> str:
    """One sentence with the names, figures and days that the reason rests on."""
    return _SENTENCES[reason.code](reason.facts)


def _review(facts: Facts) -> str:
    if facts["reviewed"] is None:
        return _("The rescue plan was never reviewed.")
    return plain(
        gettext_noop(
            "The rescue plan was last reviewed on %(reviewed)s; it is due every %(interval)s."
        )
    )({**facts, "interval": _interval(facts["months"])})


def _interval(months: int) -> str:
    """What stands after 'every'."""
    return ngettext("month", "%(n)d months", months) % {"n": months}


def _anchors(facts: Facts) -> str:
    if not facts["anchors"]:
        return _("No rescue anchor is recorded for this task.")
    found = [_anchor_out(anchor) for anchor in facts["anchors"]]
    return _("No rescue anchor is usable: %(why)s.") % {"why": "; ".join(found)}


def _anchor_out(anchor: Facts) -> str:
    words = {"anchor": anchor["name"] or anchor["id"], "condition": anchor["condition"]}
    if anchor["condition"] != "in service":
        return _("%(anchor)s is %(condition)s") % words
    if anchor["due"] is None:
        return _("%(anchor)s has no date on record") % words
    words["day"] = weekday_and_day(anchor["due"])
    return _("%(anchor)s was last in date on %(day)s") % words


def _no_rescuer(facts: Facts) -> str:
    if "person" not in facts:
        return _("Nobody on site in these hours is trained in rescue.")
    if not facts["on_site"]:
        return plain(gettext_noop("%(person)s is not on site in these hours."))(facts)
    return plain(gettext_noop("%(person)s is not trained in rescue."))(facts)


def _each_person(sentence: str) -> Callable[[Facts], str]:
    """One sentence for each person meant: the one judged, or all of the nearest miss."""

    def worded(facts: Facts) -> str:
        people = facts.get("misses") or (facts,)
        return " ".join(plain(sentence)(one) for one in people)

    return worded


def _far(facts: Facts) -> str:
    people = facts.get("misses") or (facts,)
    return " ".join(_one_far(one) for one in people)


def _one_far(facts: Facts) -> str:
    if facts["minutes"] == float("inf"):
        return plain(gettext_noop("No way is recorded from %(person)s to this task."))(facts)
    return plain(
        gettext_noop(
            "%(person)s is %(minutes)s min away, with the alarm %(alarm_minutes)s min more; "
            "the target is %(target_minutes)s min."
        )
    )(facts)


def _exposed(facts: Facts) -> str:
    if "misses" in facts:
        sentence = gettext_noop("%(person)s may be the one on the rope of %(tasks)s.")
        return _each_person(sentence)(facts)
    if "person" in facts:
        return plain(gettext_noop("%(person)s may be the one on the rope of %(tasks)s."))(facts)
    if len(facts["people"]) == 1:
        sentence = gettext_noop(
            "Only %(people)s is trained on this kit in these hours, and may be the one on the rope."
        )
        return plain(sentence)(facts)
    sentence = gettext_noop(
        "Only %(people)s are trained on this kit in these hours, and they may be the ones on "
        "the rope."
    )
    return plain(sentence)(facts)


def _first_aid(facts: Facts) -> str:
    if facts["exposed"]:
        sentence = gettext_noop(
            "The only first aider near enough is %(exposed)s, who may be the one on the rope."
        )
        return plain(sentence)(facts)
    return plain(gettext_noop("No first aider in date is within %(within_minutes)s min."))(facts)


def _drill_due(facts: Facts) -> str:
    if facts["drill_on"] is None:
        return _("This rescue plan was never drilled.")
    sentence = gettext_noop("The last drill was on %(drill_on)s; one is due every %(interval)s.")
    return plain(sentence)({**facts, "interval": _interval(facts["months"])})


def _contested(facts: Facts) -> str:
    if not facts["tasks"]:
        return _("The same kit or people are needed by another task, and nobody has first call.")
    sentence = gettext_noop(
        "It could be covered alone, but %(tasks)s needs the same kit or people then: give one of them "
        "first call, or do them at different times."
    )
    if len(facts["tasks"]) > 1:
        sentence = gettext_noop(
            "It could be covered alone, but %(tasks)s need the same kit or people then: give first "
            "call, or do them at different times."
        )
    return plain(sentence)(facts)


_SENTENCES: Mapping[str, Callable[[Facts], str]] = {
    "restraint-not-proven": plain(
        gettext_noop(
            "Not proven as restraint, so judged as fall arrest: lanyard %(reach_m)s m, stretch "
            "%(deflection_m)s m and allowance %(allowance_m)s m make %(total_m)s m; the edge is at "
            "%(edge_m)s m."
        )
    ),
    "clearance-too-small": plain(
        gettext_noop("The system needs %(required_m)s m of clearance; there are %(available_m)s m.")
    ),
    "no-plan": plain(gettext_noop("There is no rescue plan.")),
    "plan-relies-on-emergency-services": plain(
        gettext_noop("The plan relies on calling the emergency services; that is no rescue plan.")
    ),
    "plan-for-another-method": plain(
        gettext_noop("The rescue plan is for another way of working than the one used now.")
    ),
    "plan-review-overdue": _review,
    "no-kit": plain(gettext_noop("There is no rescue kit at this site.")),
    "kit-not-usable": kits.kit_out,
    "kit-lacks-function": kits.lacks,
    "kit-too-short": kits.too_short,
    "kit-load-out-of-range": kits.load,
    "kit-descent-energy-exceeded": kits.energy,
    "kit-out-of-reach": kits.kit_far,
    "no-rescue-anchor": _anchors,
    "no-rescuer": _no_rescuer,
    "rescuer-lapsed": _each_person(
        gettext_noop("%(person)s: training on %(family)s ended on %(valid_to)s.")
    ),
    "rescuer-for-other-kit": _each_person(
        gettext_noop("%(person)s is trained on %(trained_on)s, not on %(family)s.")
    ),
    "rescuer-is-exposed": _exposed,
    "too-few-rescuers": plain(
        gettext_noop(
            "Only %(people)s can rescue with this kit in these hours; %(needed)s are needed."
        )
    ),
    "rescuer-out-of-reach": _far,
    "no-first-aider": _first_aid,
    "drill-due": _drill_due,
    "drill-too-slow": plain(
        gettext_noop("The last drill took %(minutes)s min; the target is %(target_minutes)s min.")
    ),
    "rescue-too-slow": plain(
        gettext_noop(
            "Alarm %(alarm_minutes)s, way %(way_minutes)s and drill %(drill_minutes)s make %(minutes)s "
            "min with kit %(kit)s; the target is %(target_minutes)s min."
        )
    ),
    "contested": _contested,
    "search-not-finished": plain(
        gettext_noop(
            "Too many tasks, kits and people depend on each other here: the search was not finished, "
            "so the task does not count as covered."
        )
    ),
}
