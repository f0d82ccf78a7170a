"""What stands against a line of a training matrix, and what it does, in sentences."""

from __future__ import annotations

from django.utils.translation import gettext, gettext_noop

from readiness.models.people import Competence, family_name
from register.intake.rows import Problem
from register.intake.wording import CODES, problem_told

# fmt: off
PEOPLE: dict[str, str] = {
    "nobody-named": gettext_noop("Nobody is named."),
    "number-unknown": gettext_noop("The staff number {value} is nobody’s in the register. Give the name too."),
    "number-of-another": gettext_noop("The staff number {value} is that of {ours}, not of {stated}. Find out who is meant."),
    "person-unknown": gettext_noop("{value} is not in the register. Enter them, or tick in the questions that people who are new are entered."),
    "person-near": gettext_noop("{value} is not in the register; {peers} is, and may be the same person. Say so in the questions, or correct the name."),
    "person-of-two": gettext_noop("There are several people called {value}. Give the employer or the staff number."),
    "person-employer": gettext_noop("{value} works for {stated} by the file and for {ours} by the register. Find out who is meant."),
    "person-number": gettext_noop("{value} has the staff number {stated} by the file and {ours} by the register. Find out who is meant."),
}
_PROBLEMS: dict[str, str] = {
    **PEOPLE,
    "no-day": gettext_noop("{training}: there is no day. What has no last day cannot be counted on."),
    "no-months": gettext_noop("{training}: say in the questions how many months it holds, or give its last day."),
    "taken-ahead": gettext_noop("{training}: it was taken on {value}, which is still to come."),
    "ends-before": gettext_noop("{training}: it would end on {value}, before it was taken."),
    "no-employer": gettext_noop("{value} is new, and no employer is named."),
}
_SAID: dict[str, str] = {
    "in": gettext_noop("{what}, through {day}."),
    "ended": gettext_noop("{what} ended on {day}: kept, so that it is seen to have lapsed."),
    "said-ended": gettext_noop("{training}: the file says it has ended, without a day. Nothing is changed."),
    "revoked": gettext_noop("{what}: the file says it was taken away. It ends with today, {day}."),
    "nothing-to-end": gettext_noop("{training}: the file says it was taken away, and nothing is on record."),
    "differs": gettext_noop("{what}: through {day} by the file, through {ours} by the register. The register is not changed: look at the ticket."),
    "known": gettext_noop("{what}, through {day}: on record already."),
    "twice": gettext_noop("{training} stands on line {line} too."),
    "new": gettext_noop("Is entered: {employer}."),
    "new-numbered": gettext_noop("Is entered: {employer}, staff number {number}."),
    "left": gettext_noop("{training}: neither rescue nor first aid."),
}
# fmt: on


def said_of(code: str, **facts: object) -> str:
    return gettext(_SAID[code]).format(**facts)


def told_of(problem: Problem, training: str = "") -> str:
    """What keeps it out, and what to do."""
    if problem.code in CODES:
        told = problem_told(problem)
        return f"{training}: {told}" if training else told
    return gettext(_PROBLEMS[problem.code]).format(training=training, **problem.facts)


def what_of(meaning: str) -> str:
    """'First aid', 'Rescuer, haul and lower'."""
    if meaning == Competence.Kind.FIRST_AID:
        return str(Competence.Kind.FIRST_AID.label)
    return f"{Competence.Kind.RESCUER.label}, {family_name(meaning)}"


def in_column(letter: str, sentence: str) -> str:
    """'Column E: ...'."""
    return gettext("Column {letter}: {sentence}").format(letter=letter, sentence=sentence)
