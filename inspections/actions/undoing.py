"""Good news about what was ended or held: two people, and neither of them the one who gains by it."""

from __future__ import annotations

from collections.abc import Sequence

from django.db import transaction
from django.utils.translation import gettext as _

from inspections.actions.authority import authorised_for_class, users_of
from inspections.models import Arrest
from register import clock
from register.actions import holding, reversing
from register.actions.locking import locked_item
from register.actions.two_people import roles_at
from register.models import Hold, Item, Reversal, Role, Stamp, User
from register.refusal import Refusal


@transaction.atomic
def ask_undo_withdrawal(item: Item, *, because: str, stamp: Stamp) -> Reversal:
    """One of the two says in writing why the withdrawal was an error."""
    item = locked_item(item)
    _refuse_unfit(item, stamp)
    return reversing.ask_undo(item, because=because, stamp=stamp)


@transaction.atomic
def agree_undo_withdrawal(item: Item, *, stamp: Stamp) -> Item:
    """The other agrees: into quarantine, and from there only the ordinary way."""
    item = locked_item(item)
    _refuse_unfit(item, stamp)
    asked = reversing.open_reversal(item)
    undone = reversing.agree_undo(item, stamp=stamp)
    _refuse_nobody_competent(item, [asked.asked_by if asked else None, stamp.by], stamp)
    return undone


@transaction.atomic
def ask_release_of_hold(hold: Hold, *, because: str, stamp: Stamp) -> Hold:
    """One of the two says why the evidence may go."""
    _refuse_who_fell(hold, stamp)
    return holding.ask_release(hold, because=because, stamp=stamp)


@transaction.atomic
def agree_release_of_hold(hold: Hold, *, stamp: Stamp) -> Hold:
    """The other agrees."""
    _refuse_who_fell(hold, stamp)
    return holding.agree_release(hold, stamp=stamp)


def _refuse_unfit(item: Item, stamp: Stamp) -> None:
    """Nobody gets their own item back; a competent person is competent for this class today."""
    who = stamp.by.person if stamp.by else None
    if who is None or stamp.by is None:
        return  # refused below, in words of its own
    if who.pk in users_of(item, stamp.at):
        raise Refusal(
            "undone-by-its-user",
            _("You use or used %(item)s: two others have to decide about it.")
            % {"item": item.shown_code},
        )
    on = clock.day_at(item.site, stamp.at)
    is_manager = Role.MANAGER in roles_at(stamp.by, item.site_id)
    if not is_manager and not authorised_for_class(who, item, on):
        raise Refusal(
            "not-authorised",
            _("You are not authorised for this class today: %(kind)s.")
            % {"kind": item.product.kind_name.lower()},
        )


def _refuse_nobody_competent(item: Item, two: Sequence[User | None], stamp: Stamp) -> None:
    """A second role makes no manager competent for a class: one of the two is authorised for it."""
    on = clock.day_at(item.site, stamp.at)
    for one, other in (two, reversed(two)):
        if one is None or one.person is None or other is None:
            continue
        both = Role.COMPETENT in roles_at(one, item.site_id) and Role.MANAGER in roles_at(
            other, item.site_id
        )
        if both and authorised_for_class(one.person, item, on):
            return
    raise Refusal(
        "not-authorised",
        _(
            "Neither of the two is authorised for this class today: %(kind)s. Ask a competent"
            " person who is."
        )
        % {"kind": item.product.kind_name.lower()},
    )


def _refuse_who_fell(hold: Hold, stamp: Stamp) -> None:
    person = stamp.by.person_id if stamp.by else None
    if person and Arrest.objects.filter(hold=hold, wearer=person).exists():
        raise Refusal(
            "released-by-who-fell",
            _("You are the one who fell: two others have to decide about it."),
        )
