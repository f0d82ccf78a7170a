"""All kits of a site against one rescue, best first, and the picture of the first that serves."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import Prefetch
from django.utils.translation import gettext as _

from readiness.facts.kit_parts import exchanged_since, parts_at
from readiness.facts.rescue import RescueKnown
from readiness.facts.sums import newest
from readiness.models import Task, TaskSums
from readiness.rules.sums.rescue import KitSum, kit_sum
from readiness.rules.sums.rescue_figures import RescueGiven
from readiness.rules.sums.side_view import Scene
from readiness.rules.sums.side_view_rescue import Recovery, rescue_scene
from readiness.wording.lengths import Unit
from readiness.wording.rescue import (
    KitWords,
    best_first,
    exchanged_sentence,
    headline,
    kit_words,
)
from register.models import Site

HANGS_M = 3.0
"""Below the walking surface, in the picture, where nothing is put in."""


@dataclass(frozen=True, slots=True)
class Reckoned:
    """`sums` by name of kit; `kits` the same in words, best first."""

    sums: dict[str, KitSum]
    kits: list[KitWords]
    headline: str


def reckoned(known: RescueKnown, given: RescueGiven, unit: Unit) -> Reckoned:
    sums = {kit.name: kit_sum(known.task, kit, given) for kit in known.kits}
    words = {name: kit_words(one, known.against.get(name), unit) for name, one in sums.items()}
    kits = best_first(words)
    return Reckoned(sums, kits, headline(kits))


def scene_of(known: RescueKnown, given: RescueGiven, answer: Reckoned) -> Scene | None:
    """None where no kit can bring anybody, or the height or the way is not known."""
    for words in answer.kits:
        found = answer.sums[words.name]
        if found.ways and found.kit.reach_s is not None:
            return _scene(known, given, found)
    return None


def _scene(known: RescueKnown, given: RescueGiven, found: KitSum) -> Scene | None:
    way = found.ways[-1]
    metres = known.task.lower_m if way == "lower" else known.task.raise_m
    if metres is None:
        return None
    hangs = given.casualty_m
    if hangs is None:
        hangs = -metres if way == "raise" else -HANGS_M
    return rescue_scene(
        Recovery(
            way=way,
            anchor_m=given.anchor_m,
            casualty_m=hangs,
            landing_m=hangs + (metres if way == "raise" else -metres),
            minutes=(found.kit.reach_s or 0) / 60,
            anchor=known.anchor,
            kit=found.kit.name,
            landing=given.landing or _("place of safety"),
        )
    )


def rescues_to_redo(site: Site, since: date) -> dict[str, str]:
    """By task that still runs on that day, which kits its rescue must be measured with again, and why."""
    kept = Prefetch("sums", TaskSums.objects.newest_first())
    tasks = Task.objects.filter(site=site, to_on__gte=since).prefetch_related(kept)
    now, found = parts_at(site), {}
    for task in tasks:
        others = exchanged_since(newest(list(task.sums.all()), TaskSums.Topic.RESCUE), now)
        if others:
            found[task.code] = " ".join(exchanged_sentence(one) for one in others)
    return found
