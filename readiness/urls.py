"""Addresses of this app."""

from django.urls import URLPattern

app_name = "readiness"
urlpatterns: list[URLPattern] = []
