"""What is told at once of falls, notices and stopped items; no name of a person stands in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from inspections.models import Arrest, Notice
from inspections.notice_wording import notice_kind_name
from inspections.rules.notice_kinds import HOLDING_KINDS
from register.links import link_to
from register.models import Item, Site
from register.rules.letters import MOST_LISTED, Letter, letter, listing, paragraph
from register.wording import class_name, lower_first, quarantine_reason, shown_moment


def arrest_letter(arrest: Arrest, items: Sequence[Item]) -> Letter:
    """That a fall was arrested and what is held; who fell is on the page, for who may know."""
    site = arrest.site
    words = {"site": site, "at": shown_moment(_there(site, arrest.happened_at))}
    out = ngettext(
        "%(n)d piece of equipment is out of use and held as evidence:",
        "%(n)d pieces of equipment are out of use and held as evidence:",
        len(items),
    ) % {"n": len(items)}
    return letter(
        _("A fall was arrested at %(site)s") % words,
        [
            paragraph(_("A fall was arrested at %(site)s on %(at)s.") % words),
            f"{paragraph(out)}\n{items_listed(items)}",
            paragraph(
                _(
                    "Leave everything as it is until the competent person has seen it. The task may"
                    " have lost its rescue cover: look before work goes on."
                )
            ),
            link_to("inspections:arrest-detail", arrest.pk),
        ],
    )


def notice_letter(notice: Notice, counts: Mapping[Site, int], *, held_by_reader: int) -> Letter:
    """Where the notice holds how many pieces, of the reader's sites; and what the reader holds."""
    total = sum(counts.values()) or held_by_reader
    words = {"notice": notice, "what": lower_first(notice_kind_name(notice.kind)), "n": total}
    said = ngettext(
        "Safety notice %(notice)s (%(what)s) means %(n)d piece of yours, certainly or possibly:",
        "Safety notice %(notice)s (%(what)s) means %(n)d pieces of yours, certainly or possibly:",
        total,
    )
    lines = [f"{site}: {number}" for site, number in counts.items()]
    held = ""
    if held_by_reader:
        held = ngettext(
            "You hold %(n)d of them yourself. Stop using it and hand it in.",
            "You hold %(n)d of them yourself. Stop using them and hand them in.",
            held_by_reader,
        ) % {"n": held_by_reader}
    return letter(
        _("Safety notice %(notice)s means equipment of yours") % words,
        [
            f"{paragraph(said % words)}\n{listing(lines[:MOST_LISTED], more_words(len(lines)))}",
            paragraph(held),
            paragraph(held_words(notice)),
            link_to("inspections:notice-detail", notice.pk),
        ],
    )


def held_words(notice: Notice) -> str:
    """What the notice does to its pieces."""
    if notice.kind in HOLDING_KINDS:
        return _("Each is held from now on, until it is settled. Whose they are, and where:")
    return _("What to do with each, whose they are, and where:")


def tag_stop_letter(item: Item, reason: str, at: datetime) -> Letter:
    """That somebody without a login took an item out of use, and where it should be."""
    words = {
        "item": item.shown_code,
        "what": lower_first(class_name(item.product.equipment_class)),
        "site": item.site,
        "reason": lower_first(quarantine_reason(reason)),
        "at": shown_moment(_there(item.site, at)),
    }
    return letter(
        _("%(item)s was stopped at %(site)s by somebody without a login") % words,
        [
            paragraph(
                _(
                    "Somebody who scanned the tag of %(item)s (%(what)s) at %(site)s put it into"
                    " quarantine on %(at)s: %(reason)s."
                )
                % words
            ),
            paragraph(
                _("It is out of use until a competent person releases it. Fetch it, and look:")
            ),
            link_to("inspections:item-detail", item.code),
        ],
    )


def items_listed(items: Sequence[Item]) -> str:
    """The first ten by tag, class and serial, and how many more."""
    lines = [
        f"{item.shown_code} {lower_first(class_name(item.product.equipment_class))} {item.serial}"
        for item in items[:MOST_LISTED]
    ]
    return listing(lines, more_words(len(items)))


def more_words(total: int) -> str:
    """'and 12 more', where more than ten would be listed."""
    rest = total - MOST_LISTED
    return _("and %(n)d more") % {"n": rest} if rest > 0 else ""


def _there(site: Site, moment: datetime) -> datetime:
    return moment.astimezone(ZoneInfo(site.time_zone))
