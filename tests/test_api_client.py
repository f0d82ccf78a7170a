"""The client in the README, run as it stands there against a server that listens."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.core.cache import cache

from inspections.models import Authorisation, Inspection
from register import clock
from register.models import Role
from tests.api_callers import token_of
from tests.factories import ItemFactory, user_as
from tests.readiness.grounds import covered_site

README = Path(__file__).parents[1] / "README.md"
MOST_LINES = 36  # thirty, and the blank ones between its parts


def client() -> str:
    (found,) = re.findall(r"^```python\n(.*?)^```", README.read_text(), re.DOTALL | re.MULTILINE)
    return str(found)


def test_the_client_is_short_and_needs_nothing_but_python() -> None:
    text = client()
    assert len(text.splitlines()) <= MOST_LINES
    named = set(re.findall(r"^(?:import|from) (\w+)", text, re.MULTILINE))
    assert named <= sys.stdlib_module_names


@pytest.mark.usefixtures("emptied_tables")
@pytest.mark.django_db(transaction=True)
def test_the_client_passes_an_item_and_reads_the_cover_of_a_site(
    live_server: Any, tmp_path: Path
) -> None:
    cache.clear()
    today = clock.now().date()
    ground = covered_site(day=today)
    item = ItemFactory(site=ground.site)
    user = user_as(Role.COMPETENT)
    Authorisation.objects.create(person=user.person, from_on=today, through_on=today)
    token = token_of(user, "inspection.record", "cover.see", through_on=today)
    said = run(tmp_path, live_server.url, token, item.code, ground.site.code)
    assert said.stderr == ""
    first, second = said.stdout.splitlines()
    assert first.startswith(f"{item.code} OK to use until ")
    assert second.startswith("CQ-1 covered ")
    assert Inspection.objects.get(item=item).counts
    nobody = run(tmp_path, live_server.url, "tallyhook_H7K2PD3C_guess", item.code, "corrick")
    assert (nobody.stdout, nobody.stderr) == ("", "401: No token reads like this.\n")


def run(place: Path, url: str, token: str, *words: str) -> subprocess.CompletedProcess[str]:
    file = place / "client.py"
    file.write_text(client())
    told = {**os.environ, "TALLYHOOK_URL": url, "TALLYHOOK_TOKEN": token}
    command = [sys.executable, str(file), *words]
    return subprocess.run(command, env=told, capture_output=True, text=True, check=False)
