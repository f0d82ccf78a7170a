"""The one table of who may do what, and the guard every page and action at the edge goes through.

A need is a word like 'item.issue'. A role holds needs; a grant holds a role at one site or at all.
Rows come only from ``.visible_to(user)``, so that a stranger gets 404; who can see a thing but may
not do this with it gets 403.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, Protocol, TypeVar

from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import PermissionDenied
from django.db import models
from django.db.models import Q
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext, gettext_noop

from register.models import Grant, Role, Site, User
from register.second_factor import lacks_second_factor

View = Callable[..., HttpResponse]
Row = TypeVar("Row", bound=models.Model)

EVERYONE = frozenset(Role)
STORES = frozenset({Role.STORES})
INSPECTING = frozenset({Role.COMPETENT})
MANAGING = frozenset({Role.MANAGER})
TOGETHER = INSPECTING | MANAGING  # one of each, for what takes two people
STORES_OR_INSPECTING = STORES | INSPECTING
ON_SITE = frozenset({Role.STORES, Role.SUPERVISOR})
PLANNING = frozenset({Role.PLANNER, Role.MANAGER})
RUNNING = frozenset({Role.SUPERVISOR, Role.MANAGER})
WATCHING = EVERYONE - {Role.WORKER}

SIGNED_OUT = gettext_noop("Sign in again. Everything stays on the phone until then.")
FIRST_SIGN_IN = gettext_noop(
    "Choose your own password first. Everything stays on the phone until then."
)
SECOND_FACTOR = gettext_noop(
    "Set up your second factor first. Everything stays on the phone until then."
)
NO_ROLE = gettext_noop("You hold no role here.")

NEEDS: dict[str, frozenset[Role]] = {
    # register
    "item.see": EVERYONE,
    "item.receive": STORES,
    "item.accept": STORES_OR_INSPECTING,
    "item.issue": ON_SITE,
    "item.take-back": ON_SITE,
    "item.move": ON_SITE,
    "handover.make": ON_SITE,
    "item.quarantine": EVERYONE,
    "item.release": INSPECTING,
    "item.withdraw": STORES_OR_INSPECTING,
    "item.undo-withdrawal": TOGETHER,
    "item.destroy": STORES,
    "item.report-lost": ON_SITE,
    "item.report-found": EVERYONE,
    "item.send-away": STORES_OR_INSPECTING,
    "item.let-go": STORES,
    "item.date": STORES_OR_INSPECTING,
    "item.change-use": STORES_OR_INSPECTING | MANAGING,
    "item.retag": STORES,
    "item.read-label": STORES_OR_INSPECTING,
    "kit.see": EVERYONE,
    "kit.make": STORES_OR_INSPECTING,
    "kit.seal": STORES_OR_INSPECTING,
    "label.print": STORES_OR_INSPECTING,
    "errand.see": EVERYONE,  # one's own; each kind names the need that its result asks for
    "intake.bring-in": STORES,
    "person.see": WATCHING,
    "person.edit": RUNNING | {Role.ADMINISTRATOR},
    "person.erase": frozenset({Role.ADMINISTRATOR}),  # and seeing all that is held of one
    "site.edit": MANAGING | {Role.ADMINISTRATOR},
    "message.have": EVERYONE,
    "message.oversee": MANAGING | {Role.ADMINISTRATOR},
    "calendar.have": EVERYONE,  # one's own; what each tells is asked at each reading
    "employer.name": MANAGING | {Role.ADMINISTRATOR},
    "paper.issue": WATCHING,
    "role.give": frozenset({Role.ADMINISTRATOR}),
    "site.see": EVERYONE,  # where it is, its zones and shifts; what is done there has needs of its own
    "token.make": WATCHING,  # for a system of one's own: it may never do more than its owner may
    "token.oversee": frozenset({Role.ADMINISTRATOR}),  # the tokens of others: seen and revoked
    "running.see": MANAGING | {Role.AUDITOR, Role.ADMINISTRATOR},
    "archive.take": frozenset({Role.ADMINISTRATOR}),  # at every site: it is the whole register
    "ledger.verify": frozenset({Role.AUDITOR, Role.MANAGER, Role.ADMINISTRATOR}),
    # inspections
    "inspection.see": EVERYONE,
    "inspection.record": INSPECTING,
    "inspection.enter-paper": STORES_OR_INSPECTING,
    "round.see": WATCHING,
    "round.drop": TOGETHER,
    "round.drop-anothers": MANAGING,
    "due.see": WATCHING,
    "work.see": WATCHING,
    "work.accept": TOGETHER,
    "work.set": MANAGING,
    "pack.take": EVERYONE,  # with the names of holders only for who may see people
    "sync.send": EVERYONE,  # each event is judged by the need of its own act
    "sync.see": STORES_OR_INSPECTING | MANAGING,
    "sync.decide": STORES_OR_INSPECTING,
    "arrest.record": RUNNING | STORES_OR_INSPECTING,
    "arrest.see": RUNNING | STORES_OR_INSPECTING | {Role.AUDITOR},
    "arrest.know": RUNNING | INSPECTING,  # who fell, and what was told of it
    "event.record": RUNNING | STORES_OR_INSPECTING,
    "event.see": WATCHING,
    "hold.release": TOGETHER,
    "notice.see": WATCHING,
    "notice.issue": STORES_OR_INSPECTING | MANAGING,
    "notice.change": STORES | MANAGING,  # at every site: it may free what was held
    "notice.acknowledge": EVERYONE,  # for what one holds; for others it is notice.tell
    "notice.tell": RUNNING | STORES,
    "notice.settle": STORES_OR_INSPECTING,
    "notice.free": INSPECTING,
    "authorisation.see": WATCHING,
    "authorisation.give": MANAGING,
    "regime.change": MANAGING,
    # readiness
    "cover.see": EVERYONE,
    "lapse.see": WATCHING,  # whose training ends, and on whom cover hangs
    "task.edit": PLANNING,
    "plan.edit": PLANNING,
    "alarm.write": PLANNING | RUNNING,
    "drill.record": PLANNING | {Role.SUPERVISOR},
    "rota.edit": RUNNING,
    "competence.record": RUNNING,
    "kit.rate": PLANNING | INSPECTING,
    "first-call.give": MANAGING,
    "check.keep": PLANNING | RUNNING,
    "change.know": RUNNING,
    "permit.sign": RUNNING,
    "policy.change": MANAGING,
    "remedy.accept": RUNNING | PLANNING,
    "job.see": EVERYONE,
    "job.end": RUNNING | PLANNING | STORES_OR_INSPECTING,
}


class HasSite(Protocol):
    """A row that belongs to one site."""

    site_id: int


def may(user: User | AnonymousUser, need: str, site: Site | int | None = None) -> bool:
    """Whether the user may do this at the site; without a site, at any."""
    if isinstance(user, AnonymousUser):
        return False
    at = site.pk if isinstance(site, Site) else site
    roles = NEEDS[need]
    return any(
        role in roles and (at is None or held_at is None or held_at == at)
        for role, held_at in user.holdings
    )


def may_everywhere(user: User | AnonymousUser, need: str) -> bool:
    """Whether the user may do this at every site: what the whole employer goes by."""
    if isinstance(user, AnonymousUser):
        return False
    return any(role in NEEDS[need] and held_at is None for role, held_at in user.holdings)


def demand_everywhere(user: User | AnonymousUser, need: str) -> None:
    """Refuse (403) who may not do this at every site."""
    if not may_everywhere(user, need):
        raise PermissionDenied


def demand(user: User | AnonymousUser, need: str, site: Site | int | None) -> None:
    """Refuse (403) who may not do this at the site."""
    if not may(user, need, site):
        raise PermissionDenied


def fetch(
    rows: models.QuerySet[Row], user: User | AnonymousUser, need: str, **lookup: object
) -> Row:
    """The one row, if the user can see it (404) and may do this at its site (403).

    What is on its way belongs to where it goes as well: bad news about it waits for no arrival.
    """
    visible = rows.visible_to(user)  # type: ignore[attr-defined]
    row: Any = get_object_or_404(visible, **lookup)
    bound_for = getattr(row, "bound_for_id", None)
    if bound_for is None or not may(user, need, bound_for):
        demand(user, need, row.pk if isinstance(row, Site) else row.site_id)
    found: Row = row
    return found


def sites_for(user: User | AnonymousUser, need: str) -> models.QuerySet[Site]:
    """The sites at which the user may do this."""
    if isinstance(user, AnonymousUser):
        return Site.objects.none()
    held_at = {site for role, site in user.holdings if role in NEEDS[need]}
    if None in held_at:
        return Site.objects.all()
    return Site.objects.filter(pk__in=[site for site in held_at if site])


def users_for(user: User | AnonymousUser, need: str) -> models.QuerySet[User]:
    """The users to whom this user may do this: those with nothing beyond the sites where they may."""
    if may_everywhere(user, need):
        return User.objects.all()
    sites = sites_for(user, need)
    beyond = Grant.objects.exclude(site__in=sites) | Grant.objects.filter(site=None)
    here = Q(grants__site__in=sites) | Q(person__home_site__in=sites)
    within = User.objects.filter(here).exclude(grants__in=beyond)
    return User.objects.filter(pk__in=within)


def needs(need: str) -> Callable[[View], View]:
    """Guard a view: who holds no role with this need gets 403; marks the view for the tests.

    Who has still the first password is led to change it before anything else, and who is to have a
    second factor to set it up.
    """
    if need not in NEEDS:
        raise KeyError(f"{need!r} is not in the table of needs.")

    def guard(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: object, **kwargs: object) -> HttpResponse:
            if getattr(request.user, "has_first_password", False):
                return redirect("password")
            if lacks_second_factor(request.user):  # type: ignore[arg-type]
                return redirect("mfa_index")
            if not may(request.user, need):  # type: ignore[arg-type]
                raise PermissionDenied
            return view(request, *args, **kwargs)

        guarded.needs = need  # type: ignore[attr-defined]
        return guarded

    return guard


def answers_json(need: str) -> Callable[[View], View]:
    """As ``needs``, for a program: 401 and 403 in JSON instead of a page to sign in on.

    The check of the CSRF token stays. Who has still the first password gets 403.
    """
    if need not in NEEDS:
        raise KeyError(f"{need!r} is not in the table of needs.")

    def guard(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: object, **kwargs: object) -> HttpResponse:
            if told := _why_not(request.user, need):  # type: ignore[arg-type]
                code, sentence = told
                status = 401 if code == "signed-out" else 403
                return JsonResponse({"code": code, "sentence": gettext(sentence)}, status=status)
            return view(request, *args, **kwargs)

        shown = login_not_required(guarded)
        shown.needs = need  # type: ignore[attr-defined]
        return shown

    return guard


def _why_not(user: User | AnonymousUser, need: str) -> tuple[str, str] | None:
    """The code and the sentence of what keeps a user's program from doing this."""
    if isinstance(user, AnonymousUser):
        return "signed-out", SIGNED_OUT
    if user.has_first_password:
        return "first-password", FIRST_SIGN_IN
    if lacks_second_factor(user):
        return "second-factor", SECOND_FACTOR
    return None if may(user, need) else ("role-missing", NO_ROLE)


def open_page(because: str) -> Callable[[View], View]:
    """Mark a view as open without a login, and say why; the tests list these addresses."""

    def opened(view: View) -> View:
        shown = login_not_required(view)
        shown.needs = None  # type: ignore[attr-defined]
        shown.open_because = because  # type: ignore[attr-defined]
        return shown

    return opened
