"""What the work ahead looks like, in sentences a manager can act on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from inspections.rules.workload import Week
from register.wording import class_name, lower_first, shown_day

_WHY_LEFT_OUT = {
    "nobody": gettext_noop("nobody with hours is authorised by then"),
    "no-hours": gettext_noop("those authorised have no day long enough by then"),
    "full": gettext_noop("those authorised have no day left for the site by then"),
}

WEEKDAYS = (
    gettext_noop("Monday"),
    gettext_noop("Tuesday"),
    gettext_noop("Wednesday"),
    gettext_noop("Thursday"),
    gettext_noop("Friday"),
    gettext_noop("Saturday"),
    gettext_noop("Sunday"),
)


def time_words(minutes: int) -> str:
    """'45 min', '3 h' or '3 h 30 min'."""
    hours, rest = divmod(minutes, 60)
    if not hours:
        return _("%(n)d min") % {"n": rest}
    if not rest:
        return _("%(n)d h") % {"n": hours}
    return _("%(h)d h %(m)d min") % {"h": hours, "m": rest}


def hours_words(minutes: int, weekdays: Sequence[int]) -> str:
    """'4 h on Monday and Friday'."""
    days = ", ".join(_(WEEKDAYS[day]) for day in weekdays) or _("no day for now")
    return _("%(time)s on %(days)s") % {"time": time_words(minutes), "days": days}


def week_words(week: int, begins: date) -> str:
    """'This week' or 'Week of 9 Mar 2026'."""
    return _("Week of %(day)s") % {"day": shown_day(begins)} if week else _("This week")


def classes_words(numbers: Mapping[str, int]) -> str:
    """'Harness 40, lanyard 12'; the most first."""
    order = sorted(numbers.items(), key=lambda one: (-one[1], one[0]))
    said = ", ".join(f"{lower_first(class_name(slug))} {number}" for slug, number in order)
    return said[:1].upper() + said[1:]


def short_words(begins: date, week: Week) -> str:
    """What happens in a week if nothing is done."""
    if week.available >= week.needed:
        return _(
            "If you do nothing, in the %(when)s %(short)s of inspecting find none of those"
            " authorised for it with time."
        ) % {
            "when": lower_first(week_words(week.week, begins))
            if week.week
            else _("rest of this week"),
            "short": time_words(week.short),
        }
    facts = {
        "when": lower_first(week_words(week.week, begins)),
        "needed": time_words(week.needed),
        "available": time_words(week.available),
    }
    return _(
        "If you do nothing, the %(when)s needs %(needed)s of inspecting; you have %(available)s."
    ) % {
        **facts,
        "when": facts["when"] if week.week else _("rest of this week"),
    }


def nobody_words(classes: Sequence[str], begins: date, week: int) -> str:
    """Classes for which nobody with hours is authorised when they fall due."""
    return _("Nobody who has hours may inspect this: %(name)s, due from the %(when)s.") % {
        "name": ", ".join(lower_first(class_name(slug)) for slug in classes),
        "when": lower_first(week_words(week, begins)) if week else _("rest of this week"),
    }


def gap_words(above: int, *, proven: bool) -> str:
    """How far the plan may be from the best there can be."""
    if proven:
        return _("No plan that keeps every due day needs less.")
    return ngettext(
        "At most one visit more, or what is worth as much, than the best there can be.",
        "At most %(n)d visits more, or what is worth as much, than the best there can be.",
        above,
    ) % {"n": above}


def left_out_words(number: int, equipment_class: str, why: str, by: date) -> str:
    """Pieces of one class that find no room by their due day."""
    return _("%(name)s, %(number)d due from %(day)s: %(why)s.") % {
        "name": class_name(equipment_class),
        "number": number,
        "day": shown_day(by),
        "why": _(_WHY_LEFT_OUT[why]),
    }
