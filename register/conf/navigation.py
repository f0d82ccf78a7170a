"""The menu: each page by its name and the need that opens it; conf knows all three apps.

And the languages to choose from.
"""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import get_language, gettext, gettext_noop

from register.access import may

MENU = (
    ("readiness:morning", gettext_noop("This morning"), "cover.see"),
    ("readiness:job-list", gettext_noop("Jobs"), "job.see"),
    ("readiness:trend", gettext_noop("Trend"), "cover.see"),
    ("readiness:lapse-list", gettext_noop("What lapses"), "lapse.see"),
    ("readiness:hangs-on", gettext_noop("What cover hangs on"), "lapse.see"),
    ("readiness:rota", gettext_noop("Rota"), "rota.edit"),
    ("readiness:competence-list", gettext_noop("Training"), "competence.record"),
    ("inspections:hatch", gettext_noop("Hatch"), "item.issue"),
    ("inspections:inspect", gettext_noop("Inspect"), "inspection.record"),
    ("inspections:round-list", gettext_noop("Rounds"), "round.see"),
    ("inspections:phone", gettext_noop("On the phone"), "pack.take"),
    ("inspections:sent-list", gettext_noop("Needs a decision"), "sync.see"),
    ("inspections:due-list", gettext_noop("Due"), "due.see"),
    ("inspections:work-ahead", gettext_noop("Work ahead"), "work.see"),
    ("inspections:arrest-new", gettext_noop("A fall was arrested"), "arrest.record"),
    ("inspections:event-list", gettext_noop("Events"), "event.see"),
    ("inspections:notice-list", gettext_noop("Safety notices"), "notice.see"),
    ("inspections:item-list", gettext_noop("Equipment"), "item.see"),
    ("inspections:kit-list", gettext_noop("Rescue kits"), "kit.see"),
    ("inspections:delivery-new", gettext_noop("Deliveries"), "item.receive"),
    ("inspections:intake", gettext_noop("Bring in a workbook"), "intake.bring-in"),
    ("register:message-list", gettext_noop("Messages"), "message.have"),
    ("register:outbox", gettext_noop("Outbox"), "message.oversee"),
    ("register:calendar-list", gettext_noop("Calendars"), "calendar.have"),
    ("inspections:report-in", gettext_noop("Bring in a report"), "inspection.enter-paper"),
    ("register:label-sheet", gettext_noop("Labels"), "label.print"),
    ("register:errand-list", gettext_noop("Errands"), "errand.see"),
    ("register:person-list", gettext_noop("People"), "person.see"),
    ("register:site-list", gettext_noop("Sites"), "site.edit"),
    ("register:user-list", gettext_noop("Users"), "role.give"),
    ("register:token-list", gettext_noop("Other systems"), "token.make"),
    ("register:running", gettext_noop("How it runs"), "running.see"),
    ("readiness:archive", gettext_noop("Archive"), "archive.take"),
)


def navigation(request: HttpRequest) -> dict[str, object]:
    """The menu entries this user may open, and whether this is the demo."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return {"nav": [], "demo": settings.DEMO}
    nav = [
        {"url": reverse(name), "label": gettext(label), "current": _hangs_from(request, name)}
        for name, label, need in MENU
        if may(user, need)
    ]
    return {"nav": nav, "demo": settings.DEMO}


def _hangs_from(request: HttpRequest, name: str) -> bool:
    """Whether the page hangs from this entry; a site's cover shares its address and does not."""
    match = request.resolver_match
    if name == "register:site-list" and match and match.app_name == "readiness":
        return False
    return request.path.startswith(reverse(name))


def languages(request: HttpRequest) -> dict[str, object]:
    """The language of the page, the others, and whether this one is still to be reviewed."""
    now = get_language() or settings.LANGUAGE_CODE
    others = [
        {"code": code, "name": name, "unread": code in settings.LANGUAGES_TO_REVIEW}
        for code, name in settings.LANGUAGES
        if code != now
    ]
    return {
        "language": now,
        "other_languages": others,
        "language_unread": now in settings.LANGUAGES_TO_REVIEW,
    }
