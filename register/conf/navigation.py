"""The menu: each page by its name and the need that opens it; conf knows all three apps."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest
from django.urls import reverse

from register.access import may

MENU = (
    ("readiness:morning", "This morning", "cover.see"),
    ("readiness:job-list", "Jobs", "job.see"),
    ("readiness:trend", "Trend", "cover.see"),
    ("readiness:lapse-list", "What lapses", "lapse.see"),
    ("readiness:hangs-on", "What cover hangs on", "lapse.see"),
    ("readiness:rota", "Rota", "rota.edit"),
    ("readiness:competence-list", "Training", "competence.record"),
    ("inspections:hatch", "Hatch", "item.issue"),
    ("inspections:inspect", "Inspect", "inspection.record"),
    ("inspections:round-list", "Rounds", "round.see"),
    ("inspections:sent-list", "Needs a decision", "sync.see"),
    ("inspections:due-list", "Due", "due.see"),
    ("inspections:work-ahead", "Work ahead", "work.see"),
    ("inspections:arrest-new", "A fall was arrested", "arrest.record"),
    ("inspections:event-list", "Events", "event.see"),
    ("inspections:notice-list", "Safety notices", "notice.see"),
    ("inspections:item-list", "Equipment", "item.see"),
    ("inspections:kit-list", "Rescue kits", "kit.see"),
    ("inspections:delivery-new", "Deliveries", "item.receive"),
    ("inspections:intake", "Bring in a workbook", "intake.bring-in"),
    ("register:label-sheet", "Labels", "label.print"),
    ("register:person-list", "People", "person.see"),
    ("register:site-list", "Sites", "site.edit"),
    ("register:user-list", "Users", "role.give"),
)


def navigation(request: HttpRequest) -> dict[str, object]:
    """The menu entries this user may open, and whether this is the demo."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return {"nav": [], "demo": settings.DEMO}
    nav = [
        {"url": reverse(name), "label": label, "current": _hangs_from(request, name)}
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
