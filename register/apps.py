"""The Django app 'register'."""

from django.apps import AppConfig


class RegisterConfig(AppConfig):
    name = "register"
    verbose_name = "Register"
    default_auto_field = "django.db.models.BigAutoField"
