"""Words for kept checks of cover: whether one still holds, and the kind of reason without a name."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from readiness.wording.words import weekday_and_day
from register.models import Site

_KINDS: Mapping[str, str] = {
    "clearance-too-small": gettext_noop("the clearance"),
    "no-plan": gettext_noop("the rescue plan"),
    "plan-relies-on-emergency-services": gettext_noop("the rescue plan"),
    "plan-for-another-method": gettext_noop("the rescue plan"),
    "plan-review-overdue": gettext_noop("the rescue plan"),
    "no-kit": gettext_noop("the rescue kit"),
    "kit-not-usable": gettext_noop("the rescue kit"),
    "kit-lacks-function": gettext_noop("the rescue kit"),
    "kit-too-short": gettext_noop("the rescue kit"),
    "kit-load-out-of-range": gettext_noop("the rescue kit"),
    "kit-descent-energy-exceeded": gettext_noop("the rescue kit"),
    "kit-out-of-reach": gettext_noop("the way of the rescue kit"),
    "no-rescue-anchor": gettext_noop("the rescue anchor"),
    "no-rescuer": gettext_noop("the rescuers"),
    "rescuer-lapsed": gettext_noop("the rescuers"),
    "rescuer-for-other-kit": gettext_noop("the rescuers"),
    "rescuer-is-exposed": gettext_noop("the rescuers"),
    "too-few-rescuers": gettext_noop("the rescuers"),
    "rescuer-out-of-reach": gettext_noop("the way of the rescuers"),
    "no-first-aider": gettext_noop("first aid"),
    "drill-due": gettext_noop("the drill"),
    "drill-too-slow": gettext_noop("the drill"),
    "rescue-too-slow": gettext_noop("the time a rescue takes"),
    "contested": gettext_noop("another task that needs the same kit or people"),
    "search-not-finished": gettext_noop("a site too large to be judged in time"),
}

_BREACHES: Mapping[str, str] = {
    "not-covered": gettext_noop("no longer covered"),
    "not-assessed": gettext_noop("no longer known to be covered"),
    "not-worked": gettext_noop("no longer planned for these hours"),
    "served-otherwise": gettext_noop("covered by another kit, crew or anchor than before"),
    "slower": gettext_noop("still covered, but a rescue would take longer than was said"),
}


def reason_kind(code: str) -> str:
    """What a reason is about, for a page that names nobody."""
    return _(_KINDS[code])


def breach_words(code: str) -> str:
    """What has become of an answer; a state of cover means that something else serves it."""
    return _(_BREACHES.get(code, _BREACHES["served-otherwise"]))


def ended_words(*, cancelled: bool) -> str:
    """What became of the permit that was signed on a check."""
    return _("Its permit was cancelled") if cancelled else _("Its permit was handed back")


def time_words(moment: datetime, site: Site) -> str:
    """Day and hour as a clock on site shows them."""
    there = moment.astimezone(ZoneInfo(site.time_zone))
    return f"{weekday_and_day(there.date())} {there:%H:%M}"


def window_words(begins: datetime, ends: datetime, site: Site) -> str:
    there = ends.astimezone(ZoneInfo(site.time_zone))
    begun = begins.astimezone(ZoneInfo(site.time_zone)).date()
    last = f"{there:%H:%M}" if begun == there.date() else time_words(ends, site)
    return f"{time_words(begins, site)}–{last}"
