"""Checklists: every class has one, a wrong line is named, and answers fit the verdict."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path

import pytest
from django.core.management import call_command

from inspections import checklists
from inspections.actions.inspecting import Finding, Flaw, inspect
from inspections.checklist_wording import how_words, misfit_sentence
from inspections.checklists import CHECKLIST_FILES, checklist_for
from inspections.models import ChecklistVersion
from inspections.rules.answering import misfit
from inspections.rules.checklist_files import ChecklistError, from_content, read_checklist
from inspections.rules.checklists import (
    Answers,
    Checklist,
    Point,
    content_of,
    for_kind,
    hash_of,
    must_measure,
)
from inspections.rules.kinds import KINDS
from register.models import Item
from register.refusal import Refusal
from register.rules.classes import CLASSES
from tests.factories import NOON, ItemFactory, inspector, stamp

POINT = {
    "slug": "edge",
    "look": "Edges",
    "accept": "whole",
    "how": "look",
    "if_not": "fail",
    "grade": "A",
    "source": "Common practice",
    "status": "common practice, no source",
}
WIDTH = {**POINT, "slug": "width", "how": "measure", "unit": "mm", "least": "40", "most": "45"}
FUZZ = {**POINT, "slug": "fuzz", "if_not": "observation", "grade": "C"}


def text(*points: dict[str, object], **changed: object) -> str:
    """A checklist file: the braces on line 1, the part on line 4, each point on its own line."""
    shown = ",\n".join(json.dumps(point) for point in points or (POINT,))
    head = {"class": "harness", "number": 1, **changed}
    return (
        f'{{"class": {json.dumps(head["class"])},\n"number": {json.dumps(head["number"])},\n'
        f'"parts": [\n{{"slug": "webbing", "name": "Webbing", "points": [\n{shown}\n]}}\n]}}'
    )


def made(*points: dict[str, object]) -> Checklist:
    return read_checklist(text(*points))


def told(statement: str = "", measured: dict[str, str] | None = None, **points: str) -> Answers:
    taken = {slug: Decimal(value) for slug, value in (measured or {}).items()}
    return Answers(statement=statement, points=points, measured=taken)


def code(found: Checklist, verdict: str, answers: Answers, *flawed: str) -> str:
    wrong = misfit(found, "detailed", verdict, answers, flawed)
    return wrong.code if wrong else ""


# The files


@pytest.mark.parametrize("slug", CLASSES)
def test_every_class_has_a_checklist_that_ends_with_its_label(slug: str) -> None:
    found = checklist_for(slug)
    assert found.class_slug == slug
    assert found.parts[-1].slug == "label"
    assert len(found.parts) > 1


@pytest.mark.parametrize("slug", CLASSES)
def test_every_kind_of_inspection_has_points_on_every_class(slug: str) -> None:
    found = checklist_for(slug)
    assert [kind for kind in KINDS if not for_kind(found, kind).points] == []


def test_no_line_claims_a_source_while_it_says_there_is_none() -> None:
    points = [point for slug in CLASSES for point in checklist_for(slug).points]
    unsourced = {point.source for point in points if point.status == "common practice, no source"}
    assert unsourced == {
        "Common practice",
        "Rule of thumb from climbing, 1 mm; the maker's own limit goes first",
    }


@pytest.mark.parametrize(
    ("wrong", "line"),
    [
        ({**POINT, "how": "sniff"}, "line 5: how: 'sniff' is none of"),
        ({**POINT, "grade": "C"}, "line 5: a defect of class C does not go with fail"),
        ({key: POINT[key] for key in POINT if key != "source"}, "line 5: source missing"),
        ({**POINT, "colour": "red"}, "line 5: colour not known here"),
        ({**POINT, "least": "6"}, "line 5: a limit needs its unit"),
        ({**POINT, "unit": "mm"}, "line 5: unit and must_for are for points that are measured"),
        ({**WIDTH, "least": 40}, "line 5: least must be a number in quotes"),
        ({**WIDTH, "most": "NaN"}, "line 5: most must be a number in quotes"),
        ({**POINT, "kinds": ["yearly"]}, "line 5: kinds must be a list of kinds"),
        ({**POINT, "status": "sure"}, "line 5: status: 'sure' is none of"),
        ({**POINT, "look": " "}, "line 5: look must be words in quotes"),
    ],
)
def test_the_wrong_line_is_named(wrong: dict[str, object], line: str) -> None:
    with pytest.raises(ChecklistError) as refused:
        read_checklist(text(wrong), "harness.json")
    assert str(refused.value).startswith(f"harness.json, {line}")


def test_the_second_point_is_on_the_second_line() -> None:
    with pytest.raises(ChecklistError, match="line 6: look must be words"):
        read_checklist(text(POINT, {**FUZZ, "look": 3}))


@pytest.mark.parametrize(
    ("file", "line"),
    [
        (text(POINT, POINT), "line 1: edge stands here twice"),
        (text(**{"class": "spoon"}), "line 1: 'spoon' is no class of equipment"),
        (text(number=0), "line 1: number must be a whole number from 1 on"),
        (text().replace('"name"', '"slug"'), "line 4: name missing"),
        (text().replace('"number": 1', '"number" 1'), "line 2: not JSON"),
        ("[]", "line 1: the file must hold one object"),
    ],
)
def test_a_file_that_is_wrong_as_a_whole_is_refused(file: str, line: str) -> None:
    with pytest.raises(ChecklistError, match=line):
        read_checklist(file)


def test_a_key_that_stands_twice_is_refused() -> None:
    twice = text().replace('"grade"', '"source": "Another", "grade"')
    with pytest.raises(ChecklistError, match="line 5: source \\(twice\\) not known"):
        read_checklist(twice)


def test_the_hash_follows_the_words_and_not_the_layout() -> None:
    spaced = json.dumps(json.loads(text()), indent=8)
    assert hash_of(read_checklist(spaced)) == hash_of(made())
    assert hash_of(made({**POINT, "accept": "whole and clean"})) != hash_of(made())


@pytest.mark.parametrize("slug", CLASSES)
def test_a_kept_version_reads_back_the_same(slug: str) -> None:
    found = checklist_for(slug)
    assert from_content(json.loads(json.dumps(content_of(found)))) == found


# Answers and verdicts


@pytest.mark.parametrize(
    ("verdict", "answers", "flawed", "expected"),
    [
        ("pass", told("all-good"), (), ""),
        ("pass", told(edge="ok", fuzz="ok", width="not-applicable"), (), ""),
        ("pass", told(edge="ok"), (), "unanswered"),
        ("pass", told("rest-good", fuzz="not-ok"), ("fuzz",), "not-a-plain-pass"),
        ("pass-with-conditions", told("rest-good", fuzz="not-ok"), ("fuzz",), ""),
        ("pass-with-conditions", told("rest-good", fuzz="not-ok"), (), "defect-unwritten"),
        ("pass-with-conditions", told("rest-good", edge="not-ok"), ("edge",), "point-takes-it-out"),
        ("fail", told(edge="not-ok"), (), ""),
        ("refer", told(), (), ""),
        ("pass", told("all-good", {"width": "39.9"}), (), "outside-limits"),
        ("pass", told("all-good", {"width": "40"}), (), ""),
        ("pass", told("all-good", {"width": "45"}), (), ""),
        ("pass", told("all-good", {"width": "45.1"}), (), "outside-limits"),
        ("fail", told("all-good", {"width": "39.9"}), (), ""),
    ],
)
def test_answers_and_verdict_must_fit_and_only_a_pass_is_held_up(
    verdict: str, answers: Answers, flawed: tuple[str, ...], expected: str
) -> None:
    assert code(made(POINT, WIDTH, FUZZ), verdict, answers, *flawed) == expected


def test_a_cut_of_a_millimetre_is_outside_and_less_is_not() -> None:
    edge = next(point for point in checklist_for("harness").points if point.slug == "edge-cut")
    assert [edge.is_within(Decimal(value)) for value in ("0.9", "1.0")] == [True, False]
    assert how_words(edge) == "Measure, under 1 mm"


def test_an_anchor_is_not_passed_at_its_installation_without_the_pull_test_or_the_word() -> None:
    found = checklist_for("anchor")
    good = told("all-good")
    assert [point.slug for point in must_measure(found, "installation")] == ["proof"]
    wrong = misfit(found, "installation", "pass", good, ())
    assert wrong
    assert misfit_sentence(wrong).startswith("Not measured: “Proof load held for 15 s")
    for answers in (told("all-good", {"proof": "6"}), told("all-good", proof="not-applicable")):
        assert misfit(found, "installation", "pass", answers, ()) is None
    assert misfit(found, "detailed", "pass", good, ()) is None


def test_a_look_at_the_seal_does_not_ask_for_the_rope() -> None:
    asked = {point.slug for point in for_kind(checklist_for("rescue-kit"), "kit-check").points}
    assert {"seal", "card"} <= asked
    assert "rope-long-enough" not in asked


# What is kept


def finding(item: Item, verdict: str = "pass", **more: object) -> Finding:
    given = {"kind": "detailed", "performed_at": NOON, "inspector": inspector().person, **more}
    given.setdefault("checklist", checklist_for(item.product.equipment_class))
    return Finding(verdict=verdict, **given)  # type: ignore[arg-type]


def test_all_good_is_kept_as_said_and_not_as_ticks(item: Item) -> None:
    kept = inspect(item, finding=finding(item, answers=told("all-good")), stamp=stamp())
    assert (kept.statement, kept.answers, kept.measured) == ("all-good", {}, {})
    assert kept.checklist.sha256 == hash_of(checklist_for("harness"))


def test_a_pass_of_which_nothing_was_said_is_refused(item: Item) -> None:
    with pytest.raises(Refusal, match="Nothing is said yet of"):
        inspect(item, finding=finding(item), stamp=stamp())
    assert not item.inspections.exists()


def test_the_point_of_a_defect_is_not_ok_without_a_second_tick(item: Item) -> None:
    cut = Flaw(grade="A", what="cut", point="edge-cut")
    failed = finding(item, "fail", flaws=[cut], answers=told("all-good"))
    kept = inspect(item, finding=failed, stamp=stamp())
    assert (kept.statement, kept.answers) == ("rest-good", {"edge-cut": "not-ok"})


def test_an_observation_at_a_point_leaves_the_point_good(item: Item) -> None:
    nick = Flaw(grade="C", what="nick of 0.5 mm", point="edge-cut")
    told_so = finding(item, "pass-with-conditions", flaws=[nick], answers=told("all-good"))
    kept = inspect(item, finding=told_so, stamp=stamp())
    assert (kept.statement, kept.answers) == ("rest-good", {})


def test_an_answer_to_a_point_that_the_list_does_not_have_is_refused(item: Item) -> None:
    with pytest.raises(Refusal, match="has changed since"):
        inspect(item, finding=finding(item, answers=told("all-good", tail="ok")), stamp=stamp())


def test_an_old_inspection_keeps_the_words_it_was_judged_by(
    item: Item, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(checklists, "CHECKLIST_FILES", tmp_path)
    file = tmp_path / "harness.json"
    file.write_text(text(POINT))
    kept = inspect(item, finding=finding(item, answers=told("all-good")), stamp=stamp())
    file.write_text(text({**POINT, "accept": "quite another word"}, number=2))
    again = inspect(item, finding=finding(item, answers=told("all-good")), stamp=stamp())
    words = [one.checklist.checklist.points[0].accept for one in (kept, again)]
    assert words == ["whole", "quite another word"]


def test_a_version_is_kept_once_however_often_it_is_used(site: object) -> None:
    for _ in range(3):
        one = ItemFactory(site=site)
        inspect(one, finding=finding(one, answers=told("all-good")), stamp=stamp())
    assert ChecklistVersion.objects.count() == 1


# The command


def said(capsys: pytest.CaptureFixture[str]) -> tuple[str, bool]:
    try:
        call_command("check_checklists")
    except SystemExit:
        return capsys.readouterr().out, False
    return capsys.readouterr().out, True


def test_the_files_of_the_house_are_sound(db: None, capsys: pytest.CaptureFixture[str]) -> None:
    words, sound = said(capsys)
    assert (words.startswith(f"{len(CLASSES)} checklists"), sound) == (True, True)


def test_the_command_names_what_is_wrong(
    db: None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for file in CHECKLIST_FILES.glob("*.json"):
        (tmp_path / file.name).write_text(file.read_text())
    harness = tmp_path / "harness.json"
    harness.write_text(harness.read_text().replace('"how": "look"', '"how": "guess"', 1))
    (tmp_path / "helmet.json").unlink()
    (tmp_path / "spoon.json").write_text("{}")
    (tmp_path / "rope.json").write_text((tmp_path / "sling.json").read_text())
    monkeypatch.setattr(checklists, "CHECKLIST_FILES", tmp_path)
    words, sound = said(capsys)
    assert not sound
    assert "harness.json, line 11: how: 'guess' is none of" in words
    assert "helmet.json: missing" in words
    assert "spoon.json: there is no such class" in words
    assert "rope.json, line 1: the file is of class 'sling'" in words


def test_changed_words_want_the_next_number(
    item: Item, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    inspect(item, finding=finding(item, answers=told("all-good")), stamp=stamp())
    for file in CHECKLIST_FILES.glob("*.json"):
        (tmp_path / file.name).write_text(file.read_text())
    harness = tmp_path / "harness.json"
    harness.write_text(harness.read_text().replace("supple all along", "supple"))
    monkeypatch.setattr(checklists, "CHECKLIST_FILES", tmp_path)
    assert "harness.json, line 1: version 1 was used before" in said(capsys)[0]
    harness.write_text(harness.read_text().replace('"number": 1', '"number": 2'))
    assert said(capsys)[1]


def test_points_are_told_by_their_look() -> None:
    wrong = misfit(checklist_for("helmet"), "detailed", "pass", told(), ())
    assert wrong
    sentence = misfit_sentence(wrong)
    assert "“Shell inside and out”" in sentence
    assert "more" in sentence


def test_a_point_without_a_limit_takes_any_figure() -> None:
    point = Point(**{**POINT, "how": "measure"})  # type: ignore[arg-type]
    assert point.is_within(Decimal(0))
