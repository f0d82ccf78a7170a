"""Addresses of this app."""

from django.urls import path

from register.views import labels

app_name = "register"
urlpatterns = [
    path("labels/", labels.label_sheet, name="label-sheet"),
]
