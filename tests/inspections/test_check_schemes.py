"""The checker of jurisdiction files: what is wrong, on which line, and what to write instead."""

from __future__ import annotations

import json
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

from inspections.rules.scheme_files import SchemeError, read_scheme

LINE: dict[str, Any] = {
    "classes": ["harness"],
    "uses": ["every"],
    "kind": "detailed",
    "months": 6,
    "source": "made up for this test",
    "status": "policy",
}
KNOWN = {"source": "made up for this test", "status": "policy"}
HEAD = {"scheme": "xx", "name": "Nowhere", "last_day_rule": "inclusive", "last_day_source": "-"}


def file_of(*lines: object, **sections: object) -> str:
    """A file as people write it: one thing a line, the first interval on line 7."""
    return json.dumps({**HEAD, "intervals": lines, **sections}, indent=1)


def faults(text: str) -> list[str]:
    with pytest.raises(SchemeError) as caught:
        read_scheme(text, "xx.json")
    return caught.value.faults


def checked(*files: Path) -> str:
    out = StringIO()
    call_command("check_schemes", *map(str, files), stdout=out)
    return out.getvalue()


def test_all_shipped_files_are_sound() -> None:
    assert "jurisdiction files are sound" in checked()


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        (
            {"classes": ["harnes"]},
            "xx.json, line 9, intervals[0].classes[0]: 'harnes' is not known; did you mean 'harness'?",
        ),
        ({"classes": []}, "xx.json, line 8, intervals[0].classes: must be a list such as"),
        ({"classes": "harness"}, "xx.json, line 8, intervals[0].classes: must be a list such as"),
        (
            {"uses": ["heavy"]},
            "xx.json, line 12, intervals[0].uses[0]: 'heavy' is not known. One of: light,",
        ),
        (
            {"kind": "detaild"},
            "xx.json, line 14, intervals[0].kind: 'detaild' is not known; did you mean 'detailed'?",
        ),
        ({"months": 0}, "xx.json, line 15, intervals[0].months: 0 is not a whole number"),
        ({"months": 6.5}, "xx.json, line 15, intervals[0].months: 6.5 is not a whole number"),
        ({"months": True}, "xx.json, line 15, intervals[0].months: True is not a whole number"),
        ({"months": "6"}, "xx.json, line 15, intervals[0].months: '6' is not a whole number"),
        ({"months": None}, "xx.json, line 15, intervals[0].months: None is not a whole number"),
        ({"source": " "}, "xx.json, line 16, intervals[0].source: must be a text that says"),
        (
            {"status": "sure"},
            "xx.json, line 17, intervals[0].status: 'sure' is not known. One of: read, read-2,",
        ),
        (
            {"month": 6},
            "xx.json, line 18, intervals[0].month: the key 'month' is not known; did you mean 'months'?",
        ),
    ],
)
def test_a_wrong_word_is_named_with_its_line_and_what_to_write(
    changes: dict[str, object], told: str
) -> None:
    (fault,) = faults(file_of({**LINE, **changes}))
    assert fault.startswith(told)


def test_a_missing_source_is_named() -> None:
    line = {key: value for key, value in LINE.items() if key != "source"}
    assert faults(file_of(line)) == ["xx.json, line 7, intervals[0]: the key 'source' is missing"]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('{\n  "scheme": "xx",\n  oops\n}', "xx.json, line 3: not JSON"),
        ("[]", "xx.json, line 1: the file must hold one object"),
        ('{"scheme": "xx"}', "xx.json, line 1: the key 'intervals' is missing"),
        (
            file_of(LINE).replace('"inclusive"', '"about"'),
            "xx.json, line 4, last_day_rule: 'about' is not known. One of: inclusive, day-before",
        ),
        (file_of(LINE).replace('"name"', '"scheme"'), "xx.json, line 1: the key 'name' is missing"),
        (
            '{"scheme": "xx",\n"scheme": "yy"}',
            "xx.json, line 2, scheme: this key stands twice",
        ),
        (file_of("six months"), "xx.json, line 7, intervals[0]: must be an object in braces"),
        (file_of(LINE, lives={}), "xx.json, line 20, lives: must be a list of objects"),
    ],
)
def test_a_broken_file_is_named_with_its_line_or_key(text: str, told: str) -> None:
    assert any(fault.startswith(told) for fault in faults(text))


@pytest.mark.parametrize(
    ("section", "line", "told"),
    [
        ("lives", {"classes": ["rope"], "months": -1}, "lives[0].months: -1 is not a whole number"),
        ("user_checks", {"classes": ["rope"]}, "user_checks[0]: the key 'when' is missing"),
        (
            "before_first_use",
            {"classes": ["rope"], "kinds": ["detaild"]},
            "before_first_use[0].kinds[0]: 'detaild' is not known; did you mean 'detailed'?",
        ),
        (
            "before_first_use",
            {"classes": ["rope"], "kinds": ["detailed"], "unless_made_months": 0},
            "before_first_use[0].unless_made_months: 0 is not a whole number",
        ),
        (
            "after_events",
            {"classes": ["rope"], "events": ["arest"], "kinds": ["detailed"]},
            "after_events[0].events[0]: 'arest' is not known; did you mean 'arrest'?",
        ),
        (
            "retention",
            {"record": "inspection", "until": "months"},
            "retention[0]: until “months” needs the key 'months'",
        ),
        (
            "retention",
            {"record": "declaration", "until": "end", "months": 24},
            "retention[0].months: until “end” has no months",
        ),
        (
            "retention",
            {"record": "minutes", "until": "next"},
            "retention[0].record: 'minutes' is not known",
        ),
        (
            "particulars",
            {"kinds": ["detailed"], "what": "colour"},
            "particulars[0].what: 'colour' is not known",
        ),
        ("examiners", {"kinds": ["every"], "who": ""}, "examiners[0].who: must be a text"),
    ],
)
def test_every_section_is_checked(section: str, line: dict[str, object], told: str) -> None:
    (fault,) = faults(file_of(LINE, **{section: [{**line, **KNOWN}]}))
    assert told in fault


def test_two_lines_on_the_same_classes_uses_and_kind_are_told() -> None:
    again = {**LINE, "uses": ["light", "normal", "arduous", "rescue", "training"], "months": 12}
    (fault,) = faults(file_of(LINE, again))
    assert fault.startswith("xx.json, line 19, intervals[1]: the same classes, uses and kind as")


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ({"months": 12}, "12 months do not shorten the 12 months of 'yearly'"),
        ({"months": 14}, "14 months do not shorten the 12 months of 'yearly'"),
        ({"shortens": "yearli"}, "shortens 'yearli' is not known; did you mean 'yearly'?"),
        ({"kind": "interim"}, "shortens 'yearly', which is about another kind: detailed"),
        ({"classes": ["@every"]}, "for classes or uses which that line does not name"),
    ],
)
def test_a_line_shortens_what_it_says_it_shortens(line: dict[str, object], told: str) -> None:
    yearly = {**LINE, "classes": ["@textile"], "months": 12, "name": "yearly"}
    (fault,) = faults(file_of(yearly, {**LINE, "shortens": "yearly", **line}))
    assert told in fault
    assert read_scheme(file_of(yearly, {**LINE, "shortens": "yearly"})).lines[1].shortens


def test_all_faults_of_a_file_are_told_at_once_from_the_top() -> None:
    found = faults(file_of({**LINE, "kind": "yearly", "status": "sure"}, {**LINE, "months": 0}))
    assert [fault.split(":")[0] for fault in found] == [
        "xx.json, line 14, intervals[0].kind",
        "xx.json, line 17, intervals[0].status",
        "xx.json, line 27, intervals[1].months",
    ]


def test_the_command_names_the_file_and_ends_with_1(tmp_path: Path) -> None:
    sound, broken, misnamed = tmp_path / "xx.json", tmp_path / "yy.json", tmp_path / "zz.json"
    sound.write_text(file_of(LINE), encoding="utf-8")
    broken.write_text(file_of({**LINE, "months": -3}), encoding="utf-8")
    misnamed.write_bytes(b"\xff{}")
    assert checked(sound) == "1 jurisdiction files are sound.\n"
    out = StringIO()
    files = (sound, broken, misnamed, tmp_path / "none.json")
    with pytest.raises(SystemExit) as ended:
        call_command("check_schemes", *map(str, files), stdout=out)
    assert ended.value.code == 1
    assert out.getvalue().splitlines() == [
        "yy.json, line 15, intervals[0].months: -3 is not a whole number of months from 1 up;"
        " write such as 12",
        "zz.json: is not UTF-8; save it as UTF-8",
        f"{tmp_path}/none.json: cannot be read: No such file or directory",
    ]
    broken.write_text(file_of(LINE), encoding="utf-8")
    with pytest.raises(SystemExit):
        call_command("check_schemes", str(broken), stdout=out)
    assert "yy.json, scheme: 'xx' must be 'yy', as the file is called" in out.getvalue()
