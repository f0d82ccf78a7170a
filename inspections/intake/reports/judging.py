"""From what the lines state and whom they mean to what each would do.

Bad news acts from any line that surely means one item, whatever else is wrong with the line; good
news only where the inspection would count by the rules for what is entered from paper.
"""

from __future__ import annotations

import uuid
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, time
from zoneinfo import ZoneInfo

from inspections.actions.authority import Standing, standing_of
from inspections.actions.finding import Finding, Flaw, refuse_unless_sound
from inspections.actions.inspecting import QUARANTINE_AFTER
from inspections.intake.reports.answers import Answered
from inspections.intake.reports.held import OnRecord
from inspections.intake.reports.matching import Match
from inspections.intake.reports.stated import Stated
from inspections.intake.reports.telling import about_item, goes_in, holds, puts_out, unsure
from inspections.intake.reports.wording import said_of, told_of, with_place
from inspections.intake.reports.words import grade_of
from inspections.intake.ways import Line
from inspections.models import Inspection, Intake
from inspections.rules.item_facts import PASSES
from inspections.wording import kind_name, verdict_name
from register import clock
from register.intake.columns import Guess
from register.intake.keys import name_key
from register.intake.rows import Problem
from register.models import Item, Person, Stamp
from register.refusal import Refusal
from register.wording import class_name, lower_first, shown_day

BAD = frozenset({"fail", "refer", "not-identified"})
_SPACE = uuid.UUID("6f1f1f0e-2f0b-4d8e-9f6f-5b1c0c7f8f2a")
_NOTE = 400


@dataclass(frozen=True, slots=True)
class Meant:
    """A line, the item it means, and what is known of both."""

    stated: Stated
    match: Match
    verdict: str
    kind: str
    problems: tuple[Problem, ...]

    @property
    def is_bad(self) -> bool:
        return self.verdict in BAD


@dataclass(frozen=True, slots=True)
class Act:
    """What is done to the item; without a finding it is only stopped."""

    item: int
    finding: Finding | None
    reason: str = ""
    note: str = ""


@dataclass(slots=True, kw_only=True)
class Judge:
    """All that the lines of one report are judged by."""

    intake: Intake
    mapping: Mapping[str, Guess]
    answered: Answered
    items: Mapping[int, Item]
    record: OnRecord
    people: Mapping[int, Person]
    stamp: Stamp
    _first: dict[int, list[Meant]] = field(default_factory=lambda: defaultdict(list))

    def lines(self, every: Sequence[Meant]) -> list[Line]:
        for one in every:
            if one.match.is_sure and one.match.item:
                self._first[one.match.item.pk].append(one)
        return [self._line(one) for one in every]

    def _line(self, one: Meant) -> Line:
        if one.is_bad:
            return self._bad_news(one)
        against = (*one.match.problems, *one.problems)
        if against or one.match.item is None:
            return self._made(one, "out", " ".join(self._placed(one, against)))
        return self._again(one) or self._good_news(one, self.items[one.match.item.pk])

    def _bad_news(self, one: Meant) -> Line:
        """A record where the line allows it; else the item is stopped and the line comes back."""
        if one.match.item is None:
            return self._made(
                one, "unsure", unsure(one.verdict, self._placed(one, one.match.problems))
            )
        item = self.items[one.match.item.pk]
        against = (*one.match.problems, *one.problems)
        if one.match.is_sure and not against:
            again = self._again(one)
            if again:
                return again
            finding = self._finding(one, item, self._person(one))
            why = self._refused(item, finding)
            if not why:
                said = puts_out(item, finding, self._standing(item, finding).not_because == "")
                return self._made(one, "fails", said, Act(item.pk, finding))
        else:
            why = " ".join(self._placed(one, against))
        return self._made(
            one,
            "holds",
            holds(item, one.verdict, why),
            Act(item.pk, None, QUARANTINE_AFTER[one.verdict], self._note(one)),
        )

    def _good_news(self, one: Meant, item: Item) -> Line:
        stated, person = one.stated, self._person(one)
        against = [*self._against_examiner(one, person), *self._against_due(one)]
        if one.verdict in PASSES and self._has_bad_twin(one):
            twin = next(each for each in self._first[item.pk] if each.is_bad).stated
            against.append(Problem("twice-differs", "", {"sheet": twin.sheet, "line": twin.line}))
        finding = self._finding(one, item, person)
        if why := self._refused(item, finding):
            against.append(Problem("refused", "", {"sentence": why}))
        elif one.verdict in PASSES and not against:
            against += self._not_counting(item, finding)
        if against:
            return self._made(one, "out", " ".join(self._placed(one, against)))
        return self._made(
            one, "in", goes_in(finding, stated.performed_on, one.match.notes), Act(item.pk, finding)
        )

    def _again(self, one: Meant) -> Line | None:
        """The same line twice, or a result that is on record."""
        assert one.match.item is not None  # noqa: S101 - only lines that surely mean an item come here
        day = one.stated.performed_on
        for other in self._first[one.match.item.pk]:
            if other is one:
                break
            if _same(other, one):
                where = {"sheet": other.stated.sheet, "line": other.stated.line}
                return self._made(one, "twice", said_of("twice", **where))
        if day is None:
            return None
        held = self.record.get((one.match.item.pk, day, one.kind), ())
        told = {"kind": kind_name(one.kind), "day": shown_day(day)}
        if any(_alike(verdict, one.verdict) for verdict in held):
            said = said_of("on-record", verdict=verdict_name(one.verdict).lower(), **told)
            return self._made(one, "known", said)
        bad = [verdict for verdict in held if verdict in BAD]
        if bad and one.verdict in PASSES:
            clash = Problem("bad-on-record", "verdict", {"verdict": verdict_name(bad[0])})
            return self._made(one, "out", " ".join(self._placed(one, [clash])))
        return None

    def _has_bad_twin(self, one: Meant) -> bool:
        item = one.match.item
        return item is not None and any(each.is_bad for each in self._first[item.pk])

    def _person(self, one: Meant) -> Person | None:
        return self.people.get(self.answered.person_of(self._examiner(one)))

    def _examiner(self, one: Meant) -> str:
        return one.stated.examiner or self.answered.examiner

    def _employer(self, one: Meant) -> str:
        return one.stated.employer or self.answered.employer

    def _against_examiner(self, one: Meant, person: Person | None) -> list[Problem]:
        """Good news comes from somebody we know, with the employer we know them by."""
        name, stated = self._examiner(one), self._employer(one)
        if one.verdict not in PASSES:
            return []
        if not name:
            return [Problem("examiner-missing", "examiner")]
        if person is None:
            return [Problem("examiner-unknown", "examiner", {"value": name})]
        said, ours = name_key(stated), name_key(person.employer)
        if said and ours and said not in ours and ours not in said:
            facts = {"value": name, "stated": stated, "ours": person.employer}
            return [Problem("examiner-employer", "employer", facts)]
        return []

    def _against_due(self, one: Meant) -> list[Problem]:
        due, day = one.stated.next_due_on, one.stated.performed_on
        if one.verdict in PASSES and due is not None and day is not None and due < day:
            return [Problem("due-before", "next_due", {"value": due.isoformat()})]
        return []

    def _not_counting(self, item: Item, finding: Finding) -> list[Problem]:
        code = self._standing(item, finding).not_because
        if code in {"", "kind-moves-nothing"}:
            return []
        facts = {
            "name": str(finding.inspector),
            "class_name": lower_first(class_name(item.product.equipment_class)),
            "kind": lower_first(kind_name(finding.kind)),
            "day": shown_day(clock.day_at(item.site, finding.performed_at)),
        }
        return [Problem("not-counting", "examiner", {"why": said_of(code, **facts)})]

    def _standing(self, item: Item, finding: Finding) -> Standing:
        on = clock.day_at(item.site, finding.performed_at)
        return standing_of(item, finding.inspector, finding.kind, on)

    def _refused(self, item: Item, finding: Finding) -> str:
        """What the act itself would say, without doing it."""
        on = clock.day_at(item.site, finding.performed_at)
        try:
            refuse_unless_sound(item, finding, on, self.stamp)
        except Refusal as refusal:
            return refusal.sentence
        return ""

    def _finding(self, one: Meant, item: Item, person: Person | None) -> Finding:
        stated = one.stated
        passes = one.verdict in PASSES
        name = " · ".join(filter(None, (self._examiner(one), self._employer(one))))
        key = f"{self.intake.document.sha256} {self.intake.pk} {stated.sheet} {stated.line}"
        return Finding(
            id=uuid.uuid5(_SPACE, key),
            kind=one.kind,
            verdict=one.verdict,
            performed_at=self._moment(item, stated),
            inspector=person,
            inspector_text="" if person else name[:120],
            flaws=_flaws(one),
            note=self._note(one),
            good_until_on=stated.next_due_on if passes else None,
            covers_periodic=self.answered.covers_periodic,
            particulars=stated.particulars,
            source=Inspection.Source.REPORT,
            document=self.intake.document,
        )

    def _moment(self, item: Item, stated: Stated) -> datetime:
        """Noon of the day on site, for no report names the hour; of today no later than now."""
        assert stated.performed_on is not None  # noqa: S101 - a line without its day has a problem
        noon = datetime.combine(stated.performed_on, time(12), tzinfo=ZoneInfo(item.site.time_zone))
        today = clock.day_at(item.site, self.stamp.at)
        return min(noon, self.stamp.at) if stated.performed_on == today else noon

    def _note(self, one: Meant) -> str:
        number = one.stated.number or self.answered.number
        parts = (number, one.stated.remarks, "" if _flaws(one) else one.stated.defect)
        return "; ".join(filter(None, parts))[:_NOTE]

    def _placed(self, one: Meant, problems: Iterable[Problem]) -> list[str]:
        found = self.mapping[one.stated.sheet]
        return [with_place(each, found) if each.column else told_of(each) for each in problems]

    def _made(self, one: Meant, list_name: str, said: str, act: Act | None = None) -> Line:
        item = self.items.get(one.match.item.pk) if one.match.item else None
        about = about_item(item) if item else one.stated.about
        place = {"sheet": one.stated.sheet, "line": one.stated.line}
        return Line(**place, about=about, list=list_name, said=said, act=act)  # type: ignore[arg-type]


def _alike(one: str, other: str) -> bool:
    return one == other or (one in PASSES and other in PASSES)


def _same(one: Meant, other: Meant) -> bool:
    days = one.stated.performed_on == other.stated.performed_on
    return days and one.kind == other.kind and _alike(one.verdict, other.verdict)


def _flaws(one: Meant) -> tuple[Flaw, ...]:
    """The defect as told. Of what fails it is a danger now, unless the report grades it."""
    stated = one.stated
    if not stated.defect:
        return ()
    grade = grade_of(stated.grade) or ("A" if one.verdict == "fail" else "C")
    if grade == "B" and stated.danger_by_on is None and one.verdict == "fail":
        grade = "A"
    by = stated.danger_by_on if grade == "B" else None
    return (Flaw(grade=grade, what=stated.defect, action=stated.action, danger_by_on=by),)
