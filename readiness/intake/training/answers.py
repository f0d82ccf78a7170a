"""What has to be asked about a training matrix, and what was answered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from inspections.intake.remembering import remembered_words
from inspections.intake.ways import Question, said
from inspections.models import Intake
from readiness.intake.known import people_now, sites_now
from readiness.intake.people import Who, found
from readiness.intake.training.columns import OTHER, PERSONAL
from readiness.intake.training.stated import lines_of
from readiness.intake.training.words import FIRST_AID, meaning_of
from readiness.models.people import FAMILY_CHOICES
from register.intake.columns import Guess
from register.intake.reading import Sheets
from register.wording import named

MEANINGS = "training-word"
LEFT_OUT = "left-out"
_MOST_TRAININGS = 80
_MOST_PEOPLE = 60


@dataclass(frozen=True, slots=True)
class Answered:
    """The answers of one file."""

    intake: Intake

    def _said(self, name: str) -> str:
        return said(self.intake, name)

    def meaning_of(self, key: str) -> str:
        """'first aid', a family, or '' for what is left out."""
        kept = self._said(f"training:{key}")
        return "" if kept == LEFT_OUT else kept

    def months_of(self, key: str) -> int:
        kept = self._said(f"months:{key}")
        return int(kept) if kept.isdigit() else 0

    @property
    def dated(self) -> str:
        """What a bare day of a matrix is: 'through' or 'taken'."""
        return self._said("dated")

    @property
    def employer(self) -> str:
        return self._said("employer")

    @property
    def adds_people(self) -> bool:
        return self._said("adds") == "yes"

    @property
    def home_site(self) -> int:
        kept = self._said("home")
        return int(kept) if kept.isdigit() else 0

    def person_of(self, who: Who) -> str:
        """For a name like one of ours: the key of who it is, 'new', or '' where nobody said."""
        return self._said(f"person:{who.key}")


def see(sheets: Sheets, mapping: Mapping[str, Guess]) -> dict[str, Any]:
    """Trainings and people as they are named, and which columns are not taken."""
    trainings: dict[str, str] = {}
    people: dict[str, list[str]] = {}
    needs: dict[str, bool] = {"dated": False, "employer": False}
    taken: dict[str, set[str]] = {"taken": set(), "bare": set()}
    for line in lines_of(sheets, mapping, order="day-first", left_out=frozenset()):
        trainings.setdefault(line.key, line.training)
        people.setdefault(line.who.key, [line.who.name, line.who.employer, line.who.number])
        needs["dated"] |= line.bare_on is not None
        needs["employer"] |= not line.who.employer
        if line.through_on is None and line.taken_on:
            taken["taken"].add(line.key)
        if line.bare_on:
            taken["bare"].add(line.key)
    return {
        "trainings": dict(list(trainings.items())[:_MOST_TRAININGS]),
        "people": list(people.values()),
        "needs": needs,
        **{name: sorted(keys) for name, keys in taken.items()},
        "notes": _not_taken(mapping),
    }


def _not_taken(mapping: Mapping[str, Guess]) -> list[str]:
    """Told, so that everybody sees it: what is personal was not even read."""
    held: dict[str, list[str]] = {PERSONAL: [], OTHER: []}
    for found_ in mapping.values():
        for column, slug in found_.mapping.items():
            if slug in held and found_.headings[column] not in held[slug]:
                held[slug].append(found_.headings[column])
    notes = []
    if held[PERSONAL]:
        told = ", ".join(held[PERSONAL])
        notes.append(_("Personal, and not taken: %(columns)s.") % {"columns": told})
        notes.append(
            _(
                "The file itself is kept as received: better delete such columns before handing it in."
            )
        )
    if held[OTHER]:
        told = ", ".join(held[OTHER])
        notes.append(_("Not needed, and not taken: %(columns)s.") % {"columns": told})
    return notes


def questions(intake: Intake) -> list[Question]:
    return [*_of_days(intake), *_of_trainings(intake), *_of_months(intake), *_of_people(intake)]


def _of_days(intake: Intake) -> list[Question]:
    if not intake.seen["needs"]["dated"]:
        return []
    choices = [
        ("", _("Choose")),
        ("through", _("The last day it is valid")),
        ("taken", _("The day it was taken")),
    ]
    return [
        Question(
            name="dated",
            label=_("A day in this matrix is"),
            choices=choices,
            initial=said(intake, "dated"),
            is_needed=True,
            help_text=_("Where a heading says so itself, that stands."),
            group=_("Days"),
        )
    ]


def _of_trainings(intake: Intake) -> list[Question]:
    """Each is mapped once, and remembered; what is neither rescue nor first aid stays out."""
    known = remembered_words(MEANINGS)
    choices = [
        (LEFT_OUT, _("Neither: leave it out")),
        (FIRST_AID, _("First aid")),
        *(
            (slug, _("Rescuer: %(family)s") % {"family": name})
            for slug, name in named(FAMILY_CHOICES)
        ),
    ]
    return [
        Question(
            name=f"training:{key}",
            label=_("“%(name)s” is") % {"name": text},
            choices=choices,
            initial=said(intake, f"training:{key}")
            or known.get(key, "")
            or meaning_of(text)
            or LEFT_OUT,
            group=_("Trainings"),
            remembered_as=(MEANINGS, key),
        )
        for key, text in intake.seen["trainings"].items()
    ]


def _of_months(intake: Intake) -> list[Question]:
    """How long a training holds from the day it was taken, where no last day is given."""
    answered, asked = Answered(intake), []
    known = remembered_words("training-months")
    bare = intake.seen["bare"] if answered.dated == "taken" else []
    for key in sorted({*intake.seen["taken"], *bare}):
        if not answered.meaning_of(key):
            continue
        text = intake.seen["trainings"].get(key, key)
        asked.append(
            Question(
                name=f"months:{key}",
                label=_("“%(name)s” holds for months") % {"name": text},
                asked="number",
                initial=said(intake, f"months:{key}") or known.get(key, ""),
                is_needed=True,
                help_text=_("Counted from the day it was taken; the last day is the one before."),
                group=_("How long they hold"),
                remembered_as=("training-months", key),
            )
        )
    return asked


def _of_people(intake: Intake) -> list[Question]:
    asked = []
    if intake.seen["needs"]["employer"]:
        asked.append(
            Question(
                name="employer",
                label=_("Employer, for lines that name none"),
                asked="text",
                initial=said(intake, "employer"),
                help_text=_("As it stands in the register. Left empty, the name alone has to do."),
                group=_("People"),
            )
        )
    return [*asked, *_of_new_people(intake), *_of_near_people(intake)]


def _of_new_people(intake: Intake) -> list[Question]:
    sites = [(str(one.pk), one.name) for one in sites_now(intake)]
    return [
        Question(
            name="adds",
            label=_("Enter people who are not in the register"),
            asked="tick",
            initial=said(intake, "adds"),
            help_text=_(
                "By name, employer and staff number alone. Unticked, their lines stay out."
            ),
            group=_("People"),
        ),
        Question(
            name="home",
            label=_("Home site of people who are new"),
            choices=[("", _("No one site")), *sites],
            initial=said(intake, "home"),
            group=_("People"),
        ),
    ]


def _of_near_people(intake: Intake) -> list[Question]:
    """Names one slip of the pen away from one of ours: told, and never merged by themselves."""
    people, answered, asked = people_now(intake), Answered(intake), []
    for name, employer, number in intake.seen["people"]:
        who = Who(name, employer or answered.employer, number)
        near = found(who, people)
        if near.problem is None or near.problem.code != "person-near":
            continue
        choices = [("", _("Not known: the lines stay out"))]
        choices += [(str(one.pk), f"{one.name} ({one.employer})") for one in near.near]
        choices.append(("new", _("Somebody else, who is new")))
        asked.append(
            Question(
                name=f"person:{who.key}",
                label=_("“%(name)s” is") % {"name": name},
                choices=choices,
                initial=answered.person_of(who),
                group=_("Names like one of ours"),
            )
        )
    return asked[:_MOST_PEOPLE]
