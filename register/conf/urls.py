"""Every address, by room."""

from django.contrib.auth.views import LogoutView
from django.urls import include, path

from register.views.home import SignIn, health, home

urlpatterns = [
    path("", home, name="home"),
    path("health/", health, name="health"),
    path("sign-in/", SignIn.as_view(), name="login"),
    path("sign-out/", LogoutView.as_view(), name="logout"),
    path("", include("register.urls")),
    path("", include("inspections.urls")),
    path("", include("readiness.urls")),
]
