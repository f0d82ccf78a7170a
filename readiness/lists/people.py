"""The rota of a week, and training with its last days."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Max, Q, QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, pgettext_lazy

from inspections.lists.cautions import PERSONAL
from readiness.models import Competence, RotaEntry, family_name
from register.access import sites_for
from register.clock import day_at
from register.exports.columns import day, text
from register.lists.listing import Asked, Asking, Filters, Listing
from register.models import Person, Site

SOON = timedelta(days=60)


def people_at(sites: QuerySet[Site], today: date) -> QuerySet[Person]:
    """Those who belong to these sites or to none, and have not left."""
    rows = Person.objects.here_on(today)
    return rows.filter(Q(home_site__in=sites) | Q(home_site=None)).order_by("name")


@dataclass(frozen=True, slots=True)
class Training:
    """What one person is trained for, and the last day of the newest ticket."""

    name: str
    site: str
    kind: str
    family: str
    through_on: date
    state: str


def training_of(people: QuerySet[Person], today: date) -> list[Training]:
    """By person, kind and family; what ends first stands first."""
    held = (
        Competence.objects.filter(person__in=people)
        .values("person__name", "person__home_site__name", "kind", "family", "person")
        .annotate(through_on=Max("through_on"))
        .order_by("through_on", "person__name", "person")
    )
    return [
        Training(
            name=one["person__name"],
            site=one["person__home_site__name"] or "",
            kind=str(Competence.Kind(one["kind"]).label),
            family=family_name(one["family"], ""),
            through_on=one["through_on"],
            state=_state(today, one["through_on"]),
        )
        for one in held
    ]


def _state(today: date, through: date) -> str:
    if through < today:
        return _("Lapsed")
    return _("Ends soon") if through <= today + SOON else _("In date")


def _training(asking: Asking) -> Asked:
    today = asking.at.date()
    people = people_at(sites_for(asking.user, "competence.record"), today)
    rows = training_of(people, today)
    return Asked(rows, len(rows))


TRAINING = Listing(
    name="training",
    title=gettext_lazy("Training"),
    page="readiness:competence-list",
    need="competence.record",
    address="lists/training/",
    ask=_training,
    at_once=10_000,
    cautions=(
        gettext_lazy("A ticket in date does not prove that somebody can do it today: drills do."),
        PERSONAL,
    ),
    columns=(
        text("name", pgettext_lazy("of a person", "Name"), "name"),
        text("home_site", gettext_lazy("Home site"), "site"),
        text("kind", gettext_lazy("Kind"), "kind"),
        text("family", gettext_lazy("Kit family"), "family"),
        day(
            "through_on", gettext_lazy("Through"), "through_on", gettext_lazy("The last good day.")
        ),
        text("state", gettext_lazy("State"), "state"),
    ),
)


def _rota(asking: Asking) -> Asked:
    """The week of ?on= at ?site=, on ?shift= or on every shift; as the page, the first site else."""
    sites = sites_for(asking.user, "rota.edit")
    site = sites.filter(code=asking.given.get("site", "")).first() or sites.first()
    if site is None:
        return Asked((), 0)
    monday = _monday(asking, site)
    chosen: Filters = (
        (_("Site"), site.name),
        (_("Week of"), monday.isoformat()),
    )
    entries = RotaEntry.objects.filter(
        site=site, day_on__range=(monday, monday + timedelta(days=6))
    )
    asked = asking.given.get("shift", "")
    shift = next((one for one in site.shifts.all() if str(one.pk) == asked), None)
    if shift:
        entries, chosen = entries.filter(shift=shift), (*chosen, (_("Shift"), shift.name))
    rows = entries.select_related("person", "zone", "shift", "site")
    rows = rows.order_by("day_on", "shift__begins", "person__name", "pk")
    return Asked(rows, len(rows), chosen)


def _monday(asking: Asking, site: Site) -> date:
    today = day_at(site, asking.at)
    try:
        asked = date.fromisoformat(asking.given.get("on", ""))
    except ValueError:
        asked = today
    return asked - timedelta(days=asked.weekday())


ROTA = Listing(
    name="rota",
    title=gettext_lazy("Rota"),
    page="readiness:rota",
    need="rota.edit",
    address="lists/rota/",
    ask=_rota,
    cautions=(
        gettext_lazy("Who is not on the rota counts as absent."),
        PERSONAL,
    ),
    columns=(
        day("on", gettext_lazy("Day"), "day_on"),
        text("shift", gettext_lazy("Shift"), "shift.name"),
        text("hours", gettext_lazy("Hours"), "shift.hours"),
        text("name", pgettext_lazy("of a person", "Name"), "person.name"),
        text("employer", gettext_lazy("Employer"), "person.employer"),
        text("zone", gettext_lazy("Starting from"), "zone.name"),
        text("comes_at", gettext_lazy("Comes at"), lambda row: _hour(row.begins)),
        text("goes_at", gettext_lazy("Goes at"), lambda row: _hour(row.ends)),
    ),
)


def _hour(at: object) -> str:
    return f"{at:%H:%M}" if at else ""
