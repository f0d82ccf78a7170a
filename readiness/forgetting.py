"""Where rescue cover keeps a name as a text: in the answers of a kept check."""

from __future__ import annotations

from readiness.models import CoverCheck, RotaFeed
from register.actions.erasing import enter_eraser
from register.models import Person


def rename_in_checks(person: Person, called: str) -> None:
    """What a permit to work rests on stays as it was, under the number of whoever it names."""
    key = str(person.pk)
    for check in CoverCheck.objects.select_for_update().iterator():
        if any(key in piece["people"] for piece in check.promised):
            for piece in check.promised:
                both = zip(piece["people"], piece["names"], strict=True)
                piece["names"] = [called if who == key else name for who, name in both]
            check.save(update_fields=["promised"])


def forget_in_feeds(person: Person, _called: str) -> None:
    """What a calendar elsewhere says of them is read no longer; it is for its keeper to forget them."""
    for feed in RotaFeed.objects.select_for_update().iterator():
        if person.name and person.name.casefold() in f"{feed.answer} {feed.unclear}".casefold():
            feed.answer = ""
            key = person.name.casefold()
            feed.unclear = [row for row in feed.unclear if key not in " ".join(row).casefold()]
            feed.save(update_fields=["answer", "unclear"])


enter_eraser(rename_in_checks)
enter_eraser(forget_in_feeds)
