"""A what-if file is read whole or refused with its line, its key and what was expected."""

from __future__ import annotations

import json
from datetime import date
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command

from readiness.rules.cover import answers
from readiness.rules.json_places import MalformedFile
from readiness.rules.situation import ALWAYS, NEVER, Policy
from readiness.rules.what_if import as_json, read_what_if

VECTORS = Path(__file__).parents[1] / "vectors" / "cover-scenarios.json"
GOOD = """{
 "note": "An invented site.",
 "policy": {"alarm_minutes": 2},
 "scenarios": [
  {
   "id": "X1",
   "title": "One of each",
   "on": "2026-03-09",
   "travel_minutes": {"A>B": 7},
   "kits": [
    {"id": "RK-1", "zone": "A", "family": "rope", "functions": ["lower"],
     "max_load_kg": 150, "max_height_m": 40,
     "clocks": [{"part": "rope", "clock": "examination", "due": "2026-08-14"}]}
   ],
   "people": [
    {"name": "Morag", "zone": "A", "on_site": [["2026-03-09", "2026-03-10"]],
     "competences": [
      {"kind": "rescuer", "family": "rope", "valid_to": "2027-01-31"},
      {"kind": "first aid", "valid_to": "2027-01-31"}]}
   ],
   "anchors": [{"id": "AN-1", "zone": "A", "due": "2026-11-30"}],
   "tasks": [
    {"id": "T-1", "zone": "A", "from": "2026-03-02", "to": "2026-06-30", "system": "arrest",
     "exposed": ["Ines"], "heaviest_kg": 112, "lightest_kg": 68, "recovery": "lower",
     "lower_m": 18, "clearance": {"required_m": 6.75, "available_m": 18},
     "rescue_anchors": ["AN-1"],
     "plan": {"method": "lower from above", "reviewed": "2025-11-03", "target_minutes": 10,
              "drill": {"date": "2025-11-10", "minutes": 6}}}
   ],
   "expect": {"anything": [1, 2]}
  }
 ]
}"""


def refused(content: str) -> tuple[int, str, str]:
    with pytest.raises(MalformedFile) as caught:
        read_what_if(content)
    return caught.value.line, caught.value.key, caught.value.expected


def test_a_sound_file_is_read_with_its_defaults() -> None:
    ((scenario_id, site),) = read_what_if(GOOD)
    assert scenario_id == "X1"
    assert site.policy == Policy(alarm_minutes=2)
    assert site.horizon_days == 30
    assert site.travel_minutes == {("A", "B"): 7}
    assert (site.kits[0].condition, site.kits[0].seal_intact, site.kits[0].locked) == (
        "in service",
        True,
        False,
    )
    assert site.people[0].on_site == ((date(2026, 3, 9), date(2026, 3, 10)),)
    assert site.tasks[0].stranded is None


def test_answers_come_in_the_words_of_the_file() -> None:
    ((_, site),) = read_what_if(GOOD)
    assert as_json(answers(site)) == {
        "T-1": {
            "state": "covered-no-backup",
            "hangs_on": ["RK-1", "Morag", "AN-1"],
            "lapses_on": "2026-03-11",
            "lapse_reasons": ["no-rescuer", "no-first-aider"],
        }
    }


@pytest.mark.parametrize(("given", "meant"), [("true", ALWAYS), ("false", NEVER)])
def test_on_site_may_simply_be_true_or_false(given: str, meant: object) -> None:
    ((_, site),) = read_what_if(GOOD.replace('[["2026-03-09", "2026-03-10"]]', given))
    assert site.people[0].on_site == meant


FAULTS = [
    ('"zone": "A", "family"', '"zonne": "A", "family"', 11, "kits[0].zonne", "an unknown key"),
    ('"max_load_kg": 150, ', "", 11, "kits[0].max_load_kg", "this key"),
    ('"max_load_kg": 150', '"max_load_kg": "150"', 12, "kits[0].max_load_kg", "a number"),
    ('"max_load_kg": 150', '"max_load_kg": -1', 12, "kits[0].max_load_kg", "0 or more"),
    ('"max_load_kg": 150', '"max_load_kg": true', 12, "kits[0].max_load_kg", "a number"),
    ('["lower"]', '["lower", "fly"]', 11, "kits[0].functions[1]", 'one of "lower"'),
    ('"due": "2026-08-14"', '"due": "2026-02-30"', 13, "kits[0].clocks[0].due", "a date"),
    ('"due": "2026-08-14"', '"due": "14.08.2026"', 13, "kits[0].clocks[0].due", "a date"),
    ('"kind": "rescuer", "family": "rope"', '"kind": "rescuer"', 18, "family", "this key"),
    ('"kind": "first aid"', '"kind": "nurse"', 19, "competences[1].kind", "first aid"),
    ('["2026-03-09", "2026-03-10"]', '["2026-03-11", "2026-03-10"]', 16, "on_site[0]", "a pair"),
    ('"exposed": ["Ines"]', '"exposed": []', 24, "tasks[0].exposed", "at least one name"),
    ('"exposed": ["Ines"]', '"exposed": ["Ines", "Ines"]', 24, "tasks[0].exposed", "once"),
    ('"to": "2026-06-30"', '"to": "2026-03-01"', 23, "tasks[0].to", "not before 2026-03-02"),
    ('"system": "arrest"', '"system": "net"', 23, "tasks[0].system", 'one of "arrest"'),
    ('"required_m": 6.75, ', "", 25, "clearance.required_m", "this key"),
    ('"target_minutes": 10,', "", 27, "plan.target_minutes", "this key"),
    ('"reviewed": "2025-11-03", ', "", 27, "plan.reviewed", "this key"),
    ('"A>B": 7', '"A-B": 7', 9, "travel_minutes.A-B", '"A>B"'),
    ('"alarm_minutes": 2', '"alarm": 2', 3, "policy.alarm", "an unknown key"),
    ('"id": "X1",', '"id": "X1", "id": "X2",', 6, "scenarios[0].id", "each key once"),
    ('"on": "2026-03-09",', "", 5, "scenarios[0].on", "this key"),
    ('"on": "2026-03-09",', '"on": "2026-03-09", "horizon_days": 1.5,', 8, "horizon_days", "whole"),
]


@pytest.mark.parametrize(("sound", "faulty", "line", "key", "expected"), FAULTS)
def test_a_fault_is_told_with_its_line_its_key_and_what_was_expected(
    sound: str, faulty: str, line: int, key: str, expected: str
) -> None:
    assert GOOD.count(sound) == 1
    told = refused(GOOD.replace(sound, faulty))
    assert told[0] == line
    assert told[1].endswith(key)
    assert expected in told[2]


def test_an_id_is_given_once() -> None:
    anchor = '{"id": "AN-1", "zone": "A", "due": "2026-11-30"}'
    told = refused(GOOD.replace(anchor, f"{anchor},\n   {anchor}"))
    assert told == (
        22,
        "scenarios[0].anchors[1].id",
        'an id not used before, found "AN-1"',
    )


@pytest.mark.parametrize(
    ("content", "line"),
    [
        ("", 1),
        ('{\n "scenarios": [\n', 3),
        ('{"scenarios": [],}', 1),
        ('{"scenarios":\n NaN}', 1),
        ("[" * 100_000, 1),
    ],
)
def test_what_is_not_json_is_refused_at_its_line(content: str, line: int) -> None:
    told = refused(content)
    assert told[0] == line
    assert told[2].startswith("valid JSON")


@pytest.mark.parametrize("content", ["[]", "3", '{"scenarios": {}}', '{"scenarios": [1]}', "{}"])
def test_a_file_of_another_shape_is_refused(content: str) -> None:
    assert refused(content)[0] == 1


def test_the_command_prints_the_answers_as_json() -> None:
    shown = StringIO()
    call_command("what_if", str(VECTORS), stdout=shown)
    expected = {
        scenario["id"]: scenario["expect"]
        for scenario in json.loads(VECTORS.read_text(encoding="utf-8"))["scenarios"]
    }
    assert json.loads(shown.getvalue()) == expected


def test_the_command_tells_a_malformed_file_in_one_sentence(tmp_path: Path) -> None:
    file = tmp_path / "site.json"
    file.write_text(GOOD.replace('"system": "arrest"', '"system": "net"'), encoding="utf-8")
    told = StringIO()
    with pytest.raises(SystemExit) as ended:
        call_command("what_if", str(file), stderr=told)
    assert ended.value.code == 2
    assert told.getvalue() == (
        f"{file}: Line 23, scenarios[0].tasks[0].system: expected one of "
        '"arrest", "restraint", "collective", found "net".\n'
    )


@pytest.mark.parametrize("content", [b"\xff\xfe", None])
def test_the_command_refuses_a_file_it_cannot_read(tmp_path: Path, content: bytes | None) -> None:
    file = tmp_path / "site.json"
    if content is not None:
        file.write_bytes(content)
    told = StringIO()
    with pytest.raises(SystemExit) as ended:
        call_command("what_if", str(file), stderr=told)
    assert ended.value.code == 2
    assert len(told.getvalue().splitlines()) == 1
