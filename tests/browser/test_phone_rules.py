"""The phone's scripts of a round, held to the same cases as the rules of the register."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from pytest_django.live_server_helper import LiveServer

VECTORS = Path(__file__).parents[1] / "vectors"


def answers(page: Page, live_server: LiveServer, script: str, told: Any) -> Any:
    page.goto(live_server.url + "/phone/")
    return page.evaluate(script, told)


def test_the_script_answers_every_case_of_a_checklist(phone: Page, live_server: LiveServer) -> None:
    told = json.loads((VECTORS / "phone_answers.json").read_text())
    script = """(told) => import('/static/phone/answering.js').then((m) => ({
      answers: told.answers.map((c) => m.misfit(told.checklist, c.kind, c.verdict, c))
        .map((found) => [found?.code ?? null, (found?.points ?? []).map(({ slug }) => slug)]),
      contents: told.contents.map((c) => m.contentsProblem(c.verdict, c.kind, c.pieces,
        { seen: c.seen, leftShut: c.left_shut, sealed: c.sealed })),
      defects: told.defects.map((c) => m.contradiction(c.verdict,
        c.defects.map(([grade, danger_by_on]) => ({ grade, danger_by_on })))),
    }))"""
    assert answers(phone, live_server, script, told) == {
        "answers": [[case["code"], case["points"]] for case in told["answers"]],
        "contents": [case["problem"] for case in told["contents"]],
        "defects": [case["code"] for case in told["defects"]],
    }


def test_the_script_counts_and_signs_every_round_as_the_rule_does(
    phone: Page, live_server: LiveServer
) -> None:
    told = json.loads((VECTORS / "round_lines.json").read_text())
    script = """async (told) => {
      const [m, { loadWords, say }] = await Promise.all([
        import('/static/phone/lines.js'), import('/static/phone/words.js')]);
      await loadWords();
      const words = (lines) => m.tallyWords(m.tally(lines), say);
      const gone = ({ listed, acts }) => {
        let lines = listed.map((key) => ({ key, state: 'expected', listed: true }));
        let refused = 0;
        for (const [key, verdict] of acts) {
          const after = m.withLook(lines, key, verdict);
          refused += after === null;
          lines = after ?? lines;
        }
        const signed = lines.map((line) => ({ ...line, state: m.atSigning(line.state) }));
        return [words(lines), words(signed), refused];
      };
      const why = (c) => m.whyNotSigned({ ...c, isOpen: c.is_open });
      return { rounds: told.cases.map(gone), signing: told.signing.map(why) };
    }"""
    assert answers(phone, live_server, script, told) == {
        "rounds": [[one["tally"], one["signed"], one.get("refused", 0)] for one in told["cases"]],
        "signing": [case["code"] for case in told["signing"]],
    }
