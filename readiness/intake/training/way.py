"""A training matrix on its way in: what it would do, doing it, taking it back."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from inspections.intake.ways import Line, ListOf, Undone, Way
from inspections.models import Intake
from readiness.actions.people import end_competence, record_competence, take_back_competence
from readiness.intake.known import people_now
from readiness.intake.people import found
from readiness.intake.training.answers import Answered, questions, see
from readiness.intake.training.columns import OTHER, PERSONAL, TRAINING
from readiness.intake.training.judging import Act, Held, Judge, kind_and_family
from readiness.intake.training.stated import lines_of
from readiness.models import Competence
from register.actions.people import add_person
from register.intake.reading import Sheets
from register.models import Person, Site, Stamp
from register.refusal import Refusal

# fmt: off
LISTS = (
    ListOf(slug="revoked", name=gettext_noop("Taken away"), about=gettext_noop("Bad news acts at once: these people no longer count."), acts=True, is_loud=True),
    ListOf(slug="new", name=gettext_noop("People to be entered"), about=gettext_noop("By name, employer and staff number; nothing else of them is kept."), acts=True),
    ListOf(slug="in", name=gettext_noop("Go in"), acts=True),
    ListOf(slug="ended", name=gettext_noop("Ended already"), about=gettext_noop("They count for nothing; that somebody was once trained is worth knowing."), acts=True),
    ListOf(slug="out", name=gettext_noop("Stay out"), about=gettext_noop("Once the others are in you get these lines back as a workbook, each with its reason."), stays_out=True),
    ListOf(slug="differs", name=gettext_noop("Differ from the register")),
    ListOf(slug="ended-unknown", name=gettext_noop("Said to have ended"), about=gettext_noop("Without a day, so nothing is changed: look at these tickets."), is_loud=True),
    ListOf(slug="known", name=gettext_noop("On record already")),
    ListOf(slug="twice", name=gettext_noop("Same line again")),
    ListOf(slug="left", name=gettext_noop("Other trainings, not taken")),
)
# fmt: on


def plan(intake: Intake, sheets: Sheets) -> list[Line]:
    """What each statement would do; nothing is changed."""
    seen = intake.seen
    proved = seen["order"] if seen["order"] in {"day-first", "month-first"} else ""
    order = intake.choices.get("date_order", "") or proved
    left_out = frozenset(intake.choices.get("left_out", ()))
    people = people_now(intake)
    judge = Judge(on=intake.brought_on, answered=Answered(intake), people=people, held=_held_now())
    mapping = TRAINING_WAY.mapping(intake)
    return judge.lines(lines_of(sheets, mapping, order=order, left_out=left_out))


def _held_now() -> Held:
    """Every ticket's days by person and by what it is for."""
    held: Held = {}
    columns = ("person_id", "kind", "family", "from_on", "through_on")
    for person, kind, family, first, last in Competence.objects.values_list(*columns).iterator():
        held.setdefault((person, family or kind), []).append((first, last))
    return held


def act(intake: Intake, line: Line, stamp: Stamp) -> str:
    """Enter a person, record a ticket or end one; the key of what was made."""
    wanted: Act = line.act
    if wanted.do == "person":
        return f"person:{_enter(intake, wanted, stamp).pk}"
    person = _person(intake, wanted)
    kind, family = kind_and_family(wanted.meaning)
    if wanted.do == "end":
        held = Competence.objects.filter(person=person, kind=kind, family=family)
        for one in held.filter(through_on__gte=intake.brought_on):
            because = intake.document.name[:200]
            end_competence(one, through_on=intake.brought_on, because=because, stamp=stamp.again())
        return ""
    ticket = Competence(person=person, kind=kind, family=family, provider=wanted.provider)
    ticket.from_on, ticket.through_on = wanted.from_on, wanted.through_on
    return f"ticket:{record_competence(ticket, stamp=stamp).pk}"


def _enter(intake: Intake, wanted: Act, stamp: Stamp) -> Person:
    home = Site.objects.filter(pk=Answered(intake).home_site).first()
    who = wanted.who
    told = {"name": who.name, "employer": who.employer, "number": who.number}
    return add_person(**told, home_site=home, stamp=stamp)


def _person(intake: Intake, wanted: Act) -> Person:
    """The person of the register, or the one this same file entered a moment ago."""
    if wanted.person:
        return Person.objects.get(pk=wanted.person)
    hit = found(wanted.who, people_now(intake))
    if hit.person is None:
        raise Refusal("person-missing", _("The person was not entered."))
    return Person.objects.get(pk=hit.person.pk)


def undo(intake: Intake, stamp: Stamp) -> Undone:
    """The tickets go again, unless a permit rests on them; people who were entered stay."""
    made = [key.partition(":") for key in intake.made]
    tickets = Competence.objects.filter(
        pk__in=[pk for kind, _colon, pk in made if kind == "ticket"]
    )
    stays, number = [], 0
    for one in tickets.select_related("person"):
        try:
            with transaction.atomic():
                take_back_competence(one, since=intake.started_at, stamp=stamp.again())
        except Refusal as refusal:
            stays.append(refusal.sentence)
        else:
            number += 1
    people = sum(1 for kind, _colon, _pk in made if kind == "person")
    if people:
        stays.append(_people_stay(people))
    return Undone(taken_back=number, stays=stays)


def _people_stay(number: int) -> str:
    return ngettext(
        "%(n)d person who was entered stays; note the day they left on their own page.",
        "%(n)d people who were entered stay; note the day they left on their own pages.",
        number,
    ) % {"n": number}


TRAINING_WAY = Way(
    kind=Intake.Kind.TRAINING,
    book=TRAINING,
    lists=LISTS,
    see=see,
    questions=questions,
    plan=plan,
    act=act,
    undo=undo,
    needed=(("name", "last_name", "number"),),
    is_matrix=True,
    unnamed=gettext_noop("A training, or nothing"),
    unseen=frozenset({PERSONAL, OTHER}),
)
