"""The phone's own scripts, held to the same cases as the rules of the register."""

from __future__ import annotations

import csv
import json
import random
from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any

from register.rules import tags

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from pytest_django.live_server_helper import LiveServer

VECTORS = Path(__file__).parents[1] / "vectors"
VERDICTS = json.loads((VECTORS / "phone_verdicts.json").read_text())
TEXTS = [
    *("H7K2PD3", " h7k-2pd3 ", "h7k 2pd3", "https://kit.example/t/H7K2PD3", "t/H7K2PD3"),
    *("HTTPS://KIT.EXAMPLE/T/H7K2PD3", "kit.example/t/h7k-2pd3?from=camera", "/t/H7K2PD3#top"),
    *("HTTPS://KIT.EXAMPLE/T/H7K2PD3/CDFHJKMNPR/", "https://kit.example/t/H7K2PD3H7K2PD3"),
    *("https://kit.example/register/t/h7k2pd3/cdfhjkmnpr?x=1", "https://kit.example/t/"),
    *("H7K2PD4", "7HK2PD3", "H7K2PD", "H7K2PD33", "H7K2PDO", "H7K2P13", "abc", "H7K2PD£"),
    *("https://maker.example/manual.pdf", "04-1287/A 2231", "", "  ", "\n", "Ｈ７Ｋ２ＰＤ３"),
    *("H7K–2PD3", "H7K_2PD3", "ß" * 7, "1234567", "A" * 9, "A" * 10),
]


def asked(page: Page, live_server: LiveServer, script: str, told: Any) -> Any:
    """What a script of the phone's answers; `script` is an expression of m, the module, and told."""
    page.goto(live_server.url + "/phone/")
    name, expression = script.split(": ", 1)
    return page.evaluate(
        f"(told) => import('/static/phone/{name}').then((m) => {expression})", told
    )


def test_the_script_gives_every_verdict_that_the_rule_gives(
    phone: Page, live_server: LiveServer
) -> None:
    script = "verdict.js: told.map((c) => m.phoneVerdict(c.pack, c.item, c.known, c))"
    found = asked(phone, live_server, script, VERDICTS)
    said = [{name: one[name] for name in ("usable", "through", "code")} for one in found]
    expected = [case["expect"] for case in VERDICTS]
    names = [case["name"] for case in VERDICTS]
    assert dict(zip(names, said, strict=True)) == dict(zip(names, expected, strict=True))


def misread(source: random.Random) -> str:
    """A code as a thumb may give it."""
    code = tags.code_from(source.randrange)
    at = source.randrange(7)
    other = source.choice("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    wrong = code[:at] + other + code[at + 1 :]
    swapped = code[:at] + code[at : at + 2][::-1] + code[at + 2 :]
    return source.choice([code, code.lower(), tags.shown(code), wrong, swapped, code[:-1]])


def swappable(source: random.Random) -> Iterator[str]:
    """Sound codes that are not given out, because a swap of neighbours in them would pass."""
    while True:
        body = tags.body_from(source.randrange(tags.BODIES))
        code = body + tags.check_character(body)
        if set(code) <= set(tags.ALPHABET) and not tags.is_giveable(code):
            yield code


def test_the_script_reads_every_text_as_the_rule_does(phone: Page, live_server: LiveServer) -> None:
    source = random.Random(7064)  # noqa: S311
    texts = TEXTS + [misread(source) for _ in range(1500)] + list(islice(swappable(source), 20))
    found = asked(phone, live_server, "tags.js: told.map(m.read)", texts)
    said = {
        text: (one["code"], one["secret"], one["problem"])
        for text, one in zip(texts, found, strict=True)
    }
    ruled = {text: tags.read(text) for text in texts}
    expected = {text: (one.code, one.secret, one.problem) for text, one in ruled.items()}
    assert {text: said[text] for text in texts if said[text] != expected[text]} == {}
    assert {problem for _code, _secret, problem in said.values()} == {
        *(None, "empty", "mistyped", "not-a-tag")
    }


def test_the_check_character_agrees_with_worked_examples(
    phone: Page, live_server: LiveServer
) -> None:
    rows = list(csv.DictReader((VECTORS / "iso7064.csv").open()))
    bodies = [row["body"] for row in rows]
    found = asked(phone, live_server, "tags.js: told.map(m.checkCharacter)", bodies)
    assert found == [row["check"] for row in rows]


def test_a_day_is_the_sites_own_on_the_two_nights_of_the_clock_change(
    phone: Page, live_server: LiveServer
) -> None:
    told = [
        ("2026-03-28T23:59:59+00:00", "Europe/London", "2026-03-28"),
        ("2026-03-29T00:30:00+00:00", "Europe/London", "2026-03-29"),
        ("2026-03-29T23:00:00+00:00", "Europe/London", "2026-03-30"),
        ("2026-10-24T23:00:00+00:00", "Europe/London", "2026-10-25"),
        ("2026-10-25T23:30:00+00:00", "Europe/London", "2026-10-25"),
        ("2026-03-09T07:00:00+00:00", "Pacific/Auckland", "2026-03-09"),
        ("2026-03-09T11:00:00+00:00", "Pacific/Auckland", "2026-03-10"),
    ]
    script = "days.js: told.map(([at, zone]) => m.dayAt(Date.parse(at), zone))"
    assert asked(phone, live_server, script, told) == [day for _at, _zone, day in told]


def test_a_sending_is_cut_into_lots_that_the_register_takes(
    phone: Page, live_server: LiveServer
) -> None:
    small = [{"event": {"n": n}} for n in range(450)]
    large = [{"event": {"n": n, "text": "x" * 19_000}} for n in range(100)]
    script = "sending.js: m.lots(told).map((lot) => [lot.length, JSON.stringify(lot).length])"
    counts = asked(phone, live_server, script, small)
    assert [count for count, _size in counts] == [200, 200, 50]
    sizes = asked(phone, live_server, script, large)
    assert sum(count for count, _size in sizes) == 100
    assert max(size for _count, size in sizes) < 1_000_000
