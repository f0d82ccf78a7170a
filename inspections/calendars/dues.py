"""What falls due, by site and day: to be inspected, to be serviced, at the end of its life or hire."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date

from django.db.models import Exists, OuterRef, Q, QuerySet
from django.utils.translation import gettext as _

from inspections.calendars.grouping import Wanted, address_of, classes_words
from inspections.due_board import falling_due
from inspections.models import Visit
from inspections.regime import regime_in_force
from inspections.rules.workload import NO_INSPECTION
from register.links import link_to
from register.models import Item, Site
from register.rules.calendar import Happening, fitted
from register.rules.conditions import Condition

DUE, HIRE, BACK = "due", "hire", "back"
SERVICE, LIFE_ENDS, INSPECT, OUT = "service", "life", "inspect", "out"
MOST_CLASSES = 4  # named in the line; the text beneath names all
GONE = (Condition.DESTROYED, Condition.LEFT)


@dataclass(slots=True)
class Lot:
    """What is told together: pieces of one site that come to the same on the same day."""

    site: Site
    day: date
    sort: str
    classes: list[str] = field(default_factory=list)
    undated: int = 0

    @property
    def words(self) -> dict[str, object]:
        return {"site": self.site, "classes": classes_words(self.classes, MOST_CLASSES)}


def not_known(wanted: Wanted) -> bool:
    """Whether due days are just being counted anew, so that none may be told as called off."""
    counted = Q(due__regime=regime_in_force().mark)
    return wanted.of_class(_asked(falling_due(), wanted)).exclude(counted).exists()


def dues(wanted: Wanted) -> Iterator[Happening]:
    """Pieces in service by their last good day; what is out of date is told on today.

    A piece on a visit before its day is told by the visit alone.
    """
    for lot in _lots(_falling(wanted), wanted).values():
        if lot.sort == OUT:
            yield _out(lot, wanted)
        else:
            yield _due(lot, wanted)


def hires(wanted: Wanted) -> Iterator[Happening]:
    """The last day of a hire, whatever the condition: what is withdrawn has to go back too."""
    hired = Item.objects.filter(hire_end_on__range=(wanted.today, wanted.until))
    items = wanted.of_class(_asked(hired, wanted)).exclude(condition__in=GONE)
    rows = items.select_related("product", "site")
    for lot in _by_day(rows, HIRE, lambda item: item.hire_end_on).values():
        words = lot.words
        yield _happening(lot, HIRE, _("Hire ends at %(site)s: %(classes)s") % words, wanted)


def to_bring_back(wanted: Wanted) -> Iterator[Happening]:
    """What the person has promised to bring back, by the day."""
    held = Item.objects.filter(due_back_on__range=(wanted.today, wanted.until))
    rows = _asked(held, wanted).select_related("product", "site")
    for lot in _by_day(rows, BACK, lambda item: item.due_back_on).values():
        words = lot.words
        yield _happening(lot, BACK, _("Bring back: %(classes)s") % words, wanted)


def _asked(items: QuerySet[Item], wanted: Wanted) -> QuerySet[Item]:
    """In one's own calendar only what one holds."""
    items = items.filter(site__in=wanted.sites)
    return items.filter(holder=wanted.person) if wanted.person else items


def _falling(wanted: Wanted) -> QuerySet[Item]:
    before = Visit.objects.standing().filter(
        items=OuterRef("pk"), day_on__gte=wanted.today, day_on__lte=OuterRef("good_on")
    )
    soon = Q(good_on__lte=wanted.until) | Q(good_on=None)
    items = wanted.of_class(_asked(falling_due(), wanted)).filter(soon)
    if not wanted.person:
        items = items.exclude(Exists(before))
    return items.select_related("product", "site", "due")


def _lots(items: QuerySet[Item], wanted: Wanted) -> Mapping[tuple[int, date, str], Lot]:
    """By site, day and sort; a hire's end is told by itself."""
    lots: dict[tuple[int, date, str], Lot] = {}
    for item in items:
        last: date | None = item.good_on  # type: ignore[attr-defined]
        is_out = last is None or last < wanted.today
        sort = OUT if is_out else _sort(item)
        day = wanted.today if last is None or is_out else last
        if sort == HIRE:
            continue
        lot = lots.setdefault((item.site_id, day, sort), Lot(item.site, day, sort))
        lot.classes.append(item.product.equipment_class)
        lot.undated += last is None
    return lots


def _sort(item: Item) -> str:
    clock = item.due.clock
    if clock == "maker-service":
        return SERVICE
    if clock == HIRE:
        return HIRE
    return LIFE_ENDS if clock in NO_INSPECTION else INSPECT


def _by_day(
    items: QuerySet[Item], sort: str, day_of: Callable[[Item], date | None]
) -> Mapping[tuple[int, date], Lot]:
    lots: dict[tuple[int, date], Lot] = {}
    for item in items.order_by("pk"):
        if day := day_of(item):
            lot = lots.setdefault((item.site_id, day), Lot(item.site, day, sort))
            lot.classes.append(item.product.equipment_class)
    return lots


def _due(lot: Lot, wanted: Wanted) -> Happening:
    words = lot.words
    if wanted.person:
        said = _("Hand in today at the latest: %(classes)s")
    elif lot.sort == SERVICE:
        said = _("Last day before the maker’s service at %(site)s: %(classes)s")
    elif lot.sort == LIFE_ENDS:
        said = _("Last day of use at %(site)s: %(classes)s")
    else:
        said = _("Due for inspection at %(site)s: %(classes)s")
    return _happening(lot, f"{DUE}-{lot.sort}", said % words, wanted)


def _out(lot: Lot, wanted: Wanted) -> Happening:
    """One event that moves along with today for as long as anything is out of date."""
    words = lot.words
    if wanted.person:
        said = _("Do not use. Out of date in your hands: %(classes)s")
    else:
        said = _("Out of date at %(site)s, not to be used: %(classes)s")
    more = (
        _("Of these without a date on record: %(n)d.") % {"n": lot.undated} if lot.undated else ""
    )
    return _happening(lot, OUT, said % words, wanted, more)


def _happening(lot: Lot, name: str, summary: str, wanted: Wanted, more: str = "") -> Happening:
    day = "" if name == OUT else f"-{lot.day.isoformat()}"
    if wanted.person:
        link = link_to("inspections:person-detail", wanted.person.pk)
    else:
        link = link_to("inspections:due-list", asked=f"?site={lot.site.code}")
    return Happening(
        key=f"{name}-{lot.site.pk}{day}",
        topic=DUE if name == OUT else name.partition("-")[0],
        first_on=lot.day,
        last_on=lot.day,
        summary=fitted(summary, 300),
        detail=" ".join(part for part in (classes_words(lot.classes) + ".", more) if part),
        place=address_of(lot.site),
        link=link,
    )
