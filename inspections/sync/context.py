"""What an event is applied with: who sent it, who wrote it, its times, and what becomes of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime

from django.db.models import Q
from django.utils.translation import gettext as _

from inspections.models import SentPhoto, SyncEvent
from inspections.rules.phone_times import Told, for_bad_news, for_good_news, since
from register import clock
from register.models import Document, Item, Person, Site, Stamp, Tag, User
from register.refusal import Refusal
from register.rules.tags import read

May = Callable[[str, int | None], bool]
"""Whether the sender may do this at the site: the edge gives it, from the one table of roles."""

Outcome = SyncEvent.Outcome


class Keep(Refusal):
    """Not done now and not refused: a person decides."""


class Wait(Exception):
    """What belongs to the event has not come yet."""

    def __init__(self, *waits_for: str) -> None:
        super().__init__(", ".join(waits_for))
        self.waits_for = list(waits_for)


@dataclass(frozen=True, slots=True)
class Done:
    """What became of an event, and about what it is."""

    outcome: str = Outcome.APPLIED
    code: str = ""
    sentence: str = ""
    result: str = ""
    waits_for: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """One event being applied. ``decided``: a person has decided that it shall be."""

    event: SyncEvent
    by: User
    may: May
    at: datetime
    decided: bool = False

    @property
    def told(self) -> Told:
        return self.event.told

    @property
    def stamp(self) -> Stamp:
        """Another act each time; the time claimed stays beside the server's own."""
        device = f"phone {self.event.device}".strip()
        return Stamp(by=self.by, at=self.at, claimed_at=self.event.claimed_at, device=device)

    @property
    def inspector(self) -> Person | None:
        """Whoever wrote it, not whoever sends or accepts it."""
        return self.event.made_by.person

    def demand(self, need: str, *sites: int | None) -> None:
        """Where the sender has not the role, somebody who has it decides."""
        if not any(self.may(need, site) for site in sites if site is not None):
            raise Keep("role-missing", _("You have not the role for this: somebody else decides."))

    def reaches(self, item: Item) -> bool:
        """Whether the sender may put this item out, at its site or where it is bound for."""
        sites = [site for site in (item.site_id, item.bound_for_id) if site]
        return any(self.may("item.quarantine", site) for site in sites)

    def item(self, code: str) -> Item:
        """The item of the tag, also of one that was replaced since; the event is about it."""
        found = known_item(code)
        if found is None:
            raise Refusal(
                "item-unknown",
                _("“%(code)s” is the tag of no item in the register.") % {"code": code[:20]},
            )
        self.event.item, self.event.site = found, found.site
        return found

    def site(self, code: str) -> Site:
        found = Site.objects.filter(code=code).first()
        if found is None:
            raise Refusal("site-unknown", _("There is no site “%(code)s”.") % {"code": code[:20]})
        self.event.site = found
        return found

    def photo(self, sha256: str) -> Document | None:
        """The photograph with this hash; the event waits for one that has not come."""
        if not sha256:
            return None
        sha256 = sha256.lower()
        sent = SentPhoto.objects.filter(sha256=sha256).select_related("document").first()
        if sent is None and not self.decided:
            raise Wait(f"photo:{sha256}")
        return sent.document if sent else None

    def performed_at(self, item: Item, *, is_good: bool) -> datetime:
        """When a look counts as made. No look of a day that has not come at the site."""
        if is_good:
            return for_good_news(self.told)
        claimed, received = for_bad_news(self.told), self.told.received_at
        is_ahead = clock.day_at(item.site, claimed) > clock.day_at(item.site, received)
        return received if is_ahead else claimed

    @property
    def since(self) -> datetime | None:
        """Since when it is so, where that is earlier than now."""
        found = since(self.told)
        return found if found < self.at else None


def known_item(code: str) -> Item | None:
    """The item that a tag leads to, or None."""
    typed = read(code).code or code.strip().upper()
    tag = Q(code=typed) | Q(code=code)
    found = Tag.objects.filter(tag).select_related("item__product", "item__site").first()
    return found.item if found else None
