"""What all sums share: parts with their basis, totals with their plane, and the refusal."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from math import isfinite
from types import MappingProxyType
from typing import Literal

Status = Literal[
    "read",
    "read-2",
    "from memory, to be verified",
    "common practice, no source",
    "policy",
    "computed",
    "given",
]


class Plane(StrEnum):
    """Below what a length is measured; the same fall gives three numbers."""

    ANCHOR = "anchor"  # A: the anchor, or the unloaded lifeline
    ATTACHMENT = "attachment"  # D: the harness attachment, before the fall
    SURFACE = "surface"  # S: the walking surface


@dataclass(frozen=True, slots=True)
class Basis:
    """What a figure rests on. `source` is the text of a source, '' where status says it all."""

    status: Status
    source: str = ""


GIVEN = Basis("given")  # by whoever asks: measured, or read from the product's label
COMPUTED = Basis("computed")


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure of the trade with what it rests on."""

    value: float
    basis: Basis


@dataclass(frozen=True, slots=True)
class Part:
    """One length of a sum, in metres; `code` says which ('lanyard', 'margin' ...)."""

    code: str
    metres: float
    basis: Basis


@dataclass(frozen=True, slots=True)
class Heights:
    """Above the walking surface, in metres; the anchor is negative where it lies below the feet."""

    anchor_m: float
    attachment_m: float

    def of(self, plane: Plane) -> float:
        known = {Plane.ANCHOR: self.anchor_m, Plane.ATTACHMENT: self.attachment_m}
        return known.get(plane, 0.0)


@dataclass(frozen=True, slots=True)
class Sum:
    """Parts in order, from `plane` downwards. Never rounded inside; `units` rounds at the edge."""

    parts: tuple[Part, ...]
    plane: Plane
    heights: Heights

    @property
    def metres(self) -> float:
        return sum(part.metres for part in self.parts)

    def below(self, plane: Plane) -> float:
        """The same point, measured below another plane."""
        return self.metres - self.heights.of(self.plane) + self.heights.of(plane)


@dataclass(frozen=True, slots=True)
class Flag:
    """Something to be told beside an answer: a code, and the figures of its sentence."""

    code: str
    facts: Mapping[str, object] = field(default_factory=lambda: MappingProxyType({}))


class Refused(Exception):
    """No answer: `field` is outside low..high (None: no bound), or `code` says what forbids it.

    Codes every sum uses: 'missing', 'not-a-number', 'out-of-range'. The sentence is made in
    `readiness.wording.sums`.
    """

    def __init__(
        self,
        field: str,
        code: str,
        low: float | None = None,
        high: float | None = None,
        **facts: object,
    ) -> None:
        super().__init__(f"{field}: {code} ({low}..{high})")
        self.field, self.code, self.low, self.high, self.facts = field, code, low, high, facts


def within(field: str, value: float | None, low: float, high: float) -> float:
    """The value where low <= value <= high; else Refused with the field and the range."""
    if value is None:
        raise Refused(field, "missing", low, high)
    if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
        raise Refused(field, "not-a-number", low, high)
    if not low <= value <= high:
        raise Refused(field, "out-of-range", low, high, value=value)
    return float(value)
