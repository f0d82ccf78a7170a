"""One safety notice of the demo: a connector of a kit at the maker's, and loose ones perhaps."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from functools import partial

from inspections.actions.notice_items import acknowledge
from inspections.actions.notices import issue_notice
from inspections.models import Notice
from readiness.demo.kits import AT_THE_MAKER
from readiness.demo.world import Happening, World
from register.models import Item, KitPart
from register.rules.conditions import Condition

PIECES = 4  # whose made date is known only roughly


def notices(world: World) -> Iterator[Happening]:
    """It came by e-mail, late on the day before; half an hour later the maker was told."""
    yield Happening(world.moment(-1, 15, 40), partial(_enter, world))


def _enter(world: World, at: datetime) -> None:
    """For the pieces named by serial that were made after some day; a few of them perhaps were."""
    part = KitPart.objects.get(kit__name=AT_THE_MAKER, role="Connector 1").item
    if part is None:
        return
    rough = _roughly_known(part)
    named = [part, *rough]
    middle = _middle(rough[0]) if rough else None
    notice = Notice(
        issuer="Bureau of Lifting Safety",
        reference=f"SN {at:%y}-118",
        kind="inspect-first",
        received_on=at.date(),
        text="Rivets of one batch were set too short. Do not use before the special inspection.",
        instructions="Look at every rivet head with a glass: the shank must stand proud all round.",
        products=[[part.product.maker, part.product.designation]],
        serials=[[one.serial, one.serial] for one in named],
        made_from_on=middle,
        made_through_on=part.made_last_on,
    )
    stamp = world.stamp("petra", at)
    entered = issue_notice(notice, stamp=stamp)
    told = "by e-mail to the maker, who has the kit on the bench"
    for match in entered.matches.filter(item=part):
        acknowledge(match, how=told, stamp=stamp.again())


def _roughly_known(part: Item) -> list[Item]:
    """Pieces of which the record tells only in which year, or which month, they were made."""
    loose = Item.objects.filter(
        made_precision__in=["year", "month"],
        product=part.product,
        made_last_on__lt=part.made_first_on,
        condition=Condition.IN_SERVICE,
        custody__in=["person", "stores"],
        kit=None,
    ).exclude(use_class="rescue")
    newest = loose.order_by("-made_precision", "pk").first()
    if newest is None:
        return []
    return list(loose.filter(made_first_on=newest.made_first_on).order_by("pk")[:PIECES])


def _middle(item: Item) -> date | None:
    """The day in the middle of those on which it may have been made."""
    first, last = item.made_first_on, item.made_last_on
    return first + (last - first) / 2 if first and last else None
