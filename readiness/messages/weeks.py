"""The week's letter: how things stand, so that silence on the other days can be read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from django.utils.translation import gettext as _

from inspections.due_board import SiteFigures, figures_of
from inspections.message_wording import more_words
from readiness.messages.cover import Look
from register.access import sites_for
from register.links import link_to
from register.models import Item, User
from register.rules.letters import MOST_LISTED, Letter, Section, letter, paragraph, section_text
from register.wording import shown_day

WEEKS = 6


def week_letter(user: User, today: Sequence[Section], look: Look, day: date) -> Letter:
    """Figures of each site that the user may see, or of what they hold; and what silence means."""
    words = {"day": shown_day(day, "DAY")}
    return letter(
        _("How things stand, week of %(day)s") % words,
        [paragraph(_today_words(today)), *_figures(user, look), paragraph(_silence())],
    )


def _today_words(today: Sequence[Section]) -> str:
    if today:
        return _("There is something to do today: another message says what.")
    return _("There is nothing that you must do today.")


def _silence() -> str:
    return _(
        "On the other mornings you are written to only if there is something to do. If nothing comes,"
        " nothing was found, or no message could be sent: silence is no proof that equipment may be used."
    )


def _figures(user: User, look: Look) -> Iterator[str]:
    sites = list(sites_for(user, "due.see"))
    if sites:
        figures = figures_of(sites, look.at, WEEKS)
        lines = [_of_site(one) for one in figures]
        more = more_words(len(lines))
        heading = _("Equipment, over the next six weeks:")
        shown = Section("", heading, lines[:MOST_LISTED], more, link_to("inspections:due-list"))
        yield section_text(shown)
    if user.person:
        held = Item.objects.held_by(user.person).count()
        yield paragraph(_("In your own hands: %(n)d.") % {"n": held})
    if lapse := _lapses(user, look):
        yield paragraph(lapse)


def _of_site(one: SiteFigures) -> str:
    due = one.this_week + one.later
    words = {"site": one.site, "out": one.overdue, "none": one.not_known}
    if not (due or one.overdue or one.not_known or one.in_quarantine):
        return _("%(site)s: nothing due, nothing out of date, nothing in quarantine") % words
    words |= {"due": due, "held": one.in_quarantine}
    return (
        _(
            "%(site)s: falls due %(due)d, out of date %(out)d, no date on record %(none)d,"
            " in quarantine %(held)d"
        )
        % words
    )


def _lapses(user: User, look: Look) -> str:
    """Nothing is said of sites whose cover is not worked out: silence about them would be a claim."""
    sites = list(sites_for(user, "policy.change"))
    found = {site: look.lapses(site) for site in sites}
    if not sites or any(each is None for each in found.values()):
        return _("Of rescue cover at some sites nothing is known just now: look.") if sites else ""
    count = sum(len(each or ()) for each in found.values())
    if not count:
        return _("Rescue cover: nothing lapses within thirty days, as things stand.")
    return _("Rescue cover: causes of lapse within thirty days: %(n)d.") % {"n": count}
