"""One answer of rescue cover in words: the state, why not, what it hangs on, who and what serves."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.utils.translation import gettext as _

from readiness.rules.cover import Answer, Serves
from readiness.rules.demand import Resource
from readiness.rules.statement import Names
from readiness.wording import missing_name, reason_sentence, state_name
from register.wording import shown_number


@dataclass(frozen=True, slots=True)
class NamedServes:
    """Who and what serves the task, by the names on the site; minutes from alarm to safety."""

    kit: str
    people: tuple[str, ...]
    anchor: str
    first_aiders: tuple[str, ...]
    minutes: str


@dataclass(frozen=True, slots=True)
class Told:
    """`restraint`: why what is called restraint is judged as arrest, if it is."""

    answer: Answer
    state_words: str
    reasons: tuple[str, ...]
    missing: tuple[str, ...]
    restraint: str
    hangs_on: tuple[str, ...]
    serves: NamedServes | None

    @property
    def state(self) -> str:
        return self.answer.state

    @property
    def uncovered(self) -> bool:
        """Not assessed counts as not covered."""
        return self.answer.uncovered

    @property
    def headline(self) -> str:
        """The one sentence that says why not."""
        if self.reasons:
            return self.reasons[0]
        return _("Not known: %(what)s.") % {"what": ", ".join(self.missing)} if self.missing else ""


def told(answer: Answer, names: Names) -> Told:
    """The answer in the names that people on site use."""
    arrest = answer.treated_as_arrest
    return Told(
        answer=answer,
        state_words=state_name(answer.state),
        reasons=tuple(reason_sentence(reason) for reason in answer.reasons),
        missing=missing_words(answer.missing),
        restraint=reason_sentence(arrest) if arrest else "",
        hangs_on=tuple(thing_words(thing, names) for thing in answer.hangs_on),
        serves=_serves(answer.serves, names),
    )


def missing_words(keys: Iterable[str]) -> tuple[str, ...]:
    """What must be known first, in words."""
    return tuple(missing_name(key) for key in keys)


def thing_words(thing: Resource, names: Names) -> str:
    """'kit RK-05', 'anchor AN-1 TH-0042', or a person's name."""
    if thing.kind == "kit":
        return _("kit %(name)s") % {"name": _named(thing.id, names.kits)}
    if thing.kind == "anchor":
        return _("anchor %(name)s") % {"name": _named(thing.id, names.anchors)}
    return _named(thing.id, names.people)


def _named(key: str, names: Mapping[str, str]) -> str:
    return names.get(key, key)


def _serves(serves: Serves | None, names: Names) -> NamedServes | None:
    if serves is None:
        return None
    return NamedServes(
        kit=_named(serves.kit, names.kits),
        people=tuple(_named(one, names.people) for one in serves.people),
        anchor=_named(serves.anchor, names.anchors),
        first_aiders=tuple(_named(one, names.people) for one in serves.first_aiders),
        minutes=shown_number(serves.minutes),
    )
