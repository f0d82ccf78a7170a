"""What was answered about a report, and what still has to be asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Q
from django.utils.translation import gettext as _

from inspections.intake.remembering import remembered_words
from inspections.intake.reports.held import sites_of
from inspections.intake.reports.stated import lines_of
from inspections.intake.reports.words import kind_of, verdict_of
from inspections.intake.ways import Question, said
from inspections.models import Authorisation, Intake
from inspections.rules.kinds import KIND_CHOICES
from inspections.rules.verdict import VERDICT_CHOICES
from register.intake.columns import Guess
from register.intake.fields import normal_heading
from register.intake.keys import name_key
from register.intake.reading import Sheets
from register.models import Person
from register.wording import named

_MOST_WORDS = 40
VERDICT_WORDS, KIND_WORDS = "report-verdict", "report-kind"


@dataclass(frozen=True, slots=True)
class Answered:
    """The answers of one file, by the names of its questions."""

    intake: Intake

    def _said(self, name: str) -> str:
        return said(self.intake, name)

    @property
    def examiner(self) -> str:
        return self._said("examiner")

    @property
    def employer(self) -> str:
        return self._said("employer")

    @property
    def number(self) -> str:
        return self._said("number")

    @property
    def performed_on(self) -> date | None:
        kept = self._said("performed")
        return date.fromisoformat(kept) if kept else None

    @property
    def covers_periodic(self) -> bool:
        return self._said("covers_periodic") == "yes"

    def verdict_of(self, text: str) -> str:
        return verdict_of(text) or self._said(f"verdict:{normal_heading(text)}")

    def kind_of(self, text: str) -> str:
        if not text:
            return self._said("kind")
        return kind_of(text) or self._said(f"kind:{normal_heading(text)}")

    @property
    def people(self) -> set[int]:
        """The keys of all who were named as examiners."""
        answers: dict[str, str] = self.intake.choices.get("said", {})
        told = (value for name, value in answers.items() if name.startswith("examiner:"))
        return {int(value) for value in told if str(value).isdigit()}

    def person_of(self, examiner: str) -> int:
        """The key of who it is, 0 where that is nobody in the register."""
        kept = self._said(f"examiner:{name_key(examiner)}")
        return int(kept) if kept.isdigit() else 0


def see(sheets: Sheets, mapping: Mapping[str, Guess]) -> dict[str, Any]:
    """Words that are not understood, examiners as they are written, and what no line says."""
    verdicts: dict[str, str] = {}
    kinds: dict[str, str] = {}
    examiners: dict[str, str] = {}
    lacks = {"kind": False, "examiner": False, "performed": False}
    for line in lines_of(sheets, mapping, order="", left_out=frozenset()):
        if line.verdict and not verdict_of(line.verdict) and len(verdicts) < _MOST_WORDS:
            verdicts.setdefault(normal_heading(line.verdict), line.verdict)
        if line.kind and not kind_of(line.kind) and len(kinds) < _MOST_WORDS:
            kinds.setdefault(normal_heading(line.kind), line.kind)
        if line.examiner and len(examiners) < _MOST_WORDS:
            examiners.setdefault(name_key(line.examiner), line.examiner)
        lacks["kind"] |= not line.kind
        lacks["examiner"] |= not line.examiner
        lacks["performed"] |= any(problem.code == "day-missing" for problem in line.problems)
    return {"verdicts": verdicts, "kinds": kinds, "examiners": examiners, "lacks": lacks}


def questions(intake: Intake) -> list[Question]:
    """In the order in which they are asked."""
    return [
        *_of_the_report(intake),
        *_of_words(intake),
        *_of_examiners(intake),
    ]


def _of_the_report(intake: Intake) -> list[Question]:
    lacks = intake.seen["lacks"]
    kinds = [("", _("Choose")), *named(KIND_CHOICES)]
    asked = [
        Question(
            name="kind",
            label=_("Kind of inspection, for lines that name none"),
            choices=kinds,
            initial=said(intake, "kind"),
            is_needed=True,
            group=_("The report"),
        )
    ]
    asked = asked if lacks["kind"] else []
    if lacks["performed"]:
        asked.append(_day(intake))
    for name, label, wanted in (
        ("examiner", _("Examiner, for lines that name none"), lacks["examiner"]),
        ("employer", _("Their employer, for lines that name none"), True),
        ("number", _("Number of the report, for lines that have none"), True),
    ):
        if wanted:
            initial = said(intake, name)
            asked.append(
                Question(
                    name=name, label=label, asked="text", initial=initial, group=_("The report")
                )
            )
    return [*asked, _covers(intake)]


def _day(intake: Intake) -> Question:
    return Question(
        name="performed",
        label=_("Day of the inspection, for lines that name none"),
        asked="day",
        initial=said(intake, "performed"),
        help_text=_("Only if all of them were made on one day. Left empty, their passes stay out."),
        group=_("The report"),
    )


def _covers(intake: Intake) -> Question:
    return Question(
        name="covers_periodic",
        label=_("The maker’s periodic examination procedure was followed"),
        asked="tick",
        initial=said(intake, "covers_periodic"),
        help_text=_("For thorough examinations: only where the report says so."),
        group=_("The report"),
    )


def _of_words(intake: Intake) -> list[Question]:
    """What a word stands for; left open, its lines stay out."""
    open_choice = ("", _("Not known: its lines stay out"))
    asked = []
    for kind, words, choices in (
        ("verdict", intake.seen["verdicts"], VERDICT_CHOICES),
        ("kind", intake.seen["kinds"], KIND_CHOICES),
    ):
        space = VERDICT_WORDS if kind == "verdict" else KIND_WORDS
        known = remembered_words(space)
        asked += [
            Question(
                name=f"{kind}:{key}",
                label=_("“%(word)s” is") % {"word": text},
                choices=[open_choice, *named(choices)],
                initial=said(intake, f"{kind}:{key}") or known.get(key, ""),
                group=_("Words that were not understood"),
                remembered_as=(space, key),
            )
            for key, text in words.items()
        ]
    return asked


def _of_examiners(intake: Intake) -> list[Question]:
    """Who in the register each examiner is; nobody is taken for somebody of a like name."""
    texts: dict[str, str] = dict(intake.seen["examiners"])
    if typed := said(intake, "examiner"):
        texts.setdefault(name_key(typed), typed)
    if not texts:
        return []
    people = _people(intake, set(texts))
    choices = [("", _("Nobody in the register: passes stay out"))]
    choices += [(str(one.pk), _with_employer(one)) for one in people]
    return [
        Question(
            name=f"examiner:{key}",
            label=_("“%(name)s” is") % {"name": text},
            choices=choices,
            initial=said(intake, f"examiner:{key}") or _exactly(key, people),
            group=_("Examiners"),
        )
        for key, text in texts.items()
    ]


def _people(intake: Intake, names: set[str]) -> list[Person]:
    """Who was ever authorised to inspect, and who bears one of these very names."""
    sites = sites_of(intake)
    rows = Person.objects.order_by("name", "pk")
    if sites is not None:
        rows = rows.filter(Q(home_site__in=sites) | Q(home_site=None))
    may = set(Authorisation.objects.values_list("person_id", flat=True))
    return [one for one in rows if one.pk in may or name_key(one.name) in names]


def _exactly(key: str, people: list[Person]) -> str:
    """The one person of that very name, '' where there are none or two."""
    alike = [one for one in people if name_key(one.name) == key]
    return str(alike[0].pk) if len(alike) == 1 else ""


def _with_employer(one: Person) -> str:
    return f"{one.name} ({one.employer})" if one.employer else one.name
