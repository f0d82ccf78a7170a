"""Put the ledger's triggers back where a migration has dropped them."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand
from django.db import connection

from register.models.ledger_guard import statements_to_install


class Command(BaseCommand):
    help = "Put the triggers back that keep the ledger append-only."

    def handle(self, *args: Any, **options: Any) -> None:
        with connection.cursor() as cursor:
            for statement in statements_to_install(connection.vendor):
                cursor.execute(statement)
        self.stdout.write("The ledger is guarded.")
