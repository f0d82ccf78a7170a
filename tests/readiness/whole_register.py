"""A register with at least one row of every table that goes into an archive, and values hard to write."""

from __future__ import annotations

import uuid
from datetime import date, time, timedelta
from decimal import Decimal
from typing import Any

from django.apps import apps
from django.core.files.base import ContentFile
from django.db import models

from readiness.archive import contents
from register.actions.conditions import quarantine
from register.actions.ledger import make_checkpoint
from register.models import Errand, Item, Person, Site, User, Zone, record
from tests.factories import NOON, PNG, stamp
from tests.test_pages import world

AWKWARD = [
    '"quoted", then; more',
    "=1+1",
    "\\N",
    "line one\r\nline two\nthree\rfour",
    " led and followed by spaces ",
    "zażółć 漢字 🪢",
    "0007",
]
# What the database itself asks of a row that is filled in without a thought.
NEEDED: dict[str, dict[str, Any]] = {
    "readiness.Competence": {"kind": "rescuer", "family": "raise"},
    "inspections.Regime": {"schemes": ["gb"], "shorter": {}},
    "readiness.KitAbility": {"key_from": time(6), "key_until": time(18)},
    "register.Passage": {"start": Zone.objects.first, "end": Zone.objects.last},
    "readiness.SiteTravel": {
        "start": Site.objects.first,
        "end": Site.objects.last,
    },
}
PLAIN: tuple[tuple[type[models.Field], Any], ...] = (
    (models.BooleanField, True),
    (models.FloatField, 0.1 + 0.2),
    (models.DecimalField, Decimal("1.5")),
    (models.IntegerField, 7),
    (models.DateTimeField, NOON + timedelta(microseconds=123)),
    (models.DateField, date(2026, 2, 28)),
    (models.TimeField, time(23, 59, 59)),
    (models.UUIDField, uuid.UUID(int=7)),
    (models.SlugField, "x-7"),
    (models.EmailField, "x@example.org"),
    (models.JSONField, {"ż": [1, 2.5, None, {"b": True, "a": "=1"}]}),
)


def whole_register() -> None:
    """Two sites with one of everything, real acts in the ledger, and a row of whatever is left."""
    here = world("here")
    world("there")
    for text in AWKWARD:
        Person.objects.create(name=text, employer="", home_site=here.site)
    item = Item.objects.filter(site=here.site).first()
    assert item is not None
    by = User.objects.first()
    quarantine(item, reason="label-unreadable", note=AWKWARD[3], stamp=stamp(by))
    errand = Errand.objects.create(
        kind="x", language="en", asked_by=by, asked_at=NOON, moved_at=NOON
    )
    record("ask-errand", {errand: {"kind": "x"}}, stamp=stamp(by))
    make_checkpoint(at=NOON)
    for label in contents.TAKEN:
        if not apps.get_model(label)._base_manager.exists():
            filled(apps.get_model(label))


def filled(model: type[models.Model]) -> models.Model:
    """A row with a value in every column; what it refers to is the first row of its table, or a new one."""
    label = model._meta.label
    needed = NEEDED.get(label, {})
    values = {
        field.name: _needed(needed[field.name]) if field.name in needed else _value(field)
        for field in model._meta.local_concrete_fields
        if not isinstance(field, models.AutoField)
    }
    row = model(**values)
    row.save_base(raw=True, force_insert=True)
    return row


def _needed(value: Any) -> Any:
    return value() if callable(value) else value


def _value(field: Any) -> Any:
    if field.related_model is not None:
        return field.related_model._base_manager.order_by("-pk").first() or filled(
            field.related_model
        )
    if isinstance(field, models.FileField):
        return field.storage.save(field.generate_filename(None, "p.png"), ContentFile(PNG))
    if field.flatchoices:
        return field.flatchoices[0][0]
    for kind, value in PLAIN:
        if isinstance(field, kind):
            return value
    return AWKWARD[0][: field.max_length]
