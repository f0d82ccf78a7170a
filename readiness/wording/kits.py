"""Why a kit cannot serve a task, in sentences."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from readiness.wording.words import Facts, listed, plain, weekday_and_day


def kit_out(facts: Facts) -> str:
    found = []
    if facts["condition"] != "in service":
        found.append(_("it is %(condition)s") % facts)
    if not facts["seal_intact"]:
        found.append(_("the seal is broken or not the recorded one"))
    if facts["missing"]:
        found += _lacking(facts["missing"])
    found += [_clocks_passed(*passed) for passed in _by_part_and_day(facts["passed"])]
    return _("Kit %(kit)s is out: %(why)s.") % {"kit": facts["kit"], "why": "; ".join(found)}


def _lacking(parts: Iterable[str]) -> list[str]:
    """Parts that are not there, and parts that are there and out; the latter have a reason."""
    named = list(parts)
    out = [part for part in named if part.endswith(")")]
    gone = [part for part in named if part not in out]
    found = []
    if gone:
        words = ngettext("%(parts)s is missing", "%(parts)s are missing", len(gone))
        found.append(words % {"parts": listed(gone)})
    if out:
        found.append(_("%(parts)s cannot be used") % {"parts": listed(out)})
    return found


def _by_part_and_day(
    passed: Iterable[tuple[str, str, date | None]],
) -> list[tuple[str, date | None, list[str]]]:
    """The clocks that ended on the same day for the same part are told in one breath."""
    clocks: dict[tuple[str, date | None], list[str]] = {}
    for part, clock, due in passed:
        clocks.setdefault((part, due), []).append(clock)
    return [(part, due, names) for (part, due), names in clocks.items()]


def _clocks_passed(part: str, due: date | None, clocks: list[str]) -> str:
    words = {"part": part, "clocks": listed(clocks)}
    if due is None:
        return _("%(part)s has no date on record (%(clocks)s)") % words
    words["day"] = weekday_and_day(due)
    return _("%(part)s was last in date on %(day)s (%(clocks)s)") % words


_FUNCTIONS = {
    "lower": gettext_noop("lower"),
    "raise": gettext_noop("raise"),
    "lower or raise": gettext_noop("lower or raise"),
    "remote attach": gettext_noop("attach from a distance"),
}


def lacks(facts: Facts) -> str:
    lacking = listed([_(_FUNCTIONS[name]) for name in facts["lacking"]])
    return _("Kit %(kit)s cannot %(lacking)s, which this rescue needs.") % {
        "kit": facts["kit"],
        "lacking": lacking,
    }


def too_short(facts: Facts) -> str:
    if facts["height_m"] is None:
        return plain(
            gettext_noop("Kit %(kit)s can only raise, and the height to raise is not known.")
        )(facts)
    if facts["way"] == "raise":
        sentence = gettext_noop(
            "Kit %(kit)s raises %(max_height_m)s m; here it is %(height_m)s m up to safety."
        )
        return plain(sentence)(facts)
    sentence = gettext_noop(
        "Kit %(kit)s lowers %(max_height_m)s m; this work is %(height_m)s m up."
    )
    return plain(sentence)(facts)


def load(facts: Facts) -> str:
    if facts["load_kg"] > facts["max_load_kg"]:
        sentence = gettext_noop(
            "Kit %(kit)s carries %(max_load_kg)s kg; the heaviest here is %(load_kg)s kg."
        )
        if facts["rescuer_kg"]:
            sentence = gettext_noop(
                "Kit %(kit)s carries %(max_load_kg)s kg; with the rescuer it is %(load_kg)s kg."
            )
        return plain(sentence)(facts)
    if facts["lightest_kg"] is None:
        sentence = gettext_noop(
            "Kit %(kit)s needs %(min_load_kg)s kg or more; the lightest is not known."
        )
        return plain(sentence)(facts)
    sentence = gettext_noop(
        "Kit %(kit)s needs %(min_load_kg)s kg or more; the lightest is %(lightest_kg)s kg."
    )
    return plain(sentence)(facts)


def energy(facts: Facts) -> str:
    kilojoules = {"energy": facts["energy_j"] / 1000, "most": facts["max_energy_j"] / 1000}
    return plain(
        gettext_noop(
            "The descender of kit %(kit)s takes %(most)s kJ; %(stranded)s to lower make %(energy)s kJ."
        )
    )({**facts, **kilojoules})


def kit_far(facts: Facts) -> str:
    if facts["locked"]:
        return plain(gettext_noop("Kit %(kit)s is locked away in these hours."))(facts)
    if facts["minutes"] == float("inf"):
        return plain(
            gettext_noop(
                "It is not recorded where kit %(kit)s hangs, or not how far that is from this task."
            )
        )(facts)
    return plain(
        gettext_noop(
            "Kit %(kit)s is %(minutes)s min away, with the alarm %(alarm_minutes)s min more; "
            "the target is %(target_minutes)s min."
        )
    )(facts)
