"""Users: who can sign in, in which roles; entered, closed and opened again by administrators."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.forms import PasswordChangeForm
from django.contrib.auth.views import PasswordChangeView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse_lazy
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from register.access import needs, users_for
from register.actions.users import (
    add_user,
    add_user_and_person,
    change_password,
    close_user,
    give_first_password,
    give_role,
    new_first_password,
    reopen_user,
    take_role,
)
from register.asking_again import asks_again
from register.forms.users import NewUserForm, RoleForm
from register.models import User
from register.refusal import Refusal
from register.telling import kept, stamp_of, told_to


@needs("role.give")
def user_list(request: HttpRequest) -> HttpResponse:
    users = users_for(request.user, "role.give").select_related("person")
    known = users.prefetch_related("grants__site").order_by("-is_active", "username")
    return render(request, "register/user_list.html", {"users": known})


@never_cache
@needs("role.give")
@asks_again
def user_new(request: HttpRequest) -> HttpResponse:
    """Enter a user; the first password is made here and shown in the answer, and never again."""
    form = NewUserForm(request.POST or None, user=request.user)
    password = new_first_password()
    if kept(request, form, lambda: _entered(request, form, password), _("The user is entered.")):
        return _shown_once(request, form.cleaned_data["username"].lower(), password)
    status = 422 if form.errors else 200
    return render(request, "register/user_new.html", {"form": form}, status=status)


def _entered(request: HttpRequest, form: NewUserForm, password: str) -> User:
    said = form.cleaned_data
    login = {"username": said["username"], "password": password, "stamp": stamp_of(request)}
    roles = [(said["role"], said["site"])]
    if said["person"]:
        return add_user(said["person"], roles=roles, **login)
    new = {"name": said["name"], "employer": said["employer"], "home_site": said["site"]}
    return add_user_and_person(roles=roles, **new, **login)


def _shown_once(request: HttpRequest, username: str, password: str) -> HttpResponse:
    shown = {"username": username, "password": password}
    return render(request, "register/first_password.html", shown)


@needs("role.give")
def user_close(request: HttpRequest, pk: int) -> HttpResponse:
    user = _user(request, pk)
    if request.method != "POST":
        return render(request, "register/user_close.html", {"closed": user})
    with told_to(request, _("%(user)s can sign in no longer.") % {"user": user}):
        close_user(user, stamp=stamp_of(request))
    return redirect("register:user-list")


@never_cache
@require_POST
@needs("role.give")
@asks_again
def user_reopen(request: HttpRequest, pk: int) -> HttpResponse:
    """Let a closed user in again with a new first password."""
    return _with_first_password(request, _user(request, pk), reopen_user)


@never_cache
@require_POST
@needs("role.give")
@asks_again
def user_password(request: HttpRequest, pk: int) -> HttpResponse:
    """A new first password for who has forgotten theirs."""
    return _with_first_password(request, _user(request, pk), give_first_password)


def _with_first_password(
    request: HttpRequest, user: User, act: Callable[..., User]
) -> HttpResponse:
    password = new_first_password()
    try:
        act(user, password=password, stamp=stamp_of(request))
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
        return redirect("register:user-list")
    return _shown_once(request, user.username, password)


@needs("role.give")
@asks_again
def role_give(request: HttpRequest, pk: int) -> HttpResponse:
    """The roles of one user, and one more."""
    user = _user(request, pk)
    form = RoleForm(request.POST or None, user=request.user)
    if kept(
        request,
        form,
        lambda: give_role(user, stamp=stamp_of(request), **form.cleaned_data),
        _("The role is given."),
    ):
        return redirect("register:role-give", pk=user.pk)
    shown = {"holder": user, "grants": user.grants.select_related("site"), "form": form}
    return render(request, "register/role_give.html", shown, status=422 if form.errors else 200)


@require_POST
@needs("role.give")
@asks_again
def role_take(request: HttpRequest, pk: int, grant: int) -> HttpResponse:
    user = _user(request, pk)
    held = get_object_or_404(user.grants, pk=grant)
    with told_to(request, _("The role is taken away.")):
        take_role(held, stamp=stamp_of(request))
    return redirect("register:role-give", pk=user.pk)


def _user(request: HttpRequest, pk: int) -> User:
    rows = users_for(request.user, "role.give").select_related("person")
    return get_object_or_404(rows, pk=pk)


class Password(PasswordChangeView):
    """One's own password; kept through our action, so that it stands in the ledger."""

    template_name = "register/password.html"
    success_url = reverse_lazy("home")

    def form_valid(self, form: PasswordChangeForm) -> HttpResponse:
        chosen = form.cleaned_data["new_password1"]

        def change() -> None:
            user = change_password(form.user, password=chosen, stamp=stamp_of(self.request))
            update_session_auth_hash(self.request, user)

        if not kept(self.request, form, change, _("Your password is changed.")):
            return self.form_invalid(form)
        return redirect(self.get_success_url())
