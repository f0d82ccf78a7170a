"""The acts a user may do with an item as it stands, for the buttons of its page."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from django.contrib.auth.models import AnonymousUser
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from inspections.actions.moving import AT_HAND
from register.access import may
from register.models import Item, User
from register.rules.conditions import Condition, may_change

_HERE = frozenset({"stores", "person", "site", "installed", "cage", "inspector"})
_BENCH = "inspections:inspect"
_GONE = frozenset({Condition.DESTROYED, Condition.LEFT, Condition.NOT_LOCATED})
_NEVER_OF_EVIDENCE = frozenset(
    {"register:item-destroy", "register:item-send-away", "register:item-let-go"}
)


@dataclass(frozen=True, slots=True)
class Act:
    """One button: where it leads, its word, and whether it ends or stops something."""

    url: str
    word: str
    danger: bool


def _turns(to: Condition) -> Callable[[Item], bool]:
    return lambda item: may_change(item.condition, to)


def _is(*conditions: Condition) -> Callable[[Item], bool]:
    return lambda item: item.condition in conditions


def _can_be_lost(item: Item) -> bool:
    turns = may_change(item.condition, Condition.NOT_LOCATED)
    return (turns or item.condition == Condition.WITHDRAWN) and item.custody != "not-located"


def _can_be_sent(item: Item) -> bool:
    return item.condition not in _GONE and item.custody in _HERE


# need, page, word, danger, and when it makes sense at all; the action itself still judges.
_ACTS: tuple[tuple[str, str, str, bool, Callable[[Item], bool]], ...] = (
    (
        "inspection.record", _BENCH, gettext_noop("Inspect"), False,
        lambda item: item.condition not in _GONE and item.condition != Condition.WITHDRAWN,
    ),
    (
        "inspection.enter-paper", "inspections:item-paper", gettext_noop("Enter an inspection from paper"), False,
        lambda item: item.condition != Condition.DESTROYED,
    ),
    (
        "item.quarantine", "register:item-quarantine", gettext_noop("Quarantine"), True,
        _is(Condition.IN_SERVICE, Condition.RECEIVED),
    ),
    (
        "item.release", "inspections:item-release", gettext_noop("Release from quarantine"), False,
        _is(Condition.QUARANTINED),
    ),
    (
        "item.report-found", "register:item-report-found", gettext_noop("Report found"), False,
        lambda item: item.custody == "not-located",
    ),
    (
        "item.send-away", "register:item-back", gettext_noop("Back from the maker"), False,
        _is(Condition.AWAY),
    ),
    ("item.move", "register:item-transfer", gettext_noop("Send to another site"), False, _can_be_sent),
    (
        "item.send-away", "register:item-send-away", gettext_noop("Send to the maker"), False,
        _turns(Condition.AWAY),
    ),
    (
        "item.move", "inspections:item-place", gettext_noop("Say where it is put up"), False,
        lambda item: item.product.kind.installed and item.custody in AT_HAND and item.condition not in _GONE,
    ),
    (
        "item.date", "inspections:item-dates", gettext_noop("State its dates"), False,
        lambda item: item.condition != Condition.DESTROYED,
    ),
    (
        "item.change-use", "inspections:item-change-use", gettext_noop("Change conditions of use"), False,
        lambda item: item.condition not in _GONE,
    ),
    (
        "item.read-label", "inspections:item-read-label", gettext_noop("Read the label"), False,
        lambda item: item.condition not in _GONE,
    ),
    (
        "item.retag", "register:item-retag", gettext_noop("Replace the tag"), False,
        lambda item: item.condition not in _GONE,
    ),
    ("item.report-lost", "register:item-report-lost", gettext_noop("Report lost"), False, _can_be_lost),
    ("paper.issue", "inspections:item-record", gettext_noop("Print its record"), False, lambda _item: True),
    (
        "item.quarantine", "inspections:item-withdrawal", gettext_noop("Print the notice ‘Out of use’"), False,
        _is(Condition.QUARANTINED, Condition.WITHDRAWN),
    ),
    ("item.let-go", "register:item-let-go", gettext_noop("Let go"), False, _turns(Condition.LEFT)),
    (
        "item.withdraw", "register:item-withdraw", gettext_noop("Withdraw for good"), True,
        _turns(Condition.WITHDRAWN),
    ),
    (
        "item.undo-withdrawal", "inspections:item-undo", gettext_noop("Withdrawn in error?"), False,
        _is(Condition.WITHDRAWN),
    ),
    ("item.destroy", "register:item-destroy", gettext_noop("Destroy"), True, _turns(Condition.DESTROYED)),
)  # fmt: skip


def acts_for(user: User | AnonymousUser, item: Item, *, is_held: bool) -> list[Act]:
    """The acts that the user may do at the item's site and that its condition allows.

    Evidence is not destroyed, sent away or let go: these are not offered.
    """
    return [
        Act(_address(page, item), _(word), danger)
        for need, page, word, danger, sensible in _ACTS
        if sensible(item)
        and not (is_held and page in _NEVER_OF_EVIDENCE)
        and may(user, need, item.site_id)
    ]


def _address(page: str, item: Item) -> str:
    """The inspector's bench takes the item as if it were scanned; every other act has its page."""
    if page == _BENCH:
        return f"{reverse(page)}?code={item.code}"
    return reverse(page, args=[item.code])
