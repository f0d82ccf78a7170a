"""The regime in force: the jurisdictions chosen, from their files, and the own intervals."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from hashlib import sha256
from pathlib import Path

from django.conf import settings

from inspections.models import Regime
from inspections.rules.scheme_files import read_scheme
from inspections.rules.schemes import Scheme
from register.models import Item

SCHEME_FILES = Path(settings.BASE_DIR) / "fixtures" / "schemes"
DEFAULT_SCHEMES = ("gb", "practice")


@dataclass(frozen=True, slots=True)
class RegimeInForce:
    """What every clock is counted by. ``shorter`` maps 'class/use' to months; ``mark`` differs as
    soon as any word of it does, so that a due day that was copied under another regime shows."""

    schemes: tuple[Scheme, ...]
    shorter: Mapping[str, int]
    mark: str

    def own_months(self, item: Item) -> int | None:
        """The employer's own periodic interval for this class and use, the shortest there is."""
        return self.own_interval(item.product.equipment_class, item.use_class)

    def own_interval(self, class_slug: str, use_class: str) -> int | None:
        keys = {f"{kind}/{use}" for kind in (class_slug, "*") for use in (use_class, "*")}
        return min((months for key, months in self.shorter.items() if key in keys), default=None)


@lru_cache(maxsize=64)
def scheme(slug: str) -> Scheme:
    """The scheme of one jurisdiction, from its file."""
    file = SCHEME_FILES / f"{slug}.json"
    return read_scheme(file.read_text(encoding="utf-8"), file.name)


def scheme_slugs() -> list[str]:
    """The jurisdictions there is a file for."""
    return sorted(file.stem for file in SCHEME_FILES.glob("*.json"))


def regime_in_force() -> RegimeInForce:
    """The employer's choice; Great Britain and common practice where nothing was chosen yet."""
    regime = Regime.objects.first()
    slugs = tuple(regime.schemes) if regime else DEFAULT_SCHEMES
    own = tuple(sorted(regime.shorter.items())) if regime else ()
    return _in_force(slugs, own, anniversary_is_late=bool(regime and regime.anniversary_is_late))


@lru_cache(maxsize=64)
def _in_force(
    slugs: tuple[str, ...], own: tuple[tuple[str, int], ...], *, anniversary_is_late: bool
) -> RegimeInForce:
    chosen = tuple(scheme(slug) for slug in slugs)
    if anniversary_is_late:
        chosen = tuple(replace(each, last_day_rule="day-before") for each in chosen)
    files = [(SCHEME_FILES / f"{slug}.json").read_text(encoding="utf-8") for slug in slugs]
    said = json.dumps([files, own, anniversary_is_late])
    return RegimeInForce(chosen, dict(own), sha256(said.encode()).hexdigest()[:16])
