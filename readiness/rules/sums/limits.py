"""Whom a product is made for, by mass."""

from __future__ import annotations

from readiness.rules.sums.figures import MASSES_KG
from readiness.rules.sums.values import Figure, Refused, within


def check_mass(
    mass_kg: float | None, min_kg: float | None, max_kg: float | None, unmarked: Figure
) -> None:
    """Refused outside the product's own masses; where it says no maximum, `unmarked` is the maximum.

    Mass is the person with clothing and tools, kg. Outside 50 to 150 kg the sums do not hold.
    """
    mass = within("mass_kg", mass_kg, *MASSES_KG)
    low = MASSES_KG[0] if min_kg is None else within("min_kg", min_kg, 0, 500)
    high = unmarked.value if max_kg is None else within("max_kg", max_kg, 0, 500)
    if not low <= mass <= high:
        raise Refused("mass_kg", "outside-product", low, high, value=mass)
