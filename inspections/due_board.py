"""What falls due where and when: for one site item by item, for many sites in figures."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import Case, Count, Exists, OuterRef, Q, QuerySet, Subquery, When
from django.utils.translation import gettext as _

from inspections.models import Due, NoticeMatch, Visit
from inspections.regime import regime_in_force
from inspections.rules.due_weeks import OVERDUE, THIS_WEEK, UNKNOWN, last_day_of, week_of
from inspections.wording import clock_name
from register import clock
from register.models import Entry, Item, Site
from register.rules.conditions import CUSTODY_NOT_USABLE, Condition
from register.wording import class_name, shown_day

SHOWN = 100  # rows of one group on a page; the rest is counted
STOPS_DAYS = 7


@dataclass(frozen=True, slots=True)
class Row:
    """One item that falls due."""

    item: Item
    week: int
    due_on: date | None
    clock: str
    spot: str
    on_issue: bool
    held: bool
    visit_on: date | None = None


@dataclass(frozen=True, slots=True)
class Group:
    """The items of one week, or those overdue or not known."""

    week: int
    name: str
    classes: str
    rows: tuple[Row, ...]
    count: int

    @property
    def more(self) -> int:
        return self.count - len(self.rows)


@dataclass(frozen=True, slots=True)
class SiteFigures:
    """How many items of one site are not known, overdue, due this week, due in the weeks after."""

    site: Site
    not_known: int
    overdue: int
    this_week: int
    later: int
    in_quarantine: int


def falling_due() -> QuerySet[Item]:
    """Items in service that are here to be inspected; away, withdrawn and quarantined are not.

    ``good_on`` is the last good day, None where the copy was made under another regime.
    """
    here = Item.objects.filter(condition=Condition.IN_SERVICE)
    now = When(due__regime=regime_in_force().mark, then="due__last_good_on")
    return here.exclude(custody__in=CUSTODY_NOT_USABLE).annotate(good_on=Case(now))


def due_rows(site: Site, today: date, weeks: int) -> list[Row]:
    """The items of the site that fall due in these weeks, those not known first."""
    items = (
        falling_due()
        .filter(_by(last_day_of(weeks - 1, today)), site=site)
        .select_related("product", "site", "holder", "zone", "kit", "due")
        .annotate(held=Exists(NoticeMatch.objects.holding().filter(item=OuterRef("pk"))))
        .annotate(visit_on=Subquery(_next_visit(today).values("day_on")[:1]))
        .order_by("good_on", "product__equipment_class", "code")
    )
    return [_row(item, today) for item in items]


def groups_at(site: Site, today: date, weeks: int) -> list[Group]:
    """The items of the site by week, those not known first, then the overdue."""
    rows: dict[int, list[Row]] = {}
    for row in due_rows(site, today, weeks):
        rows.setdefault(row.week, []).append(row)
    return [_group(week, rows[week], today) for week in sorted(rows)]


def figures_of(sites: Sequence[Site], moment: datetime, weeks: int) -> list[SiteFigures]:
    """The figures of each site on its own day: three questions, however many sites."""
    found = falling_due().filter(site__in=sites)
    days: dict[int, Counter[date | None]] = {site.pk: Counter() for site in sites}
    counted = found.order_by().values_list("site", "good_on").annotate(n=Count("pk"))
    for site_id, day, number in counted:
        days[site_id][day] += number
    out = Item.objects.filter(site__in=sites, condition=Condition.QUARANTINED)
    quarantined = dict(out.order_by().values_list("site").annotate(n=Count("pk")))
    return [
        _figures(
            site, days[site.pk], clock.day_at(site, moment), weeks, quarantined.get(site.pk, 0)
        )
        for site in sites
    ]


def stopped_from_tags(sites: Iterable[Site], moment: datetime) -> list[Item]:
    """The items that somebody took out of use on the tag page in the last days."""
    since = moment - timedelta(days=STOPS_DAYS)
    acts = Entry.objects.filter(
        thing_kind="item", act__verb="quarantine", act__device="tag page", act__at__gte=since
    )
    ids = [int(one) for one in acts.values_list("thing_id", flat=True)]
    out = Item.objects.filter(pk__in=ids, site__in=list(sites), condition=Condition.QUARANTINED)
    return list(out.select_related("product", "site").order_by("-quarantined_at"))


def _by(day: date) -> Q:
    return Q(good_on__lte=day) | Q(good_on=None)


def _next_visit(today: date) -> QuerySet[Visit]:
    """The first visit accepted for the item that is still to come."""
    to_come = Visit.objects.standing().filter(day_on__gte=today, items=OuterRef("pk"))
    return to_come.order_by("day_on")


def _row(item: Item, today: date) -> Row:
    due: Due | None = getattr(item, "due", None)
    last: date | None = item.good_on  # type: ignore[attr-defined]
    return Row(
        item=item,
        week=week_of(last, today),
        due_on=last,
        clock=clock_name(due.clock) if due else "",
        spot=_spot(item),
        on_issue=bool(item.holder),
        held=item.held,  # type: ignore[attr-defined]
        visit_on=item.visit_on,  # type: ignore[attr-defined]
    )


def _spot(item: Item) -> str:
    """Who holds it, else where it is."""
    if item.holder:
        return item.holder.name
    if item.kit:
        return _("kit %(kit)s") % {"kit": item.kit.name}
    return item.place or (item.zone.name if item.zone else item.get_custody_display())


def _group(week: int, rows: list[Row], today: date) -> Group:
    classes = Counter(row.item.product.equipment_class for row in rows)
    said = ", ".join(f"{class_name(slug)} {number}" for slug, number in sorted(classes.items()))
    return Group(week, _name(week, today), said, tuple(rows[:SHOWN]), len(rows))


def _name(week: int, today: date) -> str:
    if week == UNKNOWN:
        return _("Not known")
    if week == OVERDUE:
        return _("Overdue")
    until = shown_day(last_day_of(week, today))
    if week == THIS_WEEK:
        return _("This week, to %(day)s") % {"day": until}
    begins = shown_day(last_day_of(week, today) - timedelta(days=6))
    return _("Week of %(day)s") % {"day": begins}


def _figures(
    site: Site, days: Counter[date | None], today: date, weeks: int, quarantined: int
) -> SiteFigures:
    in_week: Counter[int] = Counter()
    for day, number in days.items():
        in_week[week_of(day, today)] += number
    later = sum(in_week[week] for week in range(1, weeks))
    return SiteFigures(
        site=site,
        not_known=in_week[UNKNOWN],
        overdue=in_week[OVERDUE],
        this_week=in_week[THIS_WEEK],
        later=later,
        in_quarantine=quarantined,
    )
