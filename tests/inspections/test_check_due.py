"""The stored due days against the records."""

from __future__ import annotations

from datetime import timedelta
from io import StringIO

import pytest
from django.core.management import call_command

from inspections.models import Due
from register.models import Item, Site
from tests.factories import ItemFactory, passed


def told(*arguments: str) -> str:
    out = StringIO()
    call_command("check_due", *arguments, stdout=out)
    return out.getvalue()


def test_stored_due_days_that_agree_are_told_so(item: Item) -> None:
    passed(item)
    assert told() == "Every stored due day agrees with the records.\n"


def test_a_wrong_copy_and_a_missing_one_are_reported(site: Site) -> None:
    late, missing = ItemFactory(site=site), ItemFactory(site=site)
    right = Due.objects.get(item=late).last_good_on
    Due.objects.filter(item=late).update(last_good_on=right + timedelta(days=300))
    Due.objects.filter(item=missing).delete()
    out = StringIO()
    with pytest.raises(SystemExit) as ended:
        call_command("check_due", stdout=out)
    assert ended.value.code == 1
    assert f"{late.shown_code}: stored detailed {right + timedelta(days=300)}" in out.getvalue()
    assert f"{missing.shown_code}: stored nothing, the records give detailed" in out.getvalue()
    assert "2 stored due days disagree" in out.getvalue()


def test_mend_puts_the_copies_right(item: Item) -> None:
    right = Due.objects.get(item=item).last_good_on
    Due.objects.filter(item=item).update(last_good_on=None, clock="hire")
    assert "1 stored due days were put right." in told("--mend")
    assert Due.objects.get(item=item).last_good_on == right
    assert told() == "Every stored due day agrees with the records.\n"
