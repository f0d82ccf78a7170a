"""Every address, by room."""

from allauth.account.views import reauthenticate
from allauth.usersessions.views import list_usersessions
from django.contrib.auth.views import LogoutView
from django.urls import include, path

from register.api.edge import around, guarded
from register.api.interface import api
from register.api.problems import unknown_address
from register.views.home import health, home, language
from register.views.sign_in import SignIn, YourSignIn
from register.views.users import Password

# By name: each room knows only its own app and those below it.
for room in (
    "register.api.sites",
    "inspections.api.items",
    "inspections.api.recording",
    "inspections.api.kits",
    "inspections.api.lists",
    "inspections.api.events",
    "readiness.api.cover",
    "readiness.api.what_if",
):
    api.add_router("", f"{room}.router")

calls = [
    *guarded([one for one in api.urls[0] if one.name != "api-root"]),
    path("", around(unknown_address), name="root"),
    path("<path:rest>", around(unknown_address), name="unknown"),
]

urlpatterns = [
    path("", home, name="home"),
    path("health/", health, name="health"),
    path("language/", language, name="language"),
    path("sign-in/", SignIn.as_view(), name="login"),
    path("sign-in/", SignIn.as_view(), name="account_login"),  # the name that allauth asks for
    path("sign-in/again/", reauthenticate, name="account_reauthenticate"),
    path("sign-in/factor/", YourSignIn.as_view(), name="mfa_index"),
    path("sign-in/factor/", include("allauth.mfa.urls")),
    path("sign-in/sessions/", list_usersessions, name="usersessions_list"),
    path("password/", Password.as_view(), name="password"),
    path("sign-out/", LogoutView.as_view(), name="logout"),
    path("sign-out/", LogoutView.as_view(), name="account_logout"),
    path("", include("register.urls")),
    path("", include("inspections.urls")),
    path("", include("readiness.urls")),
    path("api/v1/", include((calls, "api"))),  # last, for it answers whatever lies under it
]
