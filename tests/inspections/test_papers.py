"""The papers of equipment: whole by the law they follow, the same as their pages, true until they are not."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

import pytest
from django.core.cache import cache
from django.test import Client, RequestFactory
from django.utils import translation

from inspections.actions.finding import Finding, Flaw
from inspections.actions.inspecting import correct_inspection, inspect
from inspections.actions.reporting import make_report
from inspections.actions.round_ends import sign_round
from inspections.actions.rounds import Plan, begin_round, look_in_round
from inspections.documents import kinds as kinds_of
from inspections.documents.examination import said_of_clause
from inspections.documents.kinds import (
    BLANK,
    EXAMINATION,
    INSPECTION,
    RECORD,
    ROUND,
    WITHDRAWAL,
    report_kind,
)
from inspections.documents.rounds import counts_of
from inspections.models import Inspection, Report, Round
from inspections.particulars import latest_next, said_of
from inspections.report_board import report_begun
from inspections.round_board import lines_of, tally_of
from inspections.rules.reports import LOLER_1, OCCASIONS, WAHR_7
from register import clock
from register.actions.conditions import quarantine, withdraw
from register.actions.custody import hand_out
from register.actions.marking import replace_tag
from register.actions.papers import name_employer
from register.documents.checking import check_paper
from register.documents.content import Statement, Table
from register.documents.issuing import issue, missing_for
from register.documents.kinds import Kind, kinds
from register.models import Item, Paper, PaperSubject, Person, Site, User
from register.refusal import Refusal
from register.rules.conditions import Condition
from register.views.paper_pages import paper_page
from tests.factories import (
    DAY,
    NOON,
    ItemFactory,
    PersonFactory,
    ProductFactory,
    passed,
    stamp,
)
from tests.register.reading_papers import pages_of, squeezed, text_of_page, unsaid

pytestmark = pytest.mark.django_db

# SI 1998/2307, Schedule 1: its paragraphs and sub-paragraphs, each on its own.
SCHEDULE_1 = (
    *("1", "2", "3", "4", "5", "6(a)", "6(b)", "7(a)(i)", "7(a)(ii)", "7(a)(iii)", "7(a)(iv)"),
    *("7(b)", "8(a)", "8(b)", "8(c)(i)", "8(c)(ii)", "8(d)", "8(e)", "8(f)", "9", "10", "11"),
)
LONG = (
    "Przetarcie taśmy nośnej przy klamrze lewej, długości 40 mm, nici przecięte w trzech miejscach"
)
TOLD: dict[str, Any] = {
    "occasion": "six-months",
    "safe_load": "rated to 140 kg",
    "author_address": "3 Wold Yard",
    "qualifications": "Examiner's course 2024",
    "author_employer": "Aldermoor Works, 1 Quay",
    "position": "Examiner",
}


@pytest.fixture(autouse=True)
def held_clock(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "reading", lambda: NOON)
    cache.clear()


@pytest.fixture(autouse=True)
def employer(site: Site) -> None:
    Site.objects.filter(pk=site.pk).update(address="Quay Road 1")
    site.refresh_from_db()
    name_employer(name="Aldermoor Works", address="1 Quay", paper_size="a4", stamp=stamp())


@pytest.fixture
def device(site: Site) -> Item:
    """A rescue device, in service and examined half a year ago."""
    made: Item = ItemFactory(site=site, product=ProductFactory(equipment_class="descender"))
    passed(made, DAY - timedelta(days=170), "thorough-examination", covers_periodic=True)
    return made


def found(huw: User, kind: str, verdict: str, *flaws: Flaw, **facts: Any) -> Finding:
    return Finding(
        kind=kind, verdict=verdict, performed_at=NOON, inspector=huw.person, flaws=flaws, **facts
    )


def examined(
    huw: User, item: Item, verdict: str = "pass", *flaws: Flaw, **facts: Any
) -> Inspection:
    told = found(huw, facts.pop("kind", "thorough-examination"), verdict, *flaws, **facts)
    return inspect(item, finding=told, stamp=stamp(huw))


def reported(huw: User, one: Inspection, days: int = 2, **said: Any) -> Inspection:
    """With its report, made some days after it."""
    remedies = {str(flaw.pk): "Renew the strap" for flaw in one.defects.all()}
    told = {**report_begun(one, huw), **TOLD, "remedies": remedies, **said}
    make_report(one, told=told, stamp=stamp(huw, NOON + timedelta(days=days)))
    return one


A_CUT = Flaw(grade="A", what=LONG, place="lewa taśma", action="taken out of use")
B_WEAR = Flaw(grade="B", what="wear at the bow", danger_by_on=DAY + timedelta(days=60))
C_PAINT = Flaw(grade="C", what="paint spots")


def table_of(kind: Kind, one: Inspection) -> dict[str, str]:
    (table,) = [b for b in kind.content(one, NOON).blocks if isinstance(b, Table)]
    return {row.cells[0]: row.cells[2] for row in table.rows}


# The report of a thorough examination


def test_every_particular_of_schedule_1_is_reported_in_its_order(huw: User, device: Item) -> None:
    one = reported(huw, examined(huw, device))
    assert tuple(clause.number for clause in LOLER_1) == SCHEDULE_1
    said = table_of(EXAMINATION, one)
    assert tuple(said) == SCHEDULE_1
    assert all(said.values())
    assert "not said yet" not in said.values()


def test_what_is_blank_is_told_as_none_or_not_applicable(huw: User, device: Item) -> None:
    said = table_of(EXAMINATION, reported(huw, examined(huw, device)))
    assert said["8(a)"] == said["8(e)"] == "none"
    blank = ("6(b)", "8(b)", "8(c)(i)", "8(c)(ii)")
    assert {said[number] for number in blank} == {"not applicable"}
    assert said["10"].startswith("not applicable: authenticated by its author")


def test_the_day_of_the_examination_and_the_day_of_the_report_stand_apart(
    huw: User, device: Item
) -> None:
    said = table_of(EXAMINATION, reported(huw, examined(huw, device), days=2))
    assert (said["8(f)"], said["11"]) == ("9 Mar 2026", "11 Mar 2026")


@pytest.mark.parametrize("occasion", OCCASIONS)
def test_one_reason_for_the_examination_is_yes_and_no_other(
    huw: User, device: Item, occasion: str
) -> None:
    one = reported(huw, examined(huw, device), occasion=occasion, installed_well=True)
    said = table_of(EXAMINATION, one)
    asked = ("6(a)", "7(a)(i)", "7(a)(ii)", "7(a)(iii)", "7(a)(iv)")
    assert [said[number] for number in asked].count("yes") == 1
    safe = said["6(b)" if occasion == "first" else "7(b)"]
    assert "safe to operate" in safe


def test_a_danger_now_stands_on_the_front_and_its_remedy_under_8b(huw: User, device: Item) -> None:
    one = reported(huw, examined(huw, device, "fail", A_CUT, B_WEAR), imminent=True)
    content = EXAMINATION.content(one, NOON)
    front = content.blocks[0]
    assert isinstance(front, Statement)
    assert front.forbids
    assert any(LONG in line for line in front.lines)
    said = table_of(EXAMINATION, one)
    assert "Renew the strap" in said["8(b)"]
    assert "8 May 2026" in said["8(c)(i)"]
    assert "not to be used" in said["8(d)"]
    assert any("enforcing authority" in text for text in content.texts())


def test_the_next_one_is_never_later_than_regime_inspector_or_defect_leave(
    huw: User, device: Item
) -> None:
    """LOLER 1998 reg 9(3)(a)(i): lifting equipment for persons, at least every 6 months."""
    one = examined(huw, device, "pass-with-conditions", B_WEAR, note="see defect")
    latest = latest_next(one)
    assert latest == B_WEAR.danger_by_on
    plain = examined(huw, device)
    assert latest_next(plain) == date(2026, 9, 9)
    with pytest.raises(Refusal) as refused:
        reported(huw, plain, next_on=date(2026, 9, 10))
    assert "later than" in refused.value.sentence


@pytest.mark.parametrize(
    ("lacks", "named"),
    [
        ({"safe_load": ""}, "safe working load"),
        ({"occasion": ""}, "first examination after installation"),
        ({"occasion": "first"}, "installed correctly"),
        ({"remedies": {}}, "repair, renewal or alteration"),
        ({"qualifications": ""}, "qualifications"),
        ({"author_employer": ""}, "self-employed"),
        ({"author_address": ""}, "address of its author"),
        ({"employer_address": ""}, "address of the employer"),
        ({"premises": ""}, "premises"),
    ],
)
def test_a_report_is_refused_with_the_particular_that_is_missing(
    huw: User, device: Item, lacks: dict[str, Any], named: str
) -> None:
    one = examined(huw, device, "fail", A_CUT)
    with pytest.raises(Refusal) as refused:
        reported(huw, one, **lacks)
    assert named in refused.value.sentence
    assert missing_for(EXAMINATION, one, NOON) == [
        "Its author has not made the report yet: who examined it signs in and chooses ‘Make the"
        " report’."
    ]


def test_a_pass_without_an_interval_needs_its_next_day_said(huw: User, item: Item) -> None:
    one = examined(huw, item)  # a harness lifts nobody: no scheme gives an interval
    assert latest_next(one) is None
    with pytest.raises(Refusal, match="latest date"):
        reported(huw, one, next_on=None)


def test_only_who_examined_makes_the_report(huw: User, petra: User, device: Item) -> None:
    one = examined(huw, device)
    with pytest.raises(Refusal, match="Only"):
        make_report(one, told=report_begun(one, petra) | TOLD, stamp=stamp(petra))


def test_a_corrected_record_is_reported_by_its_correction(huw: User, device: Item) -> None:
    one = reported(huw, examined(huw, device))
    paper = issue(EXAMINATION, one, stamp=stamp(), language="en-gb").paper
    told = found(huw, "thorough-examination", "fail", A_CUT)
    correct_inspection(one, finding=told, reason="wrong item", stamp=stamp(huw))
    one = Inspection.objects.get(pk=one.pk)
    with pytest.raises(Refusal, match="corrected"):
        reported(huw, one)
    assert "the record was corrected" in check_paper(paper, NOON).changed


def test_who_was_not_authorised_reports_no_thorough_examination(petra: User, device: Item) -> None:
    told = found(petra, "thorough-examination", "pass")
    one = inspect(device, finding=told, stamp=stamp(petra))
    with pytest.raises(Refusal, match="authorised"):
        reported(petra, one)


def test_a_clause_not_said_yet_is_told_so_on_the_page(huw: User, device: Item) -> None:
    one = examined(huw, device)
    assert said_of_clause("5", one, Report(inspection=one)) == "not said yet"


# The inspection report


def test_every_particular_of_schedule_7_is_reported(huw: User, item: Item) -> None:
    """SI 2005/735, Schedule 7: eight particulars, the fourth with the time of day."""
    one = reported(huw, examined(huw, item, "fail", A_CUT, C_PAINT, kind="detailed"))
    assert tuple(clause.number for clause in WAHR_7) == tuple("12345678")
    said = table_of(INSPECTION, one)
    assert tuple(said) == tuple("12345678")
    assert said["4"] == "9 Mar 2026, 12:00 (Europe/London)"
    assert LONG in said["5"]
    assert "taken out of use" in said["6"]
    assert "Renew the strap" in said["7"]
    assert said["8"].endswith("Examiner")
    assert report_kind(one) is INSPECTION


# The certificate of a round


def gone_round(huw: User, site: Site, passes: int, fails: int, missed: int) -> Round:
    items = [ItemFactory(site=site) for _ in range(passes + fails + missed)]
    plan = Plan(site=site, kind="detailed", id=uuid.uuid4())
    going = begin_round(plan, inspector=huw.person, items=items, stamp=stamp(huw))
    for number, item in enumerate(items[: passes + fails]):
        bad = number >= passes
        told = found(huw, "detailed", "fail", A_CUT) if bad else found(huw, "detailed", "pass")
        look_in_round(going, item, finding=told, stamp=stamp(huw))
    return going


def signed(huw: User, going: Round) -> Round:
    sign_round(going, stated=True, note="", stamp=stamp(huw))
    return Round.objects.select_related("site", "inspector", "signed_by__person").get(pk=going.pk)


def test_a_certificate_reconciles_with_the_list_and_tells_what_failed_first(
    huw: User, site: Site
) -> None:
    going = signed(huw, gone_round(huw, site, 3, 1, 2))
    content = ROUND.content(going, NOON)
    assert content.about.endswith("6 on the list = 3 passed + 1 out of use + 2 not presented")
    seen, missed = [block for block in content.blocks if isinstance(block, Table)]
    assert [row.strong for row in seen.rows] == [True, False, False, False]
    assert LONG in seen.rows[0].under
    assert [row.cells[4] for row in seen.rows] == ["do not use", *["9 Sep 2026"] * 3]
    assert len(missed.rows) == 2


def test_a_round_that_is_not_signed_certifies_nothing(huw: User, site: Site) -> None:
    going = gone_round(huw, site, 1, 0, 0)
    with pytest.raises(Refusal, match="not signed"):
        issue(ROUND, going, stamp=stamp(), language="en-gb")


def test_the_counts_of_the_paper_are_those_of_the_round(huw: User, site: Site) -> None:
    lines = lines_of(signed(huw, gone_round(huw, site, 2, 1, 1)))
    paper, page = counts_of(lines), tally_of(lines)
    assert paper.listed == page.listed
    assert paper.of_listed["not-presented"] == page.not_presented
    assert paper.of_listed["out"] == page.out


# What hangs on an item


def test_what_may_be_used_gets_no_notice(device: Item) -> None:
    with pytest.raises(Refusal, match="may be used"):
        issue(WITHDRAWAL, device, stamp=stamp(), language="en-gb")


@pytest.mark.parametrize("language", ["en-gb", "pl"])
def test_a_label_tells_all_on_one_and_its_receipt_on_the_next(
    petra: User, device: Item, language: str
) -> None:
    quarantine(device, reason="damage-found", stamp=stamp(petra))
    device = Item.objects.with_product().get(pk=device.pk)
    made = issue(WITHDRAWAL, device, stamp=stamp(), language=language, size="label")
    first, second = pages_of(made.file)  # a label each
    assert {"en-gb": "DO NOT USE", "pl": "NIE UŻYWAĆ"}[language] in first
    with translation.override(language):
        content = WITHDRAWAL.content(device, NOON)
    pairs = content.blocks[1].texts
    assert [text for text in pairs if squeezed(text) not in squeezed(first)] == []
    assert squeezed(content.blocks[2].texts[0]) in squeezed(second)


def test_a_notice_names_who_stopped_it_and_the_open_page_does_not(
    petra: User, device: Item, client: Client
) -> None:
    quarantine(device, reason="damage-found", stamp=stamp(petra))
    device = Item.objects.with_product().get(pk=device.pk)
    made = issue(WITHDRAWAL, device, stamp=stamp(), language="en-gb")
    assert petra.person.name in "".join(pages_of(made.file))
    assert petra.person.name not in client.get(made.paper.get_absolute_url()).content.decode()


def test_a_notice_written_by_hand_gets_its_number_entered_once(
    petra: User, item: Item, device: Item, site: Site, client: Client
) -> None:
    blank = issue(BLANK, site, stamp=stamp(), language="en-gb").paper
    client.force_login(petra)
    told = {"reason": "damage-found", "note": "", "notice": str(blank).lower()}
    client.post(f"/items/{device.code}/quarantine/", told)
    hangs = PaperSubject.objects.filter(paper=blank, thing_kind="item")
    assert [one.thing_id for one in hangs] == [str(device.pk)]
    client.post(f"/items/{item.code}/quarantine/", told)
    assert hangs.count() == 1
    item.refresh_from_db()
    assert item.condition == Condition.QUARANTINED  # bad news waits for no number
    page = client.get(f"/items/{item.code}/").content.decode()
    assert "number not found" in page
    assert str(blank) in client.get(f"/items/{device.code}/").content.decode()


# All of them


@dataclass
class World:
    papers: list[tuple[Kind, Any]]


@pytest.fixture
def world(huw: User, petra: User, site: Site, device: Item, item: Item) -> World:
    """One subject of every kind of paper, with long Polish words in it."""
    one = reported(huw, examined(huw, device, "fail", A_CUT, B_WEAR, C_PAINT), tests=LONG)
    look = reported(huw, examined(huw, item, kind="detailed", note=LONG), further=LONG)
    told = found(huw, "detailed", "pass")
    correct_inspection(look, finding=told, reason=LONG, stamp=stamp(huw))
    again = reported(huw, Inspection.objects.get(supersedes=look))
    going = signed(huw, gone_round(huw, site, 2, 1, 1))
    device = Item.objects.with_product().get(pk=device.pk)
    return World(
        [
            (RECORD, Item.objects.with_product().get(pk=item.pk)),
            (EXAMINATION, Inspection.objects.get(pk=one.pk)),
            (INSPECTION, again),
            (ROUND, going),
            (WITHDRAWAL, device),
            (BLANK, site),
        ]
    )


def test_every_kind_of_paper_says_the_same_as_pdf_and_as_page_and_names_nobody_openly(
    world: World, oyelaran: User, client: Client
) -> None:
    of_its_module = {one.slug for one in vars(kinds_of).values() if isinstance(one, Kind)}
    assert {kind.slug for kind, _subject in world.papers} == of_its_module
    assert of_its_module <= set(kinds())
    names = list(Person.objects.values_list("name", flat=True))
    for kind, subject in world.papers:
        for language in ("en-gb", "pl"):
            made = issue(kind, subject, stamp=stamp(), language=language)
            with translation.override(language):
                content = kind.content(subject, NOON)
                request = RequestFactory().get("/")
                request.user = oyelaran
                page = paper_page(request, kind.slug, subject, {"url": "/", "words": "x"})
                assert unsaid(content, text_of_page(page.content.decode())) == []
            assert unsaid(content, squeezed("\n".join(pages_of(made.file)))) == [], kind.slug
        assert check_paper(made.paper, NOON).standing == "true", kind.slug
        shown = client.get(made.paper.get_absolute_url()).content.decode()
        assert [name for name in names if name in shown] == []


def _quarantined(item: Item, petra: User, _huw: User) -> None:
    quarantine(item, reason="damage-found", stamp=stamp(petra))


def _withdrawn(item: Item, petra: User, _huw: User) -> None:
    withdraw(item, ground="policy", note="", stamp=stamp(petra))


def _issued(item: Item, petra: User, _huw: User) -> None:
    to: Person = PersonFactory(home_site=item.site)
    hand_out(item, to=to, due_back_on=None, stamp=stamp(petra))


def _retagged(item: Item, petra: User, _huw: User) -> None:
    replace_tag(item, because="worn", identity_proof="serial read", stamp=stamp(petra))


def _inspected(item: Item, _petra: User, huw: User) -> None:
    examined(huw, item, kind="detailed")


def _corrected(item: Item, _petra: User, huw: User) -> None:
    wrong = item.inspections.get()
    told = found(huw, "detailed", "fail", A_CUT)
    correct_inspection(wrong, finding=told, reason="wrong item", stamp=stamp(huw))


def _aged(item: Item, _petra: User, _huw: User) -> None:
    """Nothing happens, and its date passes."""


ACTS: list[tuple[Callable[[Item, User, User], None], timedelta, str]] = [
    (_quarantined, timedelta(0), "whether it may be used, or until when"),
    (_withdrawn, timedelta(0), "whether it may be used, or until when"),
    (_issued, timedelta(0), "where it is or who has it"),
    (_retagged, timedelta(0), "its tags"),
    (_inspected, timedelta(0), "its inspections"),
    (_corrected, timedelta(0), "its inspections"),
    (_aged, timedelta(days=400), "whether it may be used, or until when"),
]


@pytest.mark.parametrize(
    ("act", "later", "named"), ACTS, ids=lambda each: getattr(each, "__name__", "")
)
def test_what_happens_to_an_item_makes_its_record_on_paper_untrue_and_names_what(
    site: Site,
    petra: User,
    huw: User,
    act: Callable[[Item, User, User], None],
    later: timedelta,
    named: str,
) -> None:
    made: Item = ItemFactory(site=site)
    passed(made, DAY - timedelta(days=20))
    item = Item.objects.with_product().get(pk=made.pk)
    paper = issue(RECORD, item, stamp=stamp(), language="en-gb").paper
    assert check_paper(paper, NOON).standing == "true"
    act(item, petra, huw)
    now: datetime = NOON + later
    assert named in check_paper(paper, now).changed


def test_a_record_on_paper_is_still_true_on_the_day_after(device: Item) -> None:
    item = Item.objects.with_product().get(pk=device.pk)
    paper = issue(RECORD, item, stamp=stamp(), language="pl").paper
    assert check_paper(paper, NOON + timedelta(days=1)).standing == "true"


def test_what_the_report_says_stands_among_what_is_asked_of_the_record(
    huw: User, device: Item
) -> None:
    one = reported(huw, examined(huw, device), tests="loaded to 200 kg")
    said = {each.name: each.value for each in said_of(one)}
    assert said["Particulars of any test"] == "loaded to 200 kg"
    assert (
        said["Name and address of the employer for whom it was made"] == "Aldermoor Works, 1 Quay"
    )
    assert said["Date of the report"] == "11 Mar 2026"


def test_a_pass_on_paper_is_untrue_once_the_item_is_out(
    huw: User, petra: User, device: Item
) -> None:
    one = reported(huw, examined(huw, device))
    paper = issue(EXAMINATION, one, stamp=stamp(), language="en-gb").paper
    quarantine(device, reason="dropped", stamp=stamp(petra))
    assert check_paper(paper, NOON).changed == ("the condition of the item since",)


def test_a_certificate_is_untrue_once_one_of_its_items_is_out(
    huw: User, petra: User, site: Site
) -> None:
    going = signed(huw, gone_round(huw, site, 2, 0, 0))
    paper = issue(ROUND, going, stamp=stamp(), language="en-gb").paper
    item = Item.objects.filter(round_lines__round=going).first()
    assert item
    quarantine(item, reason="dropped", stamp=stamp(petra))
    assert check_paper(paper, NOON).changed == ("whether an item may be used, or until when",)


def test_the_examiner_makes_the_report_on_its_page_and_issues_it(
    huw: User, device: Item, client: Client
) -> None:
    one = examined(huw, device, "fail", A_CUT)
    client.force_login(huw)
    address = f"/inspections/{one.pk}/report/"
    assert "has not made the report yet" in client.get(address).content.decode()
    flaw = one.defects.get()
    begun = {name: value for name, value in report_begun(one, huw).items() if value}
    told = {**begun, **TOLD, f"remedy_{flaw.pk}": "Scrap it"}
    empty = client.post(f"{address}make/", {**told, f"remedy_{flaw.pk}": ""})
    assert empty.status_code == 422
    assert client.post(f"{address}make/", told).status_code == 302
    answer = client.post(address, {"language": "en-gb", "size": "letter"})
    assert answer["Content-Type"] == "application/pdf"
    assert Paper.objects.get().kind == EXAMINATION.slug
