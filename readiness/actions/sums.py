"""Planning sums of a task: each time they are done they are kept as a new version."""

from __future__ import annotations

import json
from collections.abc import Mapping

from django.db import transaction
from django.utils.translation import gettext as _

from readiness.actions.checking import refuse_other_site, refuse_unless_valid
from readiness.facts.kit_parts import measured_with
from readiness.facts.sums import held_to, register_facts, written_facts
from readiness.models import Task, TaskSums
from readiness.rules.needs import exceeds
from readiness.rules.sums.topics import CHECKS
from readiness.rules.sums.values import Refused
from readiness.wording.sums import refusal_sentence
from register.clock import day_at
from register.models import Item, Product, Stamp, record
from register.refusal import Refusal
from register.wording import shown_number


@transaction.atomic
def keep_sums(
    task: Task,
    *,
    topic: str,
    figures: Mapping[str, object],
    product: Product | None = None,
    anchor: Item | None = None,
    stamp: Stamp,
) -> TaskSums:
    """Keep what was put into the sums, with what they rested on; short sums are kept as well.

    Refused where the sums give no answer, or were done for a lighter or heavier person than the task
    has: the cover of the task rests on them.
    """
    task = Task.objects.select_for_update().select_related("site").get(pk=task.pk)
    if topic not in CHECKS:
        raise Refusal("topic-not-known", f"No sums are kept of {topic!r}.")
    _refuse_wrong_anchor(task, anchor)
    _refuse_no_answer(topic, figures)
    _refuse_other_masses(task, figures)
    _refuse_outside_product(task, product, figures)
    _refuse_shorter_lanyard(product, figures)
    sums = TaskSums(task=task, topic=topic, figures=dict(figures), product=product, anchor=anchor)
    sums.rests_on = register_facts(task, product, anchor, topic)
    if topic == TaskSums.Topic.RESCUE:
        sums.rests_on["kit_parts"] = measured_with(task, figures)
    return _as_next_version(sums, stamp)


def _as_next_version(sums: TaskSums, stamp: Stamp) -> TaskSums:
    before = sums.task.sums.filter(topic=sums.topic).order_by("-version").first()
    sums.version = before.version + 1 if before else 1
    sums.made_on, sums.made_at, sums.author = day_at(sums.task.site, stamp.at), stamp.at, stamp.by
    refuse_unless_valid(sums)
    sums.save()
    _record(sums, stamp)
    return sums


def _record(sums: TaskSums, stamp: Stamp) -> None:
    facts = {
        "topic": sums.topic,
        "version": sums.version,
        "figures": json.dumps(sums.figures, sort_keys=True),
        "rests_on": written_facts(sums.rests_on),
    }
    record("keep-sums", {sums.task: facts}, stamp=stamp, sites=[sums.task.site_id])


def _refuse_wrong_anchor(task: Task, anchor: Item | None) -> None:
    if anchor is None:
        return
    refuse_other_site([anchor], task.site)
    if not anchor.product.kind.is_anchor:
        raise Refusal(
            "not-an-anchor", _("%(anchor)s: not an anchor. Choose an anchor.") % {"anchor": anchor}
        )


def _refuse_no_answer(topic: str, figures: Mapping[str, object]) -> None:
    try:
        CHECKS[topic](figures)
    except Refused as refused:
        raise Refusal(refused.code, refusal_sentence(refused)) from refused


def _refuse_outside_product(
    task: Task, product: Product | None, figures: Mapping[str, object]
) -> None:
    """Of what was typed of a fall and what the register says of people and product, the stricter counts."""
    if "mass_kg" not in figures:
        return
    known = dict(figures)
    if task.lightest_kg:
        known.setdefault("lightest_kg", task.lightest_kg)
    if product is not None:
        known |= held_to(product, figures)
    _refuse_no_answer(TaskSums.Topic.FALL, known)


def _refuse_shorter_lanyard(product: Product | None, figures: Mapping[str, object]) -> None:
    """Restraint and fall are judged by the lanyard at its longest, which its product says."""
    length, longest = figures.get("lanyard_m"), product and product.length_m
    if figures.get("system") == "lanyard":
        length = figures.get("length_m")
    if (
        isinstance(length, int | float)
        and longest
        and exceeds(round(float(longest), 3), round(length, 3))
    ):
        raise Refusal(
            "shorter-than-product",
            _(
                "%(product)s is %(longest)s m long; these sums are for %(length)s m. Do them for the"
                " longest the lanyard can be set, or choose another product."
            )
            % {
                "product": product,
                "longest": shown_number(float(longest)),
                "length": shown_number(length),
            },
        )


def _refuse_other_masses(task: Task, figures: Mapping[str, object]) -> None:
    """Heavier than the heaviest and lighter than the lightest is on the safe side."""
    mass, light = figures.get("mass_kg"), figures.get("lightest_kg")
    if isinstance(mass, int | float) and task.heaviest_kg and exceeds(task.heaviest_kg, mass):
        raise Refusal(
            "other-mass",
            _(
                "The heaviest person of %(task)s is %(heaviest_kg)s kg with tools; these sums are"
                " for %(mass)s kg. Do them for %(heaviest_kg)s kg, or change the task first."
            )
            % {"task": task, "heaviest_kg": task.heaviest_kg, "mass": shown_number(mass)},
        )
    if isinstance(light, int | float) and task.lightest_kg and exceeds(light, task.lightest_kg):
        raise Refusal(
            "other-mass",
            _(
                "The lightest person of %(task)s is %(lightest_kg)s kg; these sums are for %(light)s"
                " kg. Do them for %(lightest_kg)s kg, or change the task first."
            )
            % {"task": task, "lightest_kg": task.lightest_kg, "light": shown_number(light)},
        )
