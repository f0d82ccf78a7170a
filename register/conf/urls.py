"""Every address, by room."""

from allauth.account.views import reauthenticate
from allauth.usersessions.views import list_usersessions
from django.contrib.auth.views import LogoutView
from django.urls import include, path

from register.views.home import health, home, language
from register.views.sign_in import SignIn, YourSignIn
from register.views.users import Password

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
]
