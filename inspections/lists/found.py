"""Rounds, events, and who may inspect, as lists."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.db.models import Count, F, Q, QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.lists.cautions import PERSONAL, STAND_IN
from inspections.lists.judged import in_lots
from inspections.models import Authorisation, Event, Round
from inspections.outcomes import OPEN
from inspections.round_board import tallies_of
from inspections.round_wording import tally_sentence
from inspections.wording import kind_name
from register.exports.columns import Of, day, moment, number, text, there
from register.lists.listing import Asked, Asking, Listing
from register.models import Person, User
from register.wording import class_name

LOT = 100  # rounds counted together


@dataclass(frozen=True, slots=True)
class RoundRow:
    """A round with its count in words."""

    round: Round
    tally: str


def _rounds(asking: Asking) -> Asked:
    seen = Round.objects.visible_to(asking.user).select_related("site", "inspector")
    return Asked(_counted(seen.order_by("-began_at", "pk")), seen.count())


def _counted(rounds: QuerySet[Round]) -> Iterator[RoundRow]:
    for lot in in_lots(rounds.iterator(chunk_size=LOT), LOT):
        counts = tallies_of(lot)
        yield from (RoundRow(one, tally_sentence(counts[one.pk])) for one in lot)


def _state(row: RoundRow) -> str:
    if row.round.signed_at:
        return _("signed")
    return _("dropped") if row.round.dropped_at else _("open")


ROUNDS = Listing(
    name="rounds",
    title=gettext_lazy("Rounds"),
    page="inspections:round-list",
    need="round.see",
    address="lists/rounds/",
    ask=_rounds,
    at_once=500,
    cautions=(
        gettext_lazy(
            "The passes of a round count once its inspector has signed it, and not before."
        ),
        STAND_IN,
    ),
    columns=(
        moment("began_at", gettext_lazy("Begun"), there("round.began_at", "round.site")),
        text("site", gettext_lazy("Site"), "round.site.name"),
        text("kind", gettext_lazy("Kind of inspection"), lambda row: row.round.get_kind_display()),
        text("inspector", gettext_lazy("Inspector"), "round.inspector.name"),
        text("chosen", gettext_lazy("Chosen by"), "round.chosen"),
        text("state", gettext_lazy("State"), _state),
        moment("signed_at", gettext_lazy("Signed"), there("round.signed_at", "round.site")),
        moment("dropped_at", gettext_lazy("Dropped"), there("round.dropped_at", "round.site")),
        text("count", gettext_lazy("Count"), "tally"),
        text("note", gettext_lazy("Note"), "round.note"),
    ),
)


def events_shown(user: User) -> QuerySet[Event]:
    """Those the user may see, with how many items each had and how many of them are still out."""
    still_out = Q(
        items__condition__in=[str(one) for one in OPEN],
        items__out_since_at__lte=F("recorded_at"),
    )
    events = Event.objects.visible_to(user).select_related("site", "zone", "hold")
    return events.annotate(count=Count("items"), out=Count("items", filter=still_out))


def _events(asking: Asking) -> Asked:
    rows = events_shown(asking.user)
    return Asked(rows.iterator(chunk_size=500), rows.count())


def _evidence(event: Event) -> str:
    if event.hold is None:
        return ""
    return _("released") if event.hold.released_at else _("held")


EVENTS = Listing(
    name="events",
    title=gettext_lazy("Events"),
    page="inspections:event-list",
    need="event.see",
    address="lists/events/",
    ask=_events,
    cautions=(
        gettext_lazy("Who fell and what was told of it are not in this list."),
        STAND_IN,
    ),
    columns=(
        moment("happened_at", gettext_lazy("Happened"), there("happened_at")),
        moment("recorded_at", gettext_lazy("Recorded"), there("recorded_at")),
        text("what", gettext_lazy("What"), lambda row: row.get_kind_display()),
        text("site", gettext_lazy("Site"), "site.name"),
        text("zone", gettext_lazy("Zone"), "zone.name"),
        number("items", gettext_lazy("Items"), "count"),
        number("still_out", gettext_lazy("Still out"), "out"),
        text("evidence", gettext_lazy("Evidence"), _evidence),
    ),
)


def _authorisations(asking: Asking) -> Asked:
    people = Person.objects.visible_to(asking.user)
    given = Authorisation.objects.filter(person__in=people).select_related(
        "person", "given_by__person"
    )
    return Asked(given.order_by("through_on", "person__name", "pk"), given.count())


def _names(name: str, words: Any, every: Any) -> Of:
    return lambda row: ", ".join(words(slug) for slug in getattr(row, name)) or every()


AUTHORISATIONS = Listing(
    name="authorisations",
    title=gettext_lazy("Who may inspect"),
    page="inspections:authorisation-list",
    need="authorisation.see",
    address="lists/authorisations/",
    ask=_authorisations,
    cautions=(PERSONAL,),
    columns=(
        text("inspector", gettext_lazy("Inspector"), "person.name"),
        text(
            "classes",
            gettext_lazy("Classes"),
            _names("classes", class_name, lambda: _("every class")),
        ),
        text("kinds", gettext_lazy("Kinds"), _names("kinds", kind_name, lambda: _("every kind"))),
        day("from_on", gettext_lazy("From"), "from_on"),
        day(
            "through_on", gettext_lazy("Through"), "through_on", gettext_lazy("The last good day.")
        ),
        text("basis", gettext_lazy("Evidence of competence"), "basis"),
        text("independence", gettext_lazy("Independent of whom, how"), "independence"),
        text("given_by", gettext_lazy("Given by"), lambda row: str(row.given_by or "")),
    ),
)
