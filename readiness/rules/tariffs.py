"""The best prices there are for a question, told by a linear programme where a solver is installed.

The solver is believed in nothing: its prices are prices like any others, and what they prove is
reckoned anew from them (`bounds.py`). Where it leans to is tried as an allocation, and counts only if
every kit and person can be seated.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from typing import Any

from readiness.rules.aims import Aim, Standing
from readiness.rules.demand import Call
from readiness.rules.market import Goods, Loss, Market
from readiness.rules.prices import Prices
from readiness.rules.programmes import Programme, written

LEAST_SHARE = 0.3
"""Of a task, what the programme must cover in one way for that to be worth a try."""


_OPTIONS = {
    "output_flag": False,
    "threads": 1,
    "presolve": "off",
    "dual_simplex_cost_perturbation_multiplier": 0.0,  # small questions in a row: it costs more rounds
}


@cache
def solver() -> Any:
    """The module of the solver of linear programmes, or None."""
    return import_module("highspy") if find_spec("highspy") else None


@cache
def _silent() -> Any:
    """The solver's model without its callbacks, with which it would greet on the standard output."""
    return type("Silent", (solver().Highs,), {"enableCallbacks": lambda _: None})


@dataclass(slots=True)
class Tariff:
    """One market, asked again and again: the solver goes on from where it stood."""

    goods: Market
    programme: Programme = field(init=False)
    _model: Any = None
    _bounds: dict[int, tuple[float, float]] = field(default_factory=dict)
    _counted: Call | None = None
    _held: dict[str, str] = field(default_factory=dict)
    """Tasks that are held to one family of kit."""

    def prices(self, aim: Aim, standing: Standing, lost: Loss) -> Prices | None:
        """Those at which the least can be reached; None where the solver does not say."""
        if self._model is None:
            self._written()
        for row, bound in self._asked(aim, standing, lost):
            if self._bounds.get(row) != bound:
                self._bounds[row] = bound
                self._model.changeRowBounds(row, *bound)
        self._hold({task: way.family for task, way in standing.kept.items()})
        self._count(aim)
        self._model.run()
        if self._model.getModelStatus() != solver().HighsModelStatus.kOptimal:
            return None
        return self._told(aim)

    def _written(self) -> None:
        """Only once something is asked: most contests are settled without."""
        self.programme, self._model = written(self.goods), _silent()()
        for option, value in _OPTIONS.items():
            self._model.setOptionValue(option, value)
        self._model.passModel(self.programme.model(solver()))

    def leaning(self) -> dict[str, str]:
        """The family of kit that each task mostly takes by what was found last, if it is covered."""
        much = self._model.getSolution().col_value
        found = {}
        for task, columns in self.programme.ways.items():
            shares: dict[str, float] = {}
            for place, way in columns:
                if much[place]:
                    shares[way.family] = shares.get(way.family, 0.0) + much[place]
            family = max(shares, key=lambda one: shares[one], default="")
            if family and shares[family] > LEAST_SHARE:
                found[task] = family
        return found

    def _asked(
        self, aim: Aim, standing: Standing, lost: Loss
    ) -> Iterator[tuple[int, tuple[float, float]]]:
        rows, never = self.programme.rows, solver().kHighsInf
        open_ = set(standing.open)
        for task in self.goods.demands:
            certain = task in standing.kept or task in standing.must
            yield rows["task", task], (float(certain), float(certain or task in open_))
        for kind, goods, gone in (
            ("kit", self.goods.kits, lost.kit),
            ("person", self.goods.people, lost.person),
        ):
            for place, count in enumerate(goods.counts):
                yield rows[kind, place], (-never, float(count - (place == gone)))
        for call in self.programme.calls:
            yield rows["call", call], (float(aim.floors.get(call, 0)), never)

    def _hold(self, families: Mapping[str, str]) -> None:
        never = solver().kHighsInf
        for task in {*families, *self._held}:
            family = families.get(task)
            if family != self._held.get(task):
                for place, way in self.programme.ways[task]:
                    most = never if family is None or way.family == family else 0.0
                    self._model.changeColBounds(place, 0.0, most)
        self._held = dict(families)

    def _count(self, aim: Aim) -> None:
        """All covered tasks are counted, or those at one call."""
        if aim.counted == self._counted:
            return
        self._counted = aim.counted
        for task, columns in self.programme.ways.items():
            worth = -1.0 if aim.counts(self.goods.demands[task]) else 0.0
            for place, _ in columns:
                self._model.changeColCost(place, worth)

    def _told(self, aim: Aim) -> Prices:
        told, rows = self._model.getSolution().row_dual, self.programme.rows

        def paid(kind: str, goods: Goods) -> list[float]:
            return [max(0.0, -told[rows[kind, place]]) for place in range(len(goods.counts))]

        kits, people = paid("kit", self.goods.kits), paid("person", self.goods.people)
        return Prices(
            kits,
            people,
            {
                call: max(0.0, told[rows["call", call]]) if ("call", call) in rows else 0.0
                for call in aim.floors
            },
            {},
            {},
            self.programme.dues("kit", self.goods.kits, kits, told),
            self.programme.dues("person", self.goods.people, people, told),
        )


def tariff(goods: Market) -> Tariff | None:
    """None where no solver is installed: prices are then found by moving them."""
    return None if solver() is None else Tariff(goods)
