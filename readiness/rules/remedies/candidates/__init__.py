"""The acts that might help one task, from its reasons and what speaks against each kit and person."""

from __future__ import annotations

from dataclasses import dataclass, replace

from readiness.rules.remedies.acts import Act, Key
from readiness.rules.remedies.bench import Bench
from readiness.rules.remedies.candidates.contested import contest_acts
from readiness.rules.remedies.candidates.kits import kit_acts
from readiness.rules.remedies.candidates.moves import Refused, hired_kits, moved_kits
from readiness.rules.remedies.candidates.people import people_acts
from readiness.rules.remedies.candidates.plans import anchor_acts, plan_acts, postponed, sums_acts
from readiness.rules.remedies.means import Means
from readiness.rules.remedies.need import need_of

MOST_OFFERED = 14
"""More acts than that make the search long and the page longer; what is left out is counted."""

__all__ = ["MOST_OFFERED", "Offered", "Refused", "offered"]


@dataclass(frozen=True, slots=True)
class Offered:
    """`refused` are kits that stay where they are, with what they would uncover."""

    acts: tuple[Act, ...] = ()
    refused: tuple[Refused, ...] = ()
    left_out: int = 0


def offered(bench: Bench, key: Key, means: Means) -> Offered:
    """None of them takes up what is promised elsewhere already."""
    need = need_of(bench, key, means)
    if need is None:
        return Offered()
    moves, refused = moved_kits(need)
    found = [
        *contest_acts(need),
        *kit_acts(need),
        *plan_acts(need),
        *sums_acts(need),
        *anchor_acts(need),
        *people_acts(need, {str(act.facts["family"]) for act in moves}),
        *moves,
        *hired_kits(need),
        *postponed(need),
    ]
    free = [act for act in found if not act.uses & means.promised and act.ready_at < bench.last]
    named = [_given(act, key[0], means) for act in free]
    return Offered(tuple(named[:MOST_OFFERED]), refused, max(0, len(named) - MOST_OFFERED))


def _given(act: Act, site: str, means: Means) -> Act:
    """To somebody, where nobody is named yet; a kit is brought by those of the site it leaves."""
    if act.who:
        return act
    doer, who = means.doer(str(act.facts.get("from") or site), act.kind)
    return replace(act, doer=doer, who=who)
