"""Signing in: the front door, and a user's own page of password, passkeys, codes and sessions."""

from __future__ import annotations

from typing import Any

from allauth.account.internal.flows.login import perform_password_login
from allauth.account.models import Login
from allauth.mfa.base.views import IndexView
from django.conf import settings
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView
from django.http import HttpResponse

from register.demo_logins import DEMO_LOGINS, DEMO_PASSWORD
from register.second_factor import lacks_second_factor


class SignIn(LoginView):
    """The login page; on the demo it lists the demo logins."""

    template_name = "registration/login.html"
    redirect_authenticated_user = True

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        """Signed in once the second factor is shown too, where the user has one."""
        entering = Login(user=form.get_user(), redirect_url=self.get_success_url())
        return perform_password_login(self.request, {"username": entering.user.username}, entering)

    def get_context_data(self, **kwargs: object) -> dict[str, object]:
        shown = (
            {"demo_logins": DEMO_LOGINS, "demo_password": DEMO_PASSWORD} if settings.DEMO else {}
        )
        return {**super().get_context_data(**kwargs), **shown}


class YourSignIn(IndexView):
    """What signs one in, and whether one's role asks for more than a password."""

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        shown: dict[str, Any] = super().get_context_data(**kwargs)
        return {**shown, "factor_wanted": lacks_second_factor(self.request.user)}
