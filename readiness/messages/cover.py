"""To who runs a site: what lacks cover today and tonight; to the manager what lapses and mends it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from django.utils.translation import get_language, ngettext
from django.utils.translation import gettext as _

from inspections.message_wording import more_words
from readiness.board.lapses import Cause, lapse_board
from readiness.board.mornings import SiteMorning, site_mornings
from readiness.board.reading import timelines_from
from readiness.board.remedies import question
from readiness.board.standings import Standing, standings
from readiness.board.troubles import JointRow, joint_rows
from readiness.rules.statement import HORIZON_DAYS
from readiness.rules.timeline import Timeline
from readiness.wording import listed
from register.access import sites_for
from register.links import link_to
from register.models import Person, Site, User
from register.rules.letters import MOST_LISTED, Section
from register.wording import discreet, short_name, shown_day

LAPSE_DAYS = 30
MEND_DAYS = 14
MOST_MENDED = 5
"""Tasks of one site for which the letter says what would mend them; the page says the rest."""


@dataclass(slots=True)
class Look:
    """How the sites stand at one moment: worked out once for all letters of a morning."""

    at: datetime
    _mornings: dict[tuple[int, str], SiteMorning] = field(default_factory=dict)
    _lapses: dict[tuple[int, str], tuple[Cause, ...] | None] = field(default_factory=dict)
    _mends: dict[tuple[int, str], tuple[str, ...]] = field(default_factory=dict)
    _standings: dict[int, Standing] = field(default_factory=dict)
    _timelines: dict[int, Timeline] = field(default_factory=dict)
    _names: dict[str, str] = field(default_factory=dict)

    def morning(self, site: Site) -> SiteMorning:
        key = (site.pk, get_language() or "")
        if key not in self._mornings:
            (self._mornings[key],) = site_mornings([self._standing(site)], self.at)
        return self._mornings[key]

    def lapses(self, site: Site) -> tuple[Cause, ...] | None:
        """None where cover is not worked out just now."""
        key = (site.pk, get_language() or "")
        if key not in self._lapses:
            self._lapses[key] = self._found_lapses(site)
        return self._lapses[key]

    def mends(self, site: Site) -> tuple[str, ...]:
        """For each task not covered, or not for long, the cheapest acts that would mend it."""
        key = (site.pk, get_language() or "")
        if key not in self._mends:
            rows = joint_rows(question(site, [site], self.at, MEND_DAYS))[:MOST_MENDED]
            self._mends[key] = tuple(_mend(row) for row in rows)
        return self._mends[key]

    def discreet(self, sentence: str) -> str:
        """Everybody by first name and initial: a letter goes out of the house."""
        if not self._names:
            names = Person.objects.values_list("name", flat=True)
            self._names = {name: short_name(name) for name in names if " " in name.strip()}
        return discreet(
            sentence, {name: short for name, short in self._names.items() if name in sentence}
        )

    def _standing(self, site: Site) -> Standing:
        if site.pk not in self._standings:
            (self._standings[site.pk],) = standings([site], self.at)
        return self._standings[site.pk]

    def _found_lapses(self, site: Site) -> tuple[Cause, ...] | None:
        standing = self._standing(site)
        if not standing.fresh:
            return None
        if site.pk not in self._timelines:
            self._timelines |= timelines_from([site], self.at, HORIZON_DAYS)
        board = lapse_board([standing], self._timelines, self.at, LAPSE_DAYS)
        return tuple(cause for _kind, causes in board.groups for cause in causes)


def cover_sections(user: User, look: Look) -> Iterator[Section]:
    """Of the sites that the user runs: every task without cover in the next 24 hours."""
    sites = [site for site in sites_for(user, "change.know") if not look.morning(site).idle_store]
    lines = [line for site in sites for line in _uncovered(look.morning(site), look)]
    count = sum(look.morning(site).count.uncovered for site in sites)
    if not count:
        return
    heading = ngettext(
        "%(n)d task has no rescue cover, or is not known to, today or tonight:",
        "%(n)d tasks have no rescue cover, or are not known to, today or tonight:",
        count,
    )
    yield Section(
        brief=ngettext("%(n)d task not covered", "%(n)d tasks not covered", count) % {"n": count},
        heading=heading % {"n": count},
        lines=lines[:MOST_LISTED],
        more=more_words(len(lines)),
        after=link_to("readiness:morning"),
    )


def _uncovered(morning: SiteMorning, look: Look) -> Iterator[str]:
    """One line a task; what is not known of a whole site is one line too."""
    if morning.unknown or not morning.fresh:
        yield f"{morning.name}: {morning.summary}"
    for task in morning.uncovered if morning.fresh else ():
        words = {"site": morning.name, "task": task.id, "name": task.name, "hours": task.hours}
        words["why"] = look.discreet(task.told.headline)
        yield _("%(site)s, %(task)s %(name)s, %(hours)s: %(why)s") % words


def lapse_sections(user: User, look: Look) -> Iterator[Section]:
    """To who manages: what ends within thirty days and uncovers something, and what mends it."""
    sites = list(sites_for(user, "policy.change"))
    causes = [cause for site in sites for cause in look.lapses(site) or ()]
    causes.sort(key=lambda one: (one.begins, one.site.name))
    if causes:
        count = len({(one.site.pk, task) for one in causes for task in _tasks(one)})
        heading = ngettext(
            "%(n)d task loses its cover within thirty days, as things stand:",
            "%(n)d tasks lose their cover within thirty days, as things stand:",
            count,
        )
        yield Section(
            brief=ngettext("%(n)d lapse ahead", "%(n)d lapses ahead", len(causes))
            % {"n": len(causes)},
            heading=heading % {"n": count},
            lines=[_lapse(one, look) for one in causes[:MOST_LISTED]],
            more=more_words(len(causes)),
            after=link_to("readiness:lapse-list"),
        )
    yield from _mending(sites, causes, look)


def _mending(sites: Iterable[Site], causes: Sequence[Cause], look: Look) -> Iterator[Section]:
    troubled = {one.site.pk for one in causes}
    lines = [
        look.discreet(f"{site}, {mend}")
        for site in sites
        if site.pk in troubled or (look.morning(site).fresh and look.morning(site).uncovered)
        for mend in look.mends(site)
    ]
    if lines:
        yield Section(
            brief="",
            heading=_("What would mend it at the least cost, by the costs you set (a proposal):"),
            lines=lines[:MOST_LISTED],
            more=more_words(len(lines)),
        )


def _mend(row: JointRow) -> str:
    if row.set is None:
        return _("%(task)s: nothing was found that mends it; plan it otherwise.") % {
            "task": row.task
        }
    return f"{row.task}: {' '.join(act.what for act in row.set.acts)}"


def _lapse(cause: Cause, look: Look) -> str:
    words: Mapping[str, object] = {
        "site": cause.site,
        "tasks": listed(_tasks(cause)),
        "day": shown_day(cause.begins, "WEEKDAY"),
        "why": look.discreet(cause.sentence),
    }
    return _("%(site)s, %(tasks)s from %(day)s: %(why)s") % words


def _tasks(cause: Cause) -> list[str]:
    return list(dict.fromkeys(one.task for one in cause.consequences))
