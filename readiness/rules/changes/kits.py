"""What may change about a rescue kit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime

from readiness.rules.demand import Resource
from readiness.rules.situation import IN_SERVICE, Clock, Kit
from readiness.rules.timeline import KitTime, Timeline
from readiness.rules.windows import ALWAYS, EVER, FOREVER, without


@dataclass(frozen=True, slots=True)
class KitTaken:
    """As if it had never been there."""

    kit: str

    def of(self, timeline: Timeline) -> Timeline:
        return timeline.without(Resource("kit", self.kit))


@dataclass(frozen=True, slots=True)
class KitExamined:
    """These clocks of the kit and its parts run to new last good days; others stay as they are."""

    kit: str
    renewed: tuple[Clock, ...]

    def of(self, timeline: Timeline) -> Timeline:
        days = {(one.part, one.clock): one for one in self.renewed}
        return _with_kit(
            timeline,
            self.kit,
            lambda kit: replace(
                kit, clocks=tuple(days.get((one.part, one.clock), one) for one in kit.clocks)
            ),
        )


@dataclass(frozen=True, slots=True)
class KitReleased:
    """Passed and back in service, or its label read and nothing against it found."""

    kit: str

    def of(self, timeline: Timeline) -> Timeline:
        return _with_kit(timeline, self.kit, lambda kit: replace(kit, condition=IN_SERVICE))


@dataclass(frozen=True, slots=True)
class KitFilled:
    """What was missing or out is in it again; nothing named fills all there is."""

    kit: str
    parts: tuple[str, ...] = ()

    def of(self, timeline: Timeline) -> Timeline:
        return _with_kit(
            timeline,
            self.kit,
            lambda kit: replace(
                kit,
                missing=tuple(one for one in kit.missing if self.parts and one not in self.parts),
            ),
        )


@dataclass(frozen=True, slots=True)
class KitResealed:
    """Closed with a new seal, whose number is kept."""

    kit: str

    def of(self, timeline: Timeline) -> Timeline:
        return _with_kit(timeline, self.kit, lambda kit: replace(kit, seal_intact=True))


@dataclass(frozen=True, slots=True)
class KitMoved:
    """It hangs in another zone of the same site."""

    kit: str
    zone: str
    place: str = ""

    def of(self, timeline: Timeline) -> Timeline:
        return _with_kit(
            timeline, self.kit, lambda kit: replace(kit, zone=self.zone, place=self.place)
        )


@dataclass(frozen=True, slots=True)
class KitWithKey:
    """A key for every hour: it can be got at round the clock."""

    kit: str

    def of(self, timeline: Timeline) -> Timeline:
        kits = tuple(
            replace(one, in_reach=ALWAYS, kit=replace(one.kit, locked=False))
            if one.kit.id == self.kit
            else one
            for one in timeline.kits
        )
        return replace(timeline, kits=kits)


@dataclass(frozen=True, slots=True)
class KitArrives:
    """A kit from elsewhere is scanned in at this moment, and may be taken away again later."""

    kit: KitTime
    at: datetime
    until: datetime = FOREVER

    def of(self, timeline: Timeline) -> Timeline:
        kept = tuple(one for one in timeline.kits if one.kit.id != self.kit.kit.id)
        arrived = replace(self.kit, here=((self.at, self.until),))
        return replace(timeline, kits=(*kept, arrived))


@dataclass(frozen=True, slots=True)
class KitLeaves:
    """From this moment it is not at the site; it may come back."""

    kit: str
    at: datetime = EVER
    until: datetime = FOREVER

    def of(self, timeline: Timeline) -> Timeline:
        away = ((self.at, self.until),)
        kits = tuple(
            replace(one, here=without(one.here, away)) if one.kit.id == self.kit else one
            for one in timeline.kits
        )
        return replace(timeline, kits=kits)


def _with_kit(timeline: Timeline, name: str, change: Callable[[Kit], Kit]) -> Timeline:
    kits = tuple(
        replace(one, kit=change(one.kit)) if one.kit.id == name else one for one in timeline.kits
    )
    return replace(timeline, kits=kits)
