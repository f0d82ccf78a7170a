"""Put the triggers on the ledger that refuse every update and delete."""

from django.db import migrations

from register.models.ledger_guard import statements_to_install, statements_to_remove


def install(apps, schema_editor):
    for statement in statements_to_install(schema_editor.connection.vendor):
        schema_editor.execute(statement)


def remove(apps, schema_editor):
    for statement in statements_to_remove(schema_editor.connection.vendor):
        schema_editor.execute(statement)


class Migration(migrations.Migration):
    dependencies = [("register", "0001_tables")]
    operations = [migrations.RunPython(install, remove)]
