"""What has to be asked about a rota, and what was answered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from inspections.intake.remembering import remembered_words
from inspections.intake.ways import Question, said
from inspections.models import Intake
from readiness.intake.known import sites_now
from readiness.intake.rota.stated import lines_of
from register.intake.columns import Guess
from register.intake.keys import name_key
from register.intake.reading import Sheets
from register.models import Shift, Site, Zone

SITES, SHIFTS = "rota-site", "rota-shift"
_MOST = 40


@dataclass(frozen=True, slots=True)
class Answered:
    """The answers of one file."""

    intake: Intake

    def site_of(self, text: str) -> int:
        """The key of the site that a text was said to mean, or that lines without one have; 0 where
        nobody said."""
        kept = said(self.intake, f"site:{name_key(text)}" if text else "site")
        return int(kept) if kept.isdigit() else 0

    def shift_of(self, text: str) -> str:
        """The name of the shift that a text was said to mean."""
        return said(self.intake, f"shift:{name_key(text)}")

    def zone_of(self, site: int) -> int:
        kept = said(self.intake, f"zone:{site}")
        return int(kept) if kept.isdigit() else 0


def see(sheets: Sheets, mapping: Mapping[str, Guess]) -> dict[str, Any]:
    """Texts for sites and shifts, and what lines do not say."""
    sites: dict[str, str] = {}
    shifts: dict[str, str] = {}
    needs = {"site": False, "zone": False}
    for line in lines_of(sheets, mapping, order="day-first", left_out=frozenset()):
        if line.is_off:
            continue
        if line.site and len(sites) < _MOST:
            sites.setdefault(name_key(line.site), line.site)
        if line.shift and len(shifts) < _MOST:
            shifts.setdefault(name_key(line.shift), line.shift)
        needs["site"] |= not line.site
        needs["zone"] |= not line.zone
    return {"sites": sites, "shifts": shifts, "needs": needs}


def questions(intake: Intake) -> list[Question]:
    sites = list(sites_now(intake))
    return [*_of_sites(intake, sites), *_of_shifts(intake, sites), *_of_zones(intake, sites)]


def _of_sites(intake: Intake, sites: list[Site]) -> list[Question]:
    choices = [("", _("None of these: the lines stay out"))]
    choices += [(str(one.pk), one.name) for one in sites]
    asked = [_site_of_the_rest(intake, choices)] if intake.seen["needs"]["site"] else []
    known = remembered_words(SITES)
    offered = {value for value, _name in choices}
    for key, text in intake.seen["sites"].items():
        if site_named(text, sites):
            continue
        kept = said(intake, f"site:{key}") or known.get(key, "")
        asked.append(
            Question(
                name=f"site:{key}",
                label=_("“%(text)s” is") % {"text": text},
                choices=choices,
                initial=kept if kept in offered else "",
                group=_("Sites"),
                remembered_as=(SITES, key),
            )
        )
    return asked


def _site_of_the_rest(intake: Intake, choices: list[tuple[str, str]]) -> Question:
    only = choices[1][0] if len(choices) == 2 else ""  # noqa: PLR2004 - none, and the one there is
    return Question(
        name="site",
        label=_("Site of lines that name none"),
        choices=choices,
        initial=said(intake, "site") or only,
        group=_("Sites"),
    )


def site_named(text: str, sites: list[Site]) -> Site | None:
    """The one site of this very name or code."""
    key = name_key(text)
    fits = [one for one in sites if key in {name_key(one.name), name_key(one.code)}]
    return fits[0] if len(fits) == 1 else None


def sites_meant(intake: Intake, sites: list[Site]) -> list[Site]:
    """Those that some line of the file is about, as far as is known."""
    answered = Answered(intake)
    named = [site_named(text, sites) for text in intake.seen["sites"].values()]
    keys = {one.pk for one in named if one}
    keys |= {answered.site_of(text) for text in ("", *intake.seen["sites"].values())}
    if len(sites) == 1 and intake.seen["needs"]["site"]:
        keys.add(sites[0].pk)  # offered as the answer, so that both are asked at once
    return [one for one in sites if one.pk in keys]


def _of_shifts(intake: Intake, sites: list[Site]) -> list[Question]:
    """A word that is no shift's name at any site of the file."""
    shifts = Shift.objects.filter(site__in=sites).order_by("name")
    names = sorted({one.name for one in shifts})
    own = {name_key(name) for name in names}
    known = remembered_words(SHIFTS)
    choices = [("", _("Not known: the lines stay out")), *((name, name) for name in names)]
    return [
        Question(
            name=f"shift:{key}",
            label=_("“%(text)s” is") % {"text": text},
            choices=choices,
            initial=said(intake, f"shift:{key}") or _offered(known.get(key, ""), names),
            group=_("Shifts"),
            remembered_as=(SHIFTS, key),
        )
        for key, text in intake.seen["shifts"].items()
        if key not in own
    ]


def _offered(value: str, names: list[str]) -> str:
    return value if value in names else ""


def _of_zones(intake: Intake, sites: list[Site]) -> list[Question]:
    """From where people start, for each site of the file: minutes on foot count from there."""
    if not intake.seen["needs"]["zone"]:
        return []
    asked = []
    for site in sites_meant(intake, sites):
        zones = [(str(one.pk), one.name) for one in Zone.objects.filter(site=site)]
        only = zones[0][0] if len(zones) == 1 else ""
        asked.append(
            Question(
                name=f"zone:{site.pk}",
                label=_("At %(site)s people start from") % {"site": site.name},
                choices=[("", _("Choose")), *zones],
                initial=said(intake, f"zone:{site.pk}") or only,
                is_needed=bool(zones),
                group=_("Starting from"),
            )
        )
    return asked
