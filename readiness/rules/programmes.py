"""A contest as a linear programme: tasks covered in part, by parts of kits and of people.

Where tasks may share, each thing stands by for one circle of tasks that all may.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from readiness.rules.demand import Call, Way
from readiness.rules.market import Goods, Market, Offer

_DEAR = 1000.0
"""What a task or a call that must be had and cannot costs: far more than all tasks are worth."""

_TO_ONE_TASK = 3

Row = tuple[Any, ...]
"""What a row is about: a task, a class of kits or of people, a call, a way, a class to one task."""


@dataclass(slots=True)
class Programme:
    """Rows by what they are about, columns in the order in which they are written."""

    rows: dict[Row, int] = field(default_factory=dict)
    calls: tuple[Call, ...] = ()
    ways: dict[str, list[tuple[int, Way]]] = field(default_factory=dict)
    """The columns that cover each task, each with the way in which it does."""
    standby: dict[tuple[str, int], list[tuple[str, ...]]] = field(default_factory=dict)
    """The circles that a class of kits, or of people, may stand by for."""
    starts: list[int] = field(default_factory=lambda: [0])
    places: list[int] = field(default_factory=list)
    weights: list[float] = field(default_factory=list)
    costs: list[float] = field(default_factory=list)

    def row(self, *about: Any) -> int:
        return self.rows.setdefault(about, len(self.rows))

    def column(self, entries: Iterable[tuple[int, float]], cost: float = 0.0) -> int:
        for place, weight in entries:
            self.places.append(place)
            self.weights.append(weight)
        self.starts.append(len(self.places))
        self.costs.append(cost)
        return len(self.costs) - 1

    def dues(
        self, kind: str, goods: Goods, prices: Sequence[float], told: Sequence[float]
    ) -> dict[str, list[float]]:
        """What each task that may share pays of each class: a circle together never more than the price."""
        found = {task: [0.0] * len(prices) for task in goods.circles.of}
        for (of, place), circles in self.standby.items():
            if of != kind:
                continue
            paid = {
                task: max(0.0, -told[self.rows[kind, place, task]])
                for task in {task for circle in circles for task in circle}
            }
            most = max(sum(paid[task] for task in circle) for circle in circles)
            scale = 0.0 if most <= 0 else min(1.0, prices[place] / most)
            for task, due in paid.items():
                found[task][place] = due * scale
        return found

    def model(self, highs: Any) -> Any:
        """As the solver takes it; bounds of rows are set with each question."""
        never, model = highs.kHighsInf, highs.HighsLp()
        rows, columns = len(self.rows), len(self.costs)
        model.num_row_, model.num_col_ = rows, columns
        model.row_lower_ = [-never if about[0] in {"kit", "person"} else 0.0 for about in self.rows]
        model.row_upper_ = [0.0 if len(about) == _TO_ONE_TASK else never for about in self.rows]
        model.col_cost_ = self.costs
        model.col_lower_, model.col_upper_ = [0.0] * columns, [never] * columns
        model.a_matrix_.format_ = highs.MatrixFormat.kColwise
        model.a_matrix_.start_ = self.starts
        model.a_matrix_.index_ = self.places
        model.a_matrix_.value_ = self.weights
        return model


def written(goods: Market) -> Programme:
    """All rows that a question sets first, then what links them."""
    sheet = Programme()
    demands = goods.demands
    sheet.calls = tuple(sorted({one.rank for one in demands.values() if one.rank is not None}))
    for task in demands:
        sheet.column([(sheet.row("task", task), 1.0)], _DEAR)
    for call in sheet.calls:
        sheet.column([(sheet.row("call", call), 1.0)], _DEAR)
    for kind, things in (("kit", goods.kits), ("person", goods.people)):
        for place in range(len(things.counts)):
            sheet.row(kind, place)
    for task, demand in demands.items():
        called = [] if demand.rank is None else [(sheet.row("call", demand.rank), 1.0)]
        covers = [(sheet.row("task", task), 1.0), *called]
        sheet.ways[task] = [
            column
            for offer in goods.offers[task]
            for column in _way(sheet, goods, (task, offer), covers)
        ]
    _stand_by(sheet, "kit", goods.kits)
    _stand_by(sheet, "person", goods.people)
    return sheet


def _way(
    sheet: Programme, goods: Market, one: tuple[str, Offer], covers: list[tuple[int, float]]
) -> Iterator[tuple[int, Way]]:
    """As much of a kit as of the task, and of people so many times as much."""
    task, offer = one
    crew = [(sheet.row("way", (task, offer.way.family)), -float(offer.need))] if offer.need else []
    for place in offer.kits:
        kit = (_unit(sheet, ("kit", place), task, goods.kits), 1.0)
        yield sheet.column([*covers, kit, *crew], -1.0), offer.way
    for row, _ in crew:
        for place in offer.people:
            person = _unit(sheet, ("person", place), task, goods.people)
            sheet.column([(row, 1.0), (person, 1.0)])


def _unit(sheet: Programme, one: tuple[str, int], task: str, goods: Goods) -> int:
    """What is taken of a class is taken from all there is, or from what stands by for the task."""
    return sheet.row(*one, task) if task in goods.circles.of else sheet.row(*one)


def _stand_by(sheet: Programme, kind: str, goods: Goods) -> None:
    asking: dict[int, set[str]] = {}
    for about in sheet.rows:
        if about[0] == kind and len(about) == _TO_ONE_TASK:
            asking.setdefault(about[1], set()).add(about[2])
    for place, tasks in asking.items():
        circles = dict.fromkeys(
            tuple(task for task in circle if task in tasks) for circle in goods.circles.sets
        )
        sheet.standby[kind, place] = [circle for circle in circles if circle]
        for circle in sheet.standby[kind, place]:
            parts = [(sheet.row(kind, place, task), -1.0) for task in circle]
            sheet.column([(sheet.row(kind, place), 1.0), *parts])
