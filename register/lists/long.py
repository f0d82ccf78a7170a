"""A list too long to wait for: made in the background, for whoever asked, by what they may see then."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.http import QueryDict

from register import clock
from register.errands import Kind, Made, Step, enter_kind
from register.lists.listing import Asking, Listing
from register.lists.made import FORMS, file_of, name_of
from register.models import Errand

_KINDS: dict[str, Kind] = {}


def entered(*listings: Listing) -> tuple[Listing, ...]:
    """Let each be made in the background too."""
    for one in listings:
        _KINDS[one.name] = enter_kind(_kind(one))
    return listings


def kind_for(listing: Listing) -> Kind:
    """The errand that makes this list."""
    return _KINDS[listing.name]


def given_for(form: str, asking: Asking) -> dict[str, object]:
    """All that is needed to make it later."""
    return {"as": form, "query": asking.given.urlencode(), "named": dict(asking.named)}


def _kind(listing: Listing) -> Kind:
    def words(given: Mapping[str, Any]) -> str:
        return f"{listing.title} ({FORMS[given['as']].ending.upper()})"

    def run(errand: Errand, step: Step) -> Made:
        at = clock.now()
        given = errand.given
        asking = Asking(errand.asked_by, QueryDict(given["query"]), at, given["named"])
        asked = listing.ask(asking)
        form = FORMS[given["as"]]
        file = file_of(listing, asked, form, at, lambda done: step(done, asked.count))
        return Made(name_of(listing, form, at), form.content_type, file)

    return Kind(name=f"list-{listing.name}", need=listing.need, words=words, run=run)
