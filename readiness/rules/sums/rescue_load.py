"""Who hangs on what in a rescue: the load against each component, and the weakest by name."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from readiness.rules.needs import exceeds
from readiness.rules.sums.ranges import mass
from readiness.rules.sums.values import Basis, Figure, Refused, within

UNMARKED: Final = Figure(100.0, Basis("common practice, no source"))
"""Kilograms a component without a mark is taken to bear: the mass EN tests are made with."""


@dataclass(frozen=True, slots=True)
class Component:
    """By its label: the greatest and least rated load, None where it bears no such mark."""

    name: str
    max_kg: float | None
    min_kg: float | None = None


@dataclass(frozen=True, slots=True)
class LoadFit:
    """The heaviest and the lightest load of the rescue against what the components are rated for.

    `weakest` is the component with the least rating; `overloaded` and `underloaded` name
    all that are out of range, `unmarked` those that were taken to bear 100 kg.
    """

    heaviest_kg: float
    lightest_kg: float
    weakest: Component
    limit_kg: float
    overloaded: tuple[str, ...]
    underloaded: tuple[str, ...]
    unmarked: tuple[str, ...]

    @property
    def fits(self) -> bool:
        return not self.overloaded and not self.underloaded


def load_fit(
    components: Sequence[Component],
    heaviest_kg: float,
    lightest_kg: float | None = None,
    rescuer_kg: float = 0,
) -> LoadFit:
    """The heaviest casualty, clothed and with tools, and the rescuer where the descent is
    accompanied, against every component; the lightest goes alone. Kilograms."""
    if not components:
        raise Refused("components", "missing")
    heaviest = mass("heaviest_kg", heaviest_kg) + within("rescuer_kg", rescuer_kg, 0, 1000)
    lightest = heaviest_kg if lightest_kg is None else mass("lightest_kg", lightest_kg)
    weakest = min(components, key=lambda one: (_limit(one), one.name))
    return LoadFit(
        heaviest_kg=heaviest,
        lightest_kg=lightest,
        weakest=weakest,
        limit_kg=_limit(weakest),
        overloaded=tuple(one.name for one in components if exceeds(heaviest, _limit(one))),
        underloaded=tuple(one.name for one in components if exceeds(one.min_kg or 0, lightest)),
        unmarked=tuple(one.name for one in components if one.max_kg is None),
    )


def _limit(component: Component) -> float:
    return UNMARKED.value if component.max_kg is None else mass("max_kg", component.max_kg)
