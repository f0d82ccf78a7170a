"""Restraint, swing and rescue by numbers, in sentences: planning figures, never safe ones."""

from __future__ import annotations

from collections.abc import Callable

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from readiness.rules.sums.hierarchy import Unanswered
from readiness.rules.sums.rescue_energy import Descents
from readiness.rules.sums.rescue_haul import HANDLE, Haul
from readiness.rules.sums.rescue_load import UNMARKED, LoadFit
from readiness.rules.sums.rescue_rope import RopeFit
from readiness.rules.sums.rescue_times import Step, Timeline
from readiness.rules.sums.restraint import Hold, Restrained
from readiness.rules.sums.suspension import Study
from readiness.rules.sums.units import available, pounds, pounds_force, required
from readiness.wording.lengths import Unit, needed_words, there_words
from readiness.wording.sums import available_length, basis_words, needed_length
from readiness.wording.sums_words import status_name
from register.wording import shown_day, shown_number

PLANNING_ONLY = gettext_noop(
    "These minutes are planning figures with their sources. None is a time for which anybody is safe."
)

QUESTIONS = {
    "avoid": gettext_noop("Can it be done from the ground, or be avoided?"),
    "safe-place": gettext_noop("Is there a place of work that is safe as it is?"),
    "collective": gettext_noop("Can a guard rail, a platform or a net protect everybody?"),
    "restraint": gettext_noop("Can people be held back from the edge?"),
    "why-arrest": gettext_noop("Why arrest, and what keeps the fall short and its end mild?"),
}

_OPEN = {
    "missing": gettext_noop("Not answered yet: %(question)s"),
    "no-answer": gettext_noop(
        "'n/a', a stroke or a bare yes or no is no answer; write a short sentence: %(question)s"
    ),
    "unnamed": gettext_noop("Nobody stands for this answer; put in a name: %(question)s"),
}

_STEPS = {
    "alarm": gettext_noop("alarm"),
    "reach": gettext_noop("kit and rescuer to the place"),
    "rig": gettext_noop("rigging"),
    "transfer": gettext_noop("taking the casualty off the line"),
    "bring": gettext_noop("bringing the casualty to safety"),
    "drill": gettext_noop("from the kit at the place to the casualty at safety"),
}

_RESTS_ON = {
    "policy": gettext_noop("the employer's figure"),
    "travel": gettext_noop("the way on site"),
    "speed": gettext_noop("the device's speed"),
    "estimate": gettext_noop("an estimate nobody has timed"),
}

_STUDIES = {
    "tolerated-by-95": gettext_noop("%(minutes)d min: borne by 95 of 100 in a test."),
    "affected-at-most-5": gettext_noop("%(minutes)d min: not more than 5 of 100 affected."),
    "affected-a-fifth": gettext_noop("%(minutes)d min: a fifth affected, hanging still."),
    "affected-most": gettext_noop("%(minutes)d min: most affected, hanging still."),
}

_SPENT = {
    "load": gettext_noop("The load is more than the device is marked for."),
    "height": gettext_noop("The height is more than the device is marked for."),
}


def restraint_lines(found: Restrained, unit: Unit = "m") -> list[str]:
    """Proven, or each edge that can be passed; then what was not looked at and what would hold."""
    lines = [_passed(hold, unit) for hold in found.passed] or [restraint_verdict(found, unit)]
    if found.passed:
        lines.append(
            _("This is arrest, whatever it is called: it needs clearance and rescue cover.")
        )
    if not found.rim_closed:
        lines.append(_("The rim is not closed: only the edges named were looked at."))
    elif found.longest_m is not None:
        told = {"longest": available_length(found.longest_m, in_feet=unit == "ft")}
        lines.append(_("A lanyard of %(longest)s at most would be proven restraint.") % told)
    else:
        lines.append(_("No lanyard is short enough here: move the anchor, or guard the edge."))
    return lines


def restraint_verdict(found: Restrained, unit: Unit = "m") -> str:
    """In one sentence. An open rim proves nothing: somebody could fall where no edge is drawn."""
    hold = found.holds[0]
    told = {"name": hold.name, "spare": available_length(hold.spare_m, in_feet=unit == "ft")}
    if found.passed:
        told["past"] = needed_length(-hold.spare_m, in_feet=unit == "ft")
        return _("%(name)s can be passed by %(past)s: this is arrest.") % told
    if not found.rim_closed:
        return (
            _(
                "Not proven: the rim is not drawn all round. Of what is drawn, %(name)s is nearest, "
                "with %(spare)s to spare."
            )
            % told
        )
    return _("Proven restraint: %(spare)s to spare at the nearest edge, %(name)s.") % told


def _passed(hold: Hold, unit: Unit) -> str:
    in_feet = unit == "ft"
    told = {
        "name": hold.name,
        "total": needed_length(hold.total_m, in_feet=in_feet),
        "distance": available_length(hold.distance_m, in_feet=in_feet),
        "past": needed_length(-hold.spare_m, in_feet=in_feet),
    }
    return (
        _("%(name)s can be passed by %(past)s: %(total)s of reach, %(distance)s to the edge.")
        % told
    )


def rope_sentence(found: RopeFit, unit: Unit = "m") -> str:
    height = found.height_spare_m
    if height is not None and found.governs == "max-height" and not found.enough:
        return _("Too high for this kit by its maker: %(by)s too high.") % {
            "by": needed_words(-height, unit)
        }
    told = {"need": needed_words(found.need_m, unit), "by": there_words(abs(found.spare_m), unit)}
    if not found.enough:
        told["by"] = needed_words(-found.spare_m, unit)
        return _("The rope is too short: %(need)s are needed, %(by)s are missing.") % told
    line = _("The rope is long enough: %(need)s are needed, %(by)s are to spare.") % told
    stopper = _(
        "No stopper at its end is on record."
    )  # inside an f-string it would not be collected
    return line if found.stopper else f"{line} {stopper}"


def haul_sentence(found: Haul, unit: Unit = "m") -> str:
    told = {
        "effort": _pull(required, found.effort_n, unit),
        "ideal": _pull(required, found.ideal_n, unit),
        "rope": needed_words(found.pulled_m, unit),
        "limit": _pull(available, HANDLE.value, unit),
        "source": basis_words(HANDLE.basis),
    }
    line = _("%(effort)s at the hand, over %(rope)s of rope (%(ideal)s without losses).") % told
    if not found.past_handle:
        return line
    more = _("More than the %(limit)s a lifting device may ask of one hand: %(source)s.") % told
    return f"{line} {more}"


def _pull(rounded: Callable[[float, float], float], newtons: float, unit: Unit) -> str:
    """'353 N', '80 lbf'."""
    if unit == "ft":
        return f"{shown_number(rounded(pounds_force(newtons), 1))} lbf"
    return f"{shown_number(rounded(newtons, 1))} N"


def mass_needed(kg: float, unit: Unit) -> str:
    """A mass that hangs there, rounded up."""
    if unit == "ft":
        return f"{shown_number(required(pounds(kg), 1))} lb"
    return f"{shown_number(required(kg))} kg"


def mass_there(kg: float, unit: Unit) -> str:
    """A rating, rounded down."""
    if unit == "ft":
        return f"{shown_number(available(pounds(kg), 1))} lb"
    return f"{shown_number(available(kg))} kg"


def descents_sentence(found: Descents) -> str:
    if found.why in _SPENT:
        return _(_SPENT[found.why])
    told = {
        "each": shown_number(required(found.each_j / 1000)),
        "wanted": found.wanted,
        "n": found.left,
    }
    left = ngettext(
        "One descent of %(each)s kJ is left in the device; %(wanted)d asked for.",
        "%(n)d descents of %(each)s kJ are left in the device; %(wanted)d asked for.",
        found.left,
    )
    return left % told


def load_sentence(found: LoadFit, unit: Unit = "m") -> str:
    told = {
        "load": mass_needed(found.heaviest_kg, unit),
        "weakest": found.weakest.name,
        "limit": mass_there(found.limit_kg, unit),
        "lightest": mass_there(found.lightest_kg, unit),
        "unmarked_kg": mass_there(UNMARKED.value, unit),
        "names": ", ".join(found.overloaded or found.underloaded),
        "unmarked": ", ".join(found.unmarked),
    }
    if found.overloaded:
        line = _("%(load)s is too much for %(names)s; the weakest is %(weakest)s, %(limit)s.")
    elif found.underloaded:
        line = _("%(lightest)s is too little for %(names)s.")
    else:
        line = _("%(load)s is within every rating; the weakest is %(weakest)s, %(limit)s.")
    if found.unmarked:
        line += " " + _(
            "Without a mark, taken to bear %(unmarked_kg)s (common practice): %(unmarked)s."
        )
    return line % told


def timeline_lines(found: Timeline) -> list[str]:
    """Each step with what it rests on, then the total against the target."""
    total = shown_number(required(found.minutes, 0.1))
    told = {"total": total, "target": shown_number(found.target_minutes)}
    verdict = (
        _("Together %(total)s min; the plan's target is %(target)s min.")
        if found.in_time
        else _("Together %(total)s min: longer than the plan's target of %(target)s min.")
    )
    return [*(_step(step) for step in found.steps), verdict % told]


def _step(step: Step) -> str:
    told = {"minutes": shown_number(step.seconds / 60), "what": _(_STEPS[step.code])}
    if step.drilled_on is not None:
        day = {"day": shown_day(step.drilled_on)}
        return _("%(minutes)s min %(what)s (drill of %(day)s)") % (told | day)
    rests = _(_RESTS_ON[step.rests_on]) if step.rests_on in _RESTS_ON else _("a drill")
    return _("%(minutes)s min %(what)s (%(rests)s)") % (told | {"rests": rests})


def study_sentence(study: Study) -> str:
    line = _(_STUDIES[study.says]) % {"minutes": study.minutes}
    return f"{line} {study.source} ({status_name(study.status)})"


def open_question(still: Unanswered) -> str:
    return _(_OPEN[still.why]) % {"question": _(QUESTIONS[still.question])}
