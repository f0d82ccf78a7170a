"""What each statement of a training matrix would do; nothing is changed by asking."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from inspections.intake.ways import Line
from readiness.intake.people import Found, Known, People, Who, found
from readiness.intake.training.answers import Answered
from readiness.intake.training.stated import Stated
from readiness.intake.training.wording import in_column, said_of, told_of, what_of
from readiness.intake.training.words import FIRST_AID
from register.intake.rows import Problem
from register.rules.lifespan import add_months
from register.wording import shown_day

_DAY = timedelta(days=1)
Held = dict[tuple[int, str], list[tuple[date, date]]]


@dataclass(frozen=True, slots=True)
class Act:
    """do: 'person', 'ticket' or 'end'. who: as stated, for people who are entered first."""

    do: str
    who: Who
    person: int = 0
    meaning: str = ""
    from_on: date | None = None
    through_on: date | None = None
    provider: str = ""


@dataclass(slots=True, kw_only=True)
class Judge:
    """on: the day of the import. held: by person and meaning, the days of each ticket."""

    on: date
    answered: Answered
    people: People
    held: Held
    _seen: dict[tuple[str, str, Any], int] = field(default_factory=dict)
    _entered: set[str] = field(default_factory=set)

    def lines(self, every: Iterable[Stated]) -> list[Line]:
        return [line for one in every for line in self._of(one)]

    def _of(self, one: Stated) -> Iterable[Line]:
        who = Who(one.who.name, one.who.employer or self.answered.employer, one.who.number)
        meaning = self.answered.meaning_of(one.key)
        if not meaning:
            yield self._line(one, "left", said_of("left", training=one.training))
            return
        person, problem = self._person(who)
        if problem:
            yield self._line(one, "out", told_of(problem))
            return
        if person is None and who.key not in self._entered:
            self._entered.add(who.key)
            yield self._enters(one, who)
        yield self._ticket(one, who, person, meaning)

    def _person(self, who: Who) -> tuple[Known | None, Problem | None]:
        """Somebody of ours; nobody and no problem where they are new and may be entered."""
        hit: Found = found(who, self.people)
        if hit.person:
            return hit.person, None
        code = hit.problem.code if hit.problem else ""
        chosen = self.answered.person_of(who) if code == "person-near" else ""
        if chosen.isdigit():
            mine = [one for one in hit.near if one.pk == int(chosen)]
            return (mine[0], None) if mine else (None, hit.problem)
        if (hit.is_new or chosen == "new") and self.answered.adds_people:
            no_employer = Problem("no-employer", "employer", {"value": who.name})
            return None, None if who.employer else no_employer
        return None, hit.problem

    def _enters(self, one: Stated, who: Who) -> Line:
        code = "new-numbered" if who.number else "new"
        said = said_of(code, employer=who.employer, number=who.number)
        return self._line(one, "new", said, Act("person", who))

    def _ticket(self, one: Stated, who: Who, person: Known | None, meaning: str) -> Line:
        if one.says == "revoked":
            return self._revoked(one, who, person, meaning)
        if one.says == "ended" and one.through_on is None:
            return self._line(one, "ended-unknown", said_of("said-ended", training=one.training))
        first, last, problem = self._days(one)
        if problem or first is None or last is None:
            told = told_of(problem or Problem("no-day"), one.training)
            return self._line(one, "out", in_column(one.column, told))
        mark = (who.key, meaning, last)
        if mark in self._seen:
            said = said_of("twice", training=one.training, line=self._seen[mark])
            return self._line(one, "twice", said)
        self._seen[mark] = one.line
        return self._against_record(one, (who, person, meaning), first, last)

    def _against_record(
        self, one: Stated, whose: tuple[Who, Known | None, str], first: date, last: date
    ) -> Line:
        who, person, meaning = whose
        facts = {"what": what_of(meaning), "day": shown_day(last)}
        held = self.held.get((person.pk, meaning), []) if person else []
        if any(through == last for _from, through in held):
            return self._line(one, "known", said_of("known", **facts))
        latest = max((through for _from, through in held), default=None)
        if latest is not None and latest > last:
            said = said_of("differs", ours=shown_day(latest), **facts)
            return self._line(one, "differs", said)
        pk = person.pk if person else 0
        act = Act("ticket", who, pk, meaning, first, last, one.provider)
        is_over = last < self.on
        return self._line(
            one, "ended" if is_over else "in", said_of("ended" if is_over else "in", **facts), act
        )

    def _revoked(self, one: Stated, who: Who, person: Known | None, meaning: str) -> Line:
        """Bad news ends what is on record, from today on."""
        running = [
            days
            for days in (self.held.get((person.pk, meaning), []) if person else [])
            if days[1] >= self.on
        ]
        if person is None or not running:
            return self._line(one, "known", said_of("nothing-to-end", training=one.training))
        said = said_of("revoked", what=what_of(meaning), day=shown_day(self.on))
        return self._line(one, "revoked", said, Act("end", who, person.pk, meaning))

    def _days(self, one: Stated) -> tuple[date | None, date | None, Problem | None]:
        """From which day through which, by what the file says and the questions add."""
        if one.problems:
            return None, None, one.problems[0]
        taken = one.taken_on or (one.bare_on if self.answered.dated == "taken" else None)
        last = one.through_on or (one.bare_on if self.answered.dated == "through" else None)
        if taken is None and last is None:
            return None, None, Problem("no-day")
        if taken is not None and taken > self.on:
            return None, None, Problem("taken-ahead", "", {"value": shown_day(taken)})
        if last is None and taken is not None:
            months = self.answered.months_of(one.key)
            if not months:
                return None, None, Problem("no-months")
            last = add_months(taken, months) - _DAY
        if last is not None and taken is not None and last < taken:
            return None, None, Problem("ends-before", "", {"value": shown_day(last)})
        # Nobody said since when: no earlier than the file can vouch for.
        return taken or min(self.on, last or self.on), last, None

    def _line(self, one: Stated, list_name: str, said: str, act: Act | None = None) -> Line:
        about = " · ".join(filter(None, (one.who.name or one.who.number, one.who.employer)))
        return Line(sheet=one.sheet, line=one.line, about=about, list=list_name, said=said, act=act)


def kind_and_family(meaning: str) -> tuple[str, str]:
    """As a ticket keeps them."""
    return ("first aid", "") if meaning == FIRST_AID else ("rescuer", meaning)
