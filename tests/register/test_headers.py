"""What every answer tells the browser, whoever asks and whatever comes of it (OWASP ASVS 5.0, 3.4)."""

from __future__ import annotations

import subprocess
import sys

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse

from register.models import User

pytestmark = pytest.mark.django_db
ALWAYS = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "X-Frame-Options": "DENY",
}


@pytest.fixture
def client(petra: User) -> Client:
    made = Client()
    made.force_login(petra)
    return made


@pytest.mark.parametrize(
    "path",
    ["/sign-in/", "/equipment/", "/no-such-page/", "/health/", "/phone/", "/t/000-0000", "/sites/"],
)
def test_every_answer_keeps_itself_to_our_own_pages(client: Client, path: str) -> None:
    answer = client.get(path)
    said = {name: answer.get(name) for name in ALWAYS}
    assert said == ALWAYS
    assert "camera=(self)" in answer["Permissions-Policy"]
    policy = answer["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "frame-ancestors 'none'" in policy
    assert "unsafe-inline" not in policy
    assert "'unsafe-eval'" not in policy


def test_the_cookies_are_out_of_reach_of_scripts_and_of_other_sites(petra: User) -> None:
    petra.set_password("a line for each of us")
    petra.save()
    client = Client()
    client.post(reverse("login"), {"username": "petra", "password": "a line for each of us"})
    session = client.cookies["sessionid"]
    assert (session["httponly"], session["samesite"]) == (True, "Lax")


def test_a_page_of_ones_own_is_kept_by_no_cache_between(client: Client) -> None:
    answer = client.get("/equipment/")
    assert "Cookie" in answer["Vary"]


def test_django_finds_nothing_to_say_about_a_register_on_https() -> None:
    env = {"PUBLIC_URL": "https://tally.example", "DATA_DIR": str(settings.MEDIA_ROOT), "PATH": ""}
    command = [sys.executable, str(settings.BASE_DIR / "manage.py"), "check", "--deploy"]
    command += ["--fail-level", "INFO"]
    done = subprocess.run(command, env=env, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
