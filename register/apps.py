"""The Django app 'register'."""

from django.apps import AppConfig
from django.core.checks import Tags, register
from django.utils.module_loading import autodiscover_modules


class RegisterConfig(AppConfig):
    name = "register"
    verbose_name = "Register"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from register.checks import ledger_is_guarded, refuse_unknown_roles

        refuse_unknown_roles()
        register(ledger_is_guarded, Tags.database)
        # What each app enters: what a back-up is asked, its kinds of errand, its lists to take away.
        autodiscover_modules("proofs", "tasks", "lists.every", "watches", "forgetting")
