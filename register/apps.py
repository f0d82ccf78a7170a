"""The Django app 'register'."""

from django.apps import AppConfig
from django.core.checks import Tags, register


class RegisterConfig(AppConfig):
    name = "register"
    verbose_name = "Register"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from register.checks import ledger_is_guarded

        register(ledger_is_guarded, Tags.database)
