"""The visits that were accepted: one event each."""

from __future__ import annotations

from collections.abc import Iterator

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from inspections.calendars.grouping import Wanted, address_of, classes_words
from inspections.models import Visit
from register.links import link_to
from register.rules.calendar import Happening, fitted
from register.wording import short_name

VISIT = "visit"
MOST_CLASSES = 4


def visits(wanted: Wanted) -> Iterator[Happening]:
    """From today on; in a feed of one class those that inspect some of it, with that count alone."""
    rows = Visit.objects.standing().filter(site__in=wanted.sites, day_on__gte=wanted.today)
    if wanted.person:
        rows = rows.filter(inspector=wanted.person)
    for visit in _with_classes(rows):
        classes = [item.product.equipment_class for item in visit.items.all()]
        if wanted.equipment_class:
            classes = [slug for slug in classes if slug == wanted.equipment_class]
        if classes or not wanted.equipment_class:
            yield _visit(visit, classes, own=wanted.person is not None)


def _with_classes(rows: QuerySet[Visit]) -> QuerySet[Visit]:
    return rows.select_related("site", "inspector").prefetch_related("items__product")


def _visit(visit: Visit, classes: list[str], *, own: bool) -> Happening:
    words = {
        "site": visit.site,
        "who": short_name(visit.inspector.name),
        "classes": classes_words(classes, MOST_CLASSES),
    }
    said = (
        _("Inspect at %(site)s: %(classes)s")
        if own
        else _("%(who)s inspects at %(site)s: %(classes)s")
    )
    return Happening(
        key=f"visit-{visit.pk}",
        topic=VISIT,
        first_on=visit.day_on,
        last_on=visit.day_on,
        summary=fitted(said % words, 300),
        detail=classes_words(classes) + ".",
        place=address_of(visit.site),
        link=link_to("inspections:inspector-visits", visit.inspector_id),
    )
