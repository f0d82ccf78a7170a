"""What a phone loads to work without signal: one page for everybody, and a worker that keeps it."""

from __future__ import annotations

import gzip
import json
import re
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from inspections.packs.making import FORMAT
from inspections.phone_words import WORDS, all_words
from inspections.views.phone import FILES, shell_files
from register.models import User

pytestmark = pytest.mark.django_db
MOST_BYTES = 100_000
DECODER = "phone/decoder/"


def shell() -> str:
    return Client().get("/phone/").content.decode()


def told_to_the_worker() -> dict[str, Any]:
    first, _rest = Client().get("/phone-worker.js").content.decode().split("\n", 1)
    return json.loads(first.removeprefix("const SHELL = ").removesuffix(";"))


def loaded(first: Path) -> dict[Path, str]:
    """The module and all that it imports, with their texts."""
    found: dict[Path, str] = {}
    waiting = [first]
    while waiting:
        path = waiting.pop().resolve()
        if path not in found:
            found[path] = path.read_text("utf-8")
            waiting += [path.parent / one for one in re.findall(r'from "(\.[^"]+)"', found[path])]
    return found


def test_the_page_is_the_same_for_everybody_and_names_nobody(petra: User) -> None:
    client = Client()
    client.force_login(petra)
    response = client.get("/phone/")
    assert response.content.decode() == shell()
    assert "csrf" not in response.content.decode()
    assert response.cookies == {}


def test_the_page_may_start_its_worker_and_its_decoder_and_nothing_from_elsewhere() -> None:
    policy = Client().get("/phone/")["Content-Security-Policy"]
    assert "worker-src 'self'" in policy
    assert "script-src 'self' 'wasm-unsafe-eval'" in policy
    assert re.findall(r"https?:|unsafe-(?:inline|eval)(?<!wasm-unsafe-eval)", policy) == []


def test_the_worker_keeps_every_file_of_the_page() -> None:
    told = told_to_the_worker()
    assert told["files"][0] == told["page"] == reverse("inspections:phone")
    asked = set(re.findall(r'(?:src|href)="(/[^"#]*\.\w+)"', shell()))
    assert asked
    assert asked <= set(told["files"])
    kept = {*told["files"], *told["extras"]}
    scripts = {f"/static/phone/{path.relative_to(FILES)}" for path in FILES.rglob("*.js")}
    assert scripts - {"/static/phone/worker.js"} <= kept


def test_the_worker_may_answer_for_every_address_and_is_asked_for_anew() -> None:
    response = Client().get("/phone-worker.js")
    assert response["Service-Worker-Allowed"] == "/"
    assert "no-cache" in response["Cache-Control"]
    assert response["Content-Type"].startswith("text/javascript")


def test_a_changed_file_is_a_new_version(monkeypatch: pytest.MonkeyPatch) -> None:
    before = told_to_the_worker()["version"]
    files = shell_files()
    del files["phone/store.js"]
    monkeypatch.setattr("inspections.views.phone.shell_files", lambda: files)
    assert told_to_the_worker()["version"] != before


def packed(content: bytes) -> int:
    return len(gzip.compress(content, 6))


def test_all_that_a_phone_loads_is_light() -> None:
    """As it travels: packed. The decoder is apart, and comes once."""
    files = shell_files().items()
    sizes = {name: packed(path.read_bytes()) for name, path in files if DECODER not in name}
    answers = ["/phone/", "/phone/words.json", "/phone-worker.js", "/phone.webmanifest"]
    sizes |= {path: packed(Client().get(path).content) for path in answers}
    assert sum(sizes.values()) < MOST_BYTES, sizes


def test_scripts_travel_packed_and_pages_do_not() -> None:
    asks = {"headers": {"accept-encoding": "gzip"}}
    script = Client().get("/static/phone/page.js", **asks)
    assert script["Content-Encoding"] == "gzip"
    body = gzip.decompress(b"".join(script.streaming_content))
    assert body == (FILES / "page.js").read_bytes()
    assert "Content-Encoding" not in Client().get("/sign-in/", **asks)


def test_every_word_that_a_screen_says_is_there() -> None:
    said = set(re.findall(r'\bsay\(\s*"([\w-]+)"', "\n".join(loaded(FILES / "page.js").values())))
    assert said
    assert said - set(all_words()["words"]) == set()


def test_no_word_lies_about() -> None:
    scripts = "\n".join(path.read_text("utf-8") for path in FILES.rglob("*.js"))
    names = set(re.findall(r'"([\w-]+)"', scripts)) | set(re.findall(r"`([\w-]+)\$", scripts))
    unused = [word for word in WORDS if not (word in names or _is_made(word, names))]
    assert unused == []


def test_the_scripts_read_the_format_that_the_register_packs() -> None:
    script = (FILES / "packs.js").read_text("utf-8")
    assert re.findall(r"^const FORMAT = (\d+);", script, re.MULTILINE) == [str(FORMAT)]


def test_every_trouble_of_the_camera_has_its_sentence() -> None:
    scripts = "".join((FILES / name).read_text("utf-8") for name in ("scanner.js", "reading.js"))
    troubles = set(re.findall(r'"((?:camera|no|decoder)-[\w-]+)"', scripts))
    assert "camera-refused" in troubles
    assert troubles - set(WORDS) == set()


def _is_made(word: str, beginnings: set[str]) -> bool:
    """Whether its code is put together on the phone, such as `state-${...}`."""
    return any(word.startswith(name) for name in beginnings if name.endswith("-"))


def test_what_is_counted_has_a_form_for_every_number() -> None:
    words = all_words()["words"]
    assert words["to-send"] == {"1": "%(n)d to send"}
    assert words["items-of-site"] == {"1": "%(n)d item", "2": "%(n)d items"}
