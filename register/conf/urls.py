"""Every address, by room."""

from django.contrib.auth.views import LogoutView
from django.urls import include, path

from register.views.home import SignIn, health, home, language
from register.views.users import Password

urlpatterns = [
    path("", home, name="home"),
    path("health/", health, name="health"),
    path("language/", language, name="language"),
    path("sign-in/", SignIn.as_view(), name="login"),
    path("password/", Password.as_view(), name="password"),
    path("sign-out/", LogoutView.as_view(), name="logout"),
    path("", include("register.urls")),
    path("", include("inspections.urls")),
    path("", include("readiness.urls")),
]
