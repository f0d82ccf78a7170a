"""Several troubles at once: each mended in turn, with what is promised already out of reach."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from readiness.rules.remedies.acts import Act, Key
from readiness.rules.remedies.bench import Bench
from readiness.rules.remedies.search import Found, RemedySet, remedies
from readiness.rules.remedies.weighing import weigh

Pick = Callable[[Found], RemedySet | None]


def one_after_another(
    bench: Bench, wanted: Sequence[Key], acts: Mapping[Key, Iterable[Act]], pick: Pick
) -> dict[Key, RemedySet | None]:
    """In the order asked. What one set takes up no other is promised, and the sets hold together:
    one that would undo an earlier one is not given. Not proven the best for all of them."""
    found: dict[Key, RemedySet | None] = {}
    taken: set[str] = set()
    done: tuple[Act, ...] = ()
    for key in wanted:
        free = [act for act in acts.get(key, ()) if not act.uses & taken]
        chosen = pick(remedies(bench, (key,), free))
        if chosen is not None and _holds(bench, wanted, found, (*done, *chosen.acts), key):
            done = (*done, *chosen.acts)
            taken |= {name for act in chosen.acts for name in act.uses}
            found[key] = chosen
        else:
            found[key] = None
    return found


def _holds(
    bench: Bench,
    wanted: Sequence[Key],
    found: Mapping[Key, RemedySet | None],
    together: tuple[Act, ...],
    key: Key,
) -> bool:
    """With all of them applied nothing is broken, and each still mends what it was chosen for."""
    outcome = weigh(bench, wanted, together)
    allowed = {one: held.outcome.gaps.get(one, ()) for one, held in found.items() if held}
    return not outcome.broken and all(
        set(outcome.gaps.get(one, ())) <= set(hours) for one, hours in allowed.items() if one != key
    )
