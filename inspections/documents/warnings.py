"""What hangs on an item that is out of use: the notice in words, its receipt, and a blank one."""

from __future__ import annotations

from datetime import datetime

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from inspections import history
from inspections.conditions import verdict_at
from inspections.documents.naming import item_words, moment_at, why_not
from inspections.wording import what_to_do
from register.documents.content import (
    Block,
    Content,
    Identity,
    Statement,
    TearOff,
    ToWrite,
    Words,
)
from register.models import Item, Site
from register.rules.conditions import Condition

_PUTS_OUT = ("quarantine", "withdraw", "inspect", "take-on", "report-found", "report-lost")
_NOT_PUT_OUT = gettext_noop("not recorded")


def withdrawal(item: Item, at: datetime) -> Content:
    """Why, since when, who stopped it, and where to take it; with a receipt to tear off."""
    verdict = verdict_at(item, at)
    why = why_not(verdict) if not verdict.usable else _("It may be used")
    return Content(
        title=_("Out of use"),
        about=_("DO NOT USE: %(item)s") % {"item": item_words(item)},
        blocks=(
            Statement(_("DO NOT USE"), (why,), forbids=True, from_afar=True),
            Identity(tuple(_who_and_when(item, what_to_do(verdict.code)))),
            *_receipt(item.shown_code),
        ),
    )


def _who_and_when(item: Item, to_do: str) -> list[tuple[str, str]]:
    since, who = _put_out(item)
    return [
        (_("Mark and serial"), f"{item.shown_code}, {item.serial}"),
        (_("What"), f"{item.product.kind_name}, {item.product}"),
        (_("Stopped"), f"{since}, {who}"),
        (_("What to do"), to_do),
        (_("Take it to"), taken_to(item.site)),
    ]


def taken_to(site: Site) -> str:
    return _("the quarantine cage of the stores, %(site)s") % {"site": site.name}


def _put_out(item: Item) -> tuple[str, str]:
    """Since when it is out and who put it there, from its own ledger; what came first after it was
    last in service."""
    if item.condition == Condition.QUARANTINED and item.quarantined_at:
        who = str(item.quarantined_by or _("somebody without a login"))
        return moment_at(item.site, item.quarantined_at), who
    if item.condition in (Condition.WITHDRAWN, Condition.NOT_LOCATED):
        verb = "withdraw" if item.condition == Condition.WITHDRAWN else "report-lost"
        act = history.last_act(item, verb)
        if act:
            return moment_at(item.site, act.at), str(act.by or _(_NOT_PUT_OUT))
    return _("see its dates"), _("its dates, not a person")


def blank(site: Site, _at: datetime) -> Content:
    """To be written by hand where there is no printer at hand; its number is entered afterwards."""
    return Content(
        title=_("Out of use, written by hand"),
        about=_("Blank notice DO NOT USE, of %(site)s") % {"site": site.name},
        blocks=(
            Statement(_("DO NOT USE"), forbids=True, from_afar=True),
            ToWrite((_("Mark and serial"), _("What is wrong"), _("Day and time"), _("Your name"))),
            Words(
                _(
                    "Take it to %(place)s. Then stop it in the register, and enter there the number "
                    "at the head of this notice."
                )
                % {"place": taken_to(site)}
            ),
            *_receipt(""),
        ),
    )


def _receipt(code: str) -> list[Block]:
    told = _("Receipt, to tear off: the item was handed in.")
    if code:
        told = _("Receipt, to tear off: %(item)s was handed in.") % {"item": code}
    return [TearOff(told), ToWrite((_("Taken by"), _("Day and time")))]
