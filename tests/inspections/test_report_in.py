"""An inspection company's file, from upload to what it did and what came back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from io import BytesIO

import pytest
import xlsxwriter
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import translation

from inspections.intake.reports.columns import HEADINGS, REPORT
from inspections.models import Authorisation, Defect, Inspection, Intake, RememberedColumn
from register import clock
from register.actions.ledger import verify_ledger
from register.intake.blank import blank_workbook
from register.intake.columns import guess
from register.intake.reading import Cell, read
from register.models import Item, Person, Role, Site, User
from register.rules.conditions import Condition
from tests.factories import (
    DAY,
    NOON,
    ItemFactory,
    PersonFactory,
    ProductFactory,
    SiteFactory,
    kit_of,
    user_as,
)

HEADS = (
    "Serial no",
    "Our mark",
    "Model",
    "Date examined",
    "Result",
    "Defects",
    "Next due",
    "Examiner",
)
THEN = DAY - timedelta(days=3)


@pytest.fixture(autouse=True)
def noon_of_the_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "reading", lambda: NOON)


@pytest.fixture
def desk(client: Client, petra: User) -> Client:
    client.force_login(petra)
    return client


@pytest.fixture
def ewa(db: None) -> Person:
    """The examiner of another company, known and authorised for everything."""
    made: Person = PersonFactory(name="Ewa Lis", employer="Fen Examiners")
    Authorisation.objects.create(
        person=made, from_on=DAY - timedelta(days=90), through_on=DAY + timedelta(days=90)
    )
    return made


def line(serial: Cell, **said: Cell) -> tuple[Cell, ...]:
    names = ("serial", "mark", "model", "on", "result", "defects", "due", "by")
    plain = {"serial": serial, "on": THEN, "result": "Pass", "by": "Ewa Lis"}
    return tuple({**dict.fromkeys(names), **plain, **said}[name] for name in names)


def workbook(*lines: Sequence[Cell], heads: Sequence[str] = HEADS) -> bytes:
    target = BytesIO()
    with xlsxwriter.Workbook(target) as book:
        page, day = book.add_worksheet("Report"), book.add_format({"num_format": "dd/mm/yyyy"})
        for row, cells in enumerate([heads, *lines]):
            for column, cell in enumerate(cells):
                if isinstance(cell, str):
                    page.write_string(row, column, cell)
                elif isinstance(cell, date):
                    page.write_datetime(row, column, cell, day)  # type: ignore[arg-type]
                elif cell is not None:
                    page.write_number(row, column, cell)
    return target.getvalue()


def upload(client: Client, content: bytes, name: str = "report.xlsx") -> Intake:
    file = SimpleUploadedFile(name, content)
    sent = client.post(reverse("inspections:report-in"), {"file": file})
    assert sent.status_code == 302, sent.content.decode()
    return Intake.objects.latest("pk")


def at(page: str, intake: Intake) -> str:
    return reverse(f"inspections:report-in-{page}", args=[intake.pk])


def answer(client: Client, intake: Intake, **changes: str) -> HttpResponse:
    """Send the questions back as shown, with changes by the names of the questions."""
    form = client.get(at("file", intake), {"questions": 1}).context["form"]
    names = {question.name: f"q-{n}" for n, question in enumerate(form.asked)}
    sent = {}
    for name in form.fields:
        value = form[name].value()
        if value not in (None, False, ""):
            sent[name] = "on" if value is True else str(value)
    sent |= {names.get(key.replace("__", ":"), key): value for key, value in changes.items()}
    response: HttpResponse = client.post(at("file", intake), sent)
    return response


def looked_through(client: Client, content: bytes, **answers: str) -> Intake:
    intake = upload(client, content)
    sent = answer(client, intake, **{"kind": "detailed", **answers})
    if sent.status_code == 302 and Intake.objects.get(pk=intake.pk).state == "read":
        sent = answer(client, intake, **{"kind": "detailed", **answers})
    assert sent.status_code == 302, sent.content.decode()
    intake.refresh_from_db()
    return intake


def brought_in(client: Client, content: bytes, **answers: str) -> Intake:
    intake = looked_through(client, content, **answers)
    client.post(at("apply", intake))
    intake.refresh_from_db()
    assert intake.state == "done", intake.message
    return intake


def told(intake: Intake, name: str) -> list[str]:
    return [row[3] for row in intake.findings["lists"][name]]


def counts(intake: Intake) -> Mapping[str, int]:
    return {name: number for name, number in intake.counts.items() if number}


def test_of_a_file_with_three_serials_not_ours_and_one_eaten_the_rest_goes_in_and_four_are_listed(
    desk: Client, site: Site, ewa: Person
) -> None:
    items = [ItemFactory(site=site, serial=f"HT-{n:04}", serial_key=f"HT{n:04}") for n in range(4)]
    strange = [line(f"ZZ-{n}99") for n in range(3)]
    content = workbook(*(line(one.serial) for one in items), *strange, line(3e12))
    intake = looked_through(desk, content)
    assert counts(intake) == {"in": 4, "out": 4}
    assert not Inspection.objects.exists()
    assert "not in the register" in told(intake, "out")[0]
    assert "turned into the number 3000000000000" in told(intake, "out")[3]
    desk.post(at("apply", intake))
    assert Inspection.objects.filter(counts=True, verdict="pass", inspector=ewa).count() == 4
    left = desk.get(at("leftover", intake)).content
    lines = list(next(iter(read(left, "left.xlsx"))).rows())
    assert [row[0] for row in lines[1:]] == ["ZZ-099", "ZZ-199", "ZZ-299", 3e12]
    assert "Column A “Serial no”" in str(lines[1][-1])
    again = looked_through(desk, content)
    assert counts(again) == {"known": 4, "out": 4}


def test_a_fail_acts_on_acceptance_and_is_told_first_with_what_it_puts_out(
    desk: Client, site: Site, ewa: Person
) -> None:
    kit = kit_of(site, "descender", name="RK-07")
    part = kit.parts.get().item
    assert part is not None
    content = workbook(line(part.serial, result="FAIL", defects="Cam worn through"))
    intake = looked_through(desk, content)
    page = desk.get(at("file", intake)).content.decode()
    assert "Put out of use: 1" in page
    assert "Cam worn through." in page
    assert "The kit RK-07 is out with it." in page
    part.refresh_from_db()
    assert part.condition == Condition.IN_SERVICE
    desk.post(at("apply", intake))
    part.refresh_from_db()
    assert part.condition == Condition.WITHDRAWN
    assert Defect.objects.get().grade == "A"
    assert not verify_ledger().misfits


def test_bad_news_needs_no_examiner_and_no_day_but_surely_the_item(
    desk: Client, site: Site
) -> None:
    one, two, three = (ItemFactory(site=site) for _ in range(3))
    content = workbook(
        line(one.serial, result="Reject", by="Somebody Else"),
        line(two.serial, result="Reject", on=None),
        line(three.serial, result="Reject", on=DAY + timedelta(days=9)),
        line("NO-SUCH", result="Reject"),
    )
    intake = brought_in(desk, content)
    assert counts(intake) == {"unsure": 1, "fails": 1, "holds": 2}
    for item in (one, two, three):
        item.refresh_from_db()
        assert item.condition == Condition.QUARANTINED
        assert item.quarantine_reason == "failed-inspection"
    assert Inspection.objects.get().inspector_text == "Somebody Else"
    assert "nothing is stopped" in told(intake, "unsure")[0]
    assert intake.leftover is not None


def test_a_pass_of_nobody_we_know_or_nobody_authorised_stays_out(
    desk: Client, site: Site, ewa: Person
) -> None:
    Authorisation.objects.update(classes=["rope"])
    item = ItemFactory(site=site)
    intake = looked_through(desk, workbook(line(item.serial), line(item.serial, by="Jan Kos")))
    assert counts(intake) == {"out": 1, "twice": 1}
    stranger = looked_through(desk, workbook(line(item.serial, by="Jan Kos")))
    nobody = looked_through(desk, workbook(line(item.serial, by=None)))
    assert "not authorised for harness" in told(intake, "out")[0]
    assert "is nobody in the register" in told(stranger, "out")[0]
    assert "Nobody is named" in told(nobody, "out")[0]
    assert (intake.counts["in"], stranger.counts["in"], nobody.counts["in"]) == (0, 0, 0)


def test_an_examiner_who_works_for_another_company_than_the_line_says_proves_nothing(
    desk: Client, site: Site, ewa: Person
) -> None:
    item = ItemFactory(site=site)
    content = workbook((*line(item.serial), "Moss & Sons"), heads=(*HEADS, "Company"))
    intake = looked_through(desk, content)
    assert "works for Moss & Sons; the register says Fen Examiners" in told(intake, "out")[0]


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"on": DAY + timedelta(days=1)}, "is in the future"),
        ({"on": date(2024, 12, 24)}, "it cannot have been inspected on"),
        ({"on": None}, "There is no day of the inspection"),
        ({"on": "Mar 2026"}, "is no whole day"),
        ({"result": "see note"}, "may mean good or bad"),
        ({"result": None}, "There is no verdict"),
        ({"due": THEN - timedelta(days=1)}, "before this one was made"),
        ({"mark": "X"}, ""),
    ],
)
def test_what_is_wrong_with_a_line_is_told(
    said: dict[str, Cell], sentence: str, desk: Client, site: Site, ewa: Person
) -> None:
    item = ItemFactory(site=site)
    intake = looked_through(desk, workbook(line(item.serial, **said)))
    if not sentence:
        assert counts(intake) == {"in": 1}
        return
    assert counts(intake) == {"out": 1}
    assert sentence in told(intake, "out")[0]


def test_a_day_that_can_be_two_is_asked_about_once_for_the_file(
    desk: Client, site: Site, ewa: Person
) -> None:
    item = ItemFactory(site=site)
    intake = upload(desk, workbook(line(item.serial, on="02/03/2026")))
    refused = answer(desk, intake, kind="detailed")
    assert "which day is it?" in refused.content.decode()
    answer(desk, intake, kind="detailed", date_order="day-first")
    desk.post(at("apply", intake))
    assert Inspection.objects.get().performed_on == date(2026, 3, 2)


def test_a_word_nobody_knows_is_asked_about_and_remembered(
    desk: Client, site: Site, ewa: Person
) -> None:
    item = ItemFactory(site=site)
    content = workbook(line(item.serial, result="Wunderbar"))
    assert counts(looked_through(desk, content)) == {"out": 1}
    assert counts(looked_through(desk, content, verdict__wunderbar="pass")) == {"in": 1}
    assert RememberedColumn.objects.get(kind="report-verdict").field == "pass"
    assert counts(looked_through(desk, content)) == {"in": 1}


def test_of_two_lines_that_disagree_about_one_item_the_worse_acts(
    desk: Client, site: Site, ewa: Person
) -> None:
    item = ItemFactory(site=site)
    intake = brought_in(desk, workbook(line(item.serial), line(item.serial, result="Fail")))
    assert counts(intake) == {"fails": 1, "out": 1}
    item.refresh_from_db()
    assert item.condition == Condition.WITHDRAWN


def test_a_pass_against_a_fail_on_record_of_that_day_stays_out(
    desk: Client, site: Site, ewa: Person
) -> None:
    item = ItemFactory(site=site)
    brought_in(desk, workbook(line(item.serial, result="Refer")))
    intake = looked_through(desk, workbook(line(item.serial)))
    assert "on record with another verdict" in told(intake, "out")[0]


def test_a_shorter_date_of_the_examiners_stands_and_particulars_are_kept(
    desk: Client, site: Site, ewa: Person
) -> None:
    sling = ItemFactory(site=site, product=ProductFactory(equipment_class="rescue-loop"))
    heads = (*HEADS, "Inspection type", "SWL", "Certificate no", "Reason for examination")
    more = ("LOLER thorough examination", "140 kg", "C-77", "within six months")
    soon = DAY + timedelta(days=30)
    brought_in(desk, workbook((*line(sling.serial, due=soon), *more), heads=heads))
    kept = Inspection.objects.get()
    assert (kept.kind, kept.good_until_on, kept.source) == ("thorough-examination", soon, "report")
    assert kept.particulars == {"safe-working-load": "140 kg", "occasion": "within six months"}
    assert kept.note == "C-77"
    assert kept.document is not None
    page = desk.get(reverse("inspections:inspection-detail", args=[kept.pk])).content.decode()
    assert "within six months" in page


def test_a_file_is_taken_back_but_what_it_put_out_stays_out(
    desk: Client, site: Site, ewa: Person
) -> None:
    good, bad = ItemFactory(site=site), ItemFactory(site=site)
    intake = brought_in(desk, workbook(line(good.serial), line(bad.serial, result="Fail")))
    assert good.due.last_good_on is not None if hasattr(good, "due") else True
    desk.post(at("undo", intake))
    intake.refresh_from_db()
    assert intake.state == "undone"
    assert intake.findings["undone"]["number"] == 1
    assert "1 finding that put an item out stays" in intake.findings["undone"]["stays"][0]
    standing = Inspection.objects.standing()
    assert standing.get(item=good).verdict == "not-presented"
    bad.refresh_from_db()
    assert bad.condition == Condition.WITHDRAWN
    assert not verify_ledger().misfits
    assert counts(looked_through(desk, workbook(line(good.serial)))) == {"in": 1}


def test_items_at_another_site_are_not_there(client: Client, site: Site, ewa: Person) -> None:
    client.force_login(user_as(Role.STORES, site))
    there = ItemFactory(site=SiteFactory())
    intake = looked_through(client, workbook(line(there.serial, result="Fail")))
    assert counts(intake) == {"unsure": 1}
    assert there.code not in client.get(at("file", intake)).content.decode()


def test_a_csv_in_polish_is_read_and_what_it_was_read_as_is_told(
    desk: Client, site: Site, ewa: Person
) -> None:
    item = ItemFactory(site=site, serial="ŻK-981", serial_key="ŻK981")
    text = (
        "Nr seryjny;Data badania;Wynik;Kontroler\r\nŻK-981;6 marca 2026 r.;dopuszczony;Ewa Lis\r\n"
    )
    intake = upload(desk, text.encode(), "raport.csv")
    assert "Read as utf-8-sig, columns between “;”" in desk.get(at("file", intake)).content.decode()
    answer(desk, intake, kind="detailed")
    intake.refresh_from_db()
    desk.post(at("apply", intake))
    assert Inspection.objects.get(item=item).performed_on == date(2026, 3, 6)


def test_one_line_that_cannot_be_saved_hurts_no_other(
    desk: Client, site: Site, ewa: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    one, two = ItemFactory(site=site), ItemFactory(site=site)
    intake = looked_through(desk, workbook(line(one.serial), line(two.serial)))
    Item.objects.filter(pk=one.pk).update(condition=Condition.DESTROYED)
    desk.post(at("apply", intake))
    intake.refresh_from_db()
    assert counts(intake) == {"in": 1, "out": 1}
    assert "was destroyed" in told(intake, "out")[0]


@pytest.mark.parametrize("language", ["en", "pl"])
def test_the_empty_workbook_maps_by_itself(language: str) -> None:
    with translation.override(language):
        content = blank_workbook([(str(_named(slug)), "x") for slug in HEADINGS])
    found = guess(
        list(read(content, "blank.xlsx").open_sheet(_first(content)).rows()), None, REPORT
    )
    assert list(found.mapping.values()) == list(HEADINGS)


def _named(slug: str) -> str:
    return translation.gettext(REPORT.fields[slug].name)


def _first(content: bytes) -> str:
    return read(content, "blank.xlsx").names[0]
