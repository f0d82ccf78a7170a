"""A rescue by numbers in words: each kit with its sums, what contradicts its record, what is not known."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from readiness.rules.reasons import Reason
from readiness.rules.sums.redo import Exchanged
from readiness.rules.sums.rescue import KitSum
from readiness.rules.sums.suspension import STUDIES
from readiness.rules.sums.units import available
from readiness.rules.sums.values import Flag
from readiness.wording.lengths import Unit, needed_words, there_words
from readiness.wording.reasons import reason_sentence
from readiness.wording.rescue_sums import (
    PLANNING_ONLY,
    descents_sentence,
    haul_sentence,
    load_sentence,
    mass_there,
    rope_sentence,
    study_sentence,
    timeline_lines,
)
from readiness.wording.words import listed
from register.wording import shown_number

_SHORT = {
    "way": gettext_noop("it cannot bring somebody the way the task wants"),
    "rope": gettext_noop("rope or height"),
    "load": gettext_noop("load"),
    "energy": gettext_noop("descents"),
    "time": gettext_noop("minutes"),
    "pole": gettext_noop("pole"),
}

_UNKNOWN = {
    "heaviest": gettext_noop("the heaviest person of the task"),
    "lightest": gettext_noop("the lightest person of the task"),
    "height": gettext_noop("the height of the task"),
    "rope": gettext_noop("the length of its rope as it is today"),
    "ratio": gettext_noop("the ratio of its haul"),
    "energy": gettext_noop("the class or the energy of its descender"),
    "pole": gettext_noop("its pole and how far the casualty is from it"),
    "target": gettext_noop("the plan’s target: there is no plan"),
    "reach": gettext_noop("the way from the kit to the task, in minutes"),
    "rig": gettext_noop("the minutes to rig it: no drill, and no estimate"),
}

FINDINGS = {
    "rope-short-of-rating": gettext_noop(
        "The rope of %(rope_m)s is too short for the greatest height on the kit’s record, %(height_m)s: "
        "%(need_m)s would be needed."
    ),
    "part-below-rating": gettext_noop(
        "The kit is rated %(rated_kg)s on its record, but %(part)s only %(kg)s."
    ),
    "rope-longer-than-delivered": gettext_noop(
        "The rope is put in as %(rope_m)s; on its record it was delivered with %(delivered_m)s."
    ),
    "energy-over-class": gettext_noop(
        "The kit’s record says %(rated_j)s of descent energy; class %(en341_class)s has %(j)s."
    ),
}


@dataclass(frozen=True, slots=True)
class KitWords:
    """`accepted` is what the rule of cover says of the kit by itself; None where it cannot judge."""

    name: str
    verdict: str
    enough: bool
    cover: tuple[str, ...]
    accepted: bool | None
    lines: tuple[str, ...]
    minutes: tuple[str, ...]
    findings: tuple[str, ...]


def kit_words(found: KitSum, against: Sequence[Reason] | None, unit: Unit) -> KitWords:
    return KitWords(
        name=found.kit.name,
        verdict=_verdict(found, against),
        enough=not (found.short or found.unknown or found.findings or against or against is None),
        cover=tuple(reason_sentence(reason) for reason in against or ()),
        accepted=None if against is None else not against,
        lines=tuple(_lines(found, unit, untold=bool(found.short or against))),
        minutes=tuple(timeline_lines(found.minutes)) if found.minutes else (),
        findings=tuple(finding_sentence(flag, unit) for flag in found.findings),
    )


def _verdict(found: KitSum, against: Sequence[Reason] | None) -> str:
    """The rule of cover goes before every sum."""
    if against:
        return _("Cover does not accept this kit for the task, whatever the sums say.")
    if found.short:
        why = listed([_(_SHORT[code]) for code in found.short])
        return _("Not enough on these figures: %(why)s.") % {"why": why}
    if found.unknown:
        why = listed([_(_UNKNOWN[code]) for code in found.unknown])
        return _("Not known yet: %(why)s.") % {"why": why}
    if against is None:
        return _("Cover cannot judge this task yet; the sums alone make no kit fit.")
    if found.findings:
        return _("Enough on these figures, but they contradict the kit’s record: mend that first.")
    return _("Enough on these figures.")


def _lines(found: KitSum, unit: Unit, *, untold: bool) -> list[str]:
    """`untold`: the verdict says something worse than what is not known."""
    lines = []
    if found.rope is not None:
        lines.append(rope_sentence(found.rope, unit))
    if found.haul is not None:
        lines.append(haul_sentence(found.haul, unit))
    if found.descents is not None:
        lines.append(descents_sentence(found.descents))
    if found.load is not None:
        lines.append(load_sentence(found.load, unit))
    if found.kit.unmarked:
        names = {"names": listed(found.kit.unmarked)}
        lines.append(
            _(
                "No mark in kilograms on record: %(names)s. For these the kit’s own rating is relied "
                "on: read their labels."
            )
            % names
        )
    if found.pole_spare_m is not None:
        lines.append(_pole(found.pole_spare_m, unit))
    if found.unknown and untold:
        why = listed([_(_UNKNOWN[code]) for code in found.unknown])
        lines.append(_("Not known yet: %(why)s.") % {"why": why})
    return lines


def _pole(spare_m: float, unit: Unit) -> str:
    if spare_m < 0:
        return _("The pole is too short by %(by)s.") % {"by": needed_words(-spare_m, unit)}
    return _("The pole reaches, with %(by)s to spare.") % {"by": there_words(spare_m, unit)}


def finding_sentence(flag: Flag, unit: Unit) -> str:
    """With what to do: the record is mended, or the figure."""
    told = {key: _fact(key, value, unit) for key, value in flag.facts.items()}
    mend = _("Mend the kit’s record, or put the figure right.")
    return f"{_(FINDINGS[flag.code]) % told} {mend}"


def _fact(key: str, value: object, unit: Unit) -> str:
    if not isinstance(value, int | float):
        return str(value)
    if key.endswith("kg"):
        return mass_there(value, unit)
    if key == "j" or key.endswith("_j"):
        return _("%(kj)s kJ") % {"kj": shown_number(available(value / 1000))}
    return needed_words(value, unit) if key == "need_m" else there_words(value, unit)


def exchanged_sentence(one: Exchanged) -> str:
    """Why the figures of a kit do not count any more: its rope now, and the one it was measured with."""
    if not one.gone and not one.new:
        return _(
            "%(kit)s is to be measured again: nobody knows with which parts its figures were taken."
        ) % {"kit": one.kit}
    told = {
        "kit": one.kit,
        "gone": listed(one.gone) or _("nothing else"),
        "new": listed(one.new) or _("nothing in its place"),
    }
    return (
        _(
            "%(kit)s is to be measured again: %(new)s is in it now, %(gone)s was when its figures were "
            "taken. They are not counted."
        )
        % told
    )


def headline(kits: Sequence[KitWords]) -> str:
    """The whole in one sentence; a kit is only named where cover accepts it as well."""
    enough = [kit.name for kit in kits if kit.enough]
    if enough:
        return _("Enough on these figures: %(kits)s.") % {"kits": listed(enough)}
    if not kits:
        return _("There is no rescue kit at this site.")
    return _("No kit is shown to be enough on these figures.")


def why_minutes() -> list[str]:
    """What published studies measured; the caution first."""
    return [_(PLANNING_ONLY), *(study_sentence(study) for study in STUDIES)]


def best_first(kits: Mapping[str, KitWords]) -> list[KitWords]:
    return sorted(kits.values(), key=lambda kit: (not kit.enough, bool(kit.cover), kit.name))
