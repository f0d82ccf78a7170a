"""A statement of cover as one text and back, exactly; equal answers are written once."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from readiness.rules.cover import Answer, Serves
from readiness.rules.demand import Resource
from readiness.rules.fact_json import plain, unplain
from readiness.rules.reasons import Reason
from readiness.rules.spans import Span
from readiness.rules.statement import Names, Statement
from readiness.rules.timeline import Hours


def written(statement: Statement) -> str:
    """Spans follow one another, so each is its beginning and the place of its answers."""
    reasons, answers, held = _Once(), _Once(), _Once()
    known: dict[int, int] = {}
    for span in statement.spans:
        if id(span.answers) not in known:
            row = {task: answers.place(_answer(one, reasons)) for task, one in span.answers.items()}
            known[id(span.answers)] = held.place(row)
    spans = [[span.begins.isoformat(), known[id(span.answers)]] for span in statement.spans]
    text = {
        "site": statement.site,
        "zone": statement.zone.key,
        "made_at": statement.made_at.isoformat(),
        "facts": statement.facts,
        "undeclared": statement.undeclared,
        "staffed": statement.staffed,
        "names": {kind: dict(getattr(statement.names, kind)) for kind in _NAMED},
        "hours": {task: [_hours(one) for one in held] for task, held in statement.hours.items()},
        "reasons": reasons.rows,
        "answers": answers.rows,
        "held": held.rows,
        "spans": spans,
        "ends": statement.ends.isoformat(),
    }
    return json.dumps(text, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def read(text: str) -> Statement:
    """What was written."""
    told = json.loads(text)
    reasons = [Reason(code, _facts(facts)) for code, facts in told["reasons"]]
    answers = [_read_answer(row, reasons) for row in told["answers"]]
    held = [{task: answers[place] for task, place in row.items()} for row in told["held"]]
    return Statement(
        site=told["site"],
        zone=ZoneInfo(told["zone"]),
        made_at=datetime.fromisoformat(told["made_at"]),
        facts=told["facts"],
        spans=tuple(_read_spans(told["spans"], told["ends"], held)),
        names=Names(**told["names"]),
        hours={task: tuple(map(_read_hours, rows)) for task, rows in told["hours"].items()},
        undeclared=told["undeclared"],
        staffed=told["staffed"],
    )


def _hours(hours: Hours) -> list[str]:
    return [at.isoformat() for at in hours]


def _read_hours(told: Sequence[str]) -> Hours:
    begins, ends = map(time.fromisoformat, told)
    return begins, ends


_NAMED = ("tasks", "zones", "kits", "people", "anchors")


@dataclass(slots=True)
class _Once:
    """Rows, each kept once; equal rows have one place."""

    rows: list[object] = field(default_factory=list)
    _places: dict[str, int] = field(default_factory=dict)

    def place(self, row: object) -> int:
        key = json.dumps(row)
        if key not in self._places:
            self._places[key] = len(self.rows)
            self.rows.append(row)
        return self._places[key]


def _answer(answer: Answer, reasons: _Once) -> dict[str, object]:
    """Only what is said: most answers say little."""
    shortfall = answer.treated_as_arrest
    said: dict[str, object] = {
        "hangs_on": [[one.kind, one.id] for one in answer.hangs_on],
        "lapses_on": answer.lapses_on.isoformat() if answer.lapses_on else None,
        "lapse_reasons": _placed(answer.lapse_reasons, reasons),
        "reasons": _placed(answer.reasons, reasons),
        "missing": list(answer.missing),
        "serves": _serves(answer.serves) if answer.serves else None,
        "treated_as_arrest": _placed([shortfall], reasons) if shortfall else None,
        "unfinished": not answer.finished,
    }
    return {"state": answer.state, **{name: what for name, what in said.items() if what}}


def _placed(found: Iterable[Reason], reasons: _Once) -> list[int]:
    told = ([one.code, {name: plain(value) for name, value in one.facts.items()}] for one in found)
    return [reasons.place(row) for row in told]


def _serves(serves: Serves) -> list[object]:
    people, aiders = list(serves.people), list(serves.first_aiders)
    return [serves.kit, people, serves.anchor, aiders, plain(serves.minutes)]


def _facts(told: Mapping[str, object]) -> dict[str, object]:
    return {name: unplain(value) for name, value in told.items()}


def _read_answer(row: Mapping[str, Any], reasons: Sequence[Reason]) -> Answer:
    lapses_on, serves = row.get("lapses_on"), row.get("serves")
    shortfall = [reasons[place] for place in row.get("treated_as_arrest", ())]
    return Answer(
        state=row["state"],
        hangs_on=tuple(Resource(kind, name) for kind, name in row.get("hangs_on", ())),
        lapses_on=date.fromisoformat(lapses_on) if lapses_on else None,
        lapse_reasons=tuple(reasons[place] for place in row.get("lapse_reasons", ())),
        reasons=tuple(reasons[place] for place in row.get("reasons", ())),
        missing=tuple(row.get("missing", ())),
        serves=_read_serves(serves) if serves else None,
        treated_as_arrest=shortfall[0] if shortfall else None,
        finished=not row.get("unfinished", False),
    )


def _read_serves(row: Sequence[Any]) -> Serves:
    kit, people, anchor, aiders, minutes = row
    return Serves(kit, tuple(people), anchor, tuple(aiders), unplain(minutes))  # type: ignore[arg-type]


def _read_spans(
    rows: Sequence[tuple[str, int]], ends: str, held: Sequence[Mapping[str, Answer]]
) -> Iterable[Span]:
    turns = [datetime.fromisoformat(begins) for begins, _ in rows]
    turns.append(datetime.fromisoformat(ends))
    for place, (_, answers) in enumerate(rows):
        yield Span(turns[place], turns[place + 1], held[answers])
