"""A training matrix, from upload to who is trained for what."""

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

from inspections.models import Intake, RememberedColumn
from readiness.intake.people import Known, Who, found, people_of
from readiness.intake.training.columns import HEADINGS, TRAINING
from readiness.intake.training.words import cell_says, heading_of, meaning_of
from readiness.models import Competence
from register import clock
from register.actions.erasing import erase_person
from register.actions.ledger import verify_ledger
from register.intake.blank import blank_workbook
from register.intake.columns import guess
from register.intake.reading import Cell, read
from register.models import Person, Role, Site, User
from tests.factories import DAY, NOON, PersonFactory, stamp, user_as

SOON, LATER, PAST = DAY + timedelta(days=40), DAY + timedelta(days=400), DAY - timedelta(days=40)


@pytest.fixture(autouse=True)
def noon_of_the_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "reading", lambda: NOON)


@pytest.fixture
def desk(client: Client, oyelaran: User, site: Site) -> Client:
    client.force_login(oyelaran)
    return client


def workbook(*lines: Sequence[Cell]) -> bytes:
    target = BytesIO()
    with xlsxwriter.Workbook(target) as book:
        page, day = book.add_worksheet("Matrix"), book.add_format({"num_format": "dd/mm/yyyy"})
        for row, cells in enumerate(lines):
            for column, cell in enumerate(cells):
                if isinstance(cell, str):
                    page.write_string(row, column, cell)
                elif isinstance(cell, date):
                    page.write_datetime(row, column, cell, day)  # type: ignore[arg-type]
                elif cell is not None:
                    page.write_number(row, column, cell)
    return target.getvalue()


def at(page: str, intake: Intake) -> str:
    return reverse(f"readiness:training-in-{page}", args=[intake.pk])


def answer(client: Client, intake: Intake, answers: Mapping[str, str]) -> HttpResponse:
    form = client.get(at("file", intake), {"questions": 1}).context["form"]
    names = {question.name: f"q-{n}" for n, question in enumerate(form.asked)}
    sent = {}
    for name in form.fields:
        value = form[name].value()
        if value not in (None, False, ""):
            sent[name] = "on" if value is True else str(value)
    sent |= {names[key]: value for key, value in answers.items() if key in names}
    response: HttpResponse = client.post(at("file", intake), sent)
    return response


def looked_through(client: Client, content: bytes, **answers: str) -> Intake:
    client.post(reverse("readiness:training-in"), {"file": SimpleUploadedFile("m.xlsx", content)})
    intake = Intake.objects.latest("pk")
    told = {key.replace("__", ":").replace("_0_", " "): value for key, value in answers.items()}
    for _round in range(3):
        sent = answer(client, intake, told)
        assert sent.status_code == 302, sent.context["form"].errors
        intake.refresh_from_db()
        if intake.state != "read":
            break
    assert intake.state == "planned"
    return intake


def brought_in(client: Client, content: bytes, **answers: str) -> Intake:
    intake = looked_through(client, content, **answers)
    client.post(at("apply", intake))
    intake.refresh_from_db()
    assert intake.state == "done", intake.message
    return intake


def counts(intake: Intake) -> dict[str, int]:
    return {name: number for name, number in intake.counts.items() if number}


def told(intake: Intake, name: str) -> list[str]:
    return [row[3] for row in intake.findings["lists"][name]]


MATRIX = (
    ("Name", "Company", "Date of birth", "Mobile", "Job title", "First aid", "Haul and lower", "Forklift", "Medical expiry"),
    ("Ada Berg", "Tarn", date(1980, 2, 3), "0700", "Rigger", LATER, SOON, LATER, LATER),
    ("Bo Crane", "Tarn", date(1981, 2, 3), "0701", "Rigger", PAST, "x", None, LATER),
)  # fmt: skip


def test_a_matrix_gives_tickets_and_takes_nothing_personal(desk: Client) -> None:
    ada, bo = (PersonFactory(name=name, employer="Tarn") for name in ("Ada Berg", "Bo Crane"))
    intake = looked_through(desk, workbook(*MATRIX), dated="through")
    assert counts(intake) == {"in": 2, "ended": 1, "out": 1, "left": 1}
    assert not Competence.objects.exists()
    page = desk.get(at("file", intake)).content.decode()
    assert "Personal, and not taken: Date of birth, Mobile, Medical expiry." in page
    assert "Not needed, and not taken: Job title." in page
    assert "0700" not in page + str(intake.findings) + str(intake.seen["people"])
    assert "Column G" in told(intake, "out")[0]
    desk.post(at("apply", intake))
    held = {(one.person, one.kind, one.family, one.through_on) for one in Competence.objects.all()}
    assert held == {
        (ada, "first aid", "", LATER),
        (ada, "rescuer", "haul and lower", SOON),
        (bo, "first aid", "", PAST),
    }
    assert not verify_ledger().misfits
    again = looked_through(desk, workbook(*MATRIX), dated="through")
    assert counts(again) == {"known": 3, "out": 1, "left": 1}


def test_the_samples_shown_hold_nothing_of_personal_columns(desk: Client) -> None:
    desk.post(
        reverse("readiness:training-in"), {"file": SimpleUploadedFile("m.xlsx", workbook(*MATRIX))}
    )
    intake = Intake.objects.latest("pk")
    assert "0700" not in str(intake.seen)
    assert "1980" not in str(intake.seen)


def test_days_of_taking_count_from_then_for_the_months_that_are_told(desk: Client) -> None:
    PersonFactory(name="Ada Berg", employer="Tarn")
    content = workbook(("Name", "First aid (date taken)"), ("Ada Berg", date(2025, 5, 31)))
    brought_in(desk, content, months__first_0_aid="9")
    ticket = Competence.objects.get()
    assert (ticket.from_on, ticket.through_on) == (date(2025, 5, 31), date(2026, 2, 27))


def test_long_lines_do_as_well_and_a_last_day_goes_before_months(desk: Client) -> None:
    PersonFactory(name="Ada Berg", employer="Tarn")
    heads = ("Employee", "Employer", "Course", "Date taken", "Valid until", "Provider")
    line = ("Berg, Ada", "Tarn", "First Aid at Work", date(2025, 1, 6), LATER, "Fell Training")
    brought_in(desk, workbook(heads, line))
    ticket = Competence.objects.get()
    assert (ticket.from_on, ticket.through_on, ticket.provider) == (
        *(date(2025, 1, 6), LATER, "Fell Training"),
    )


def test_a_training_mapped_once_is_known_in_the_next_file(desk: Client) -> None:
    PersonFactory(name="Ada Berg", employer="Tarn")
    content = workbook(("Name", "Blue card"), ("Ada Berg", LATER))
    assert counts(looked_through(desk, content, dated="through")) == {"left": 1}
    mapped = {"training:blue card": "haul and lower", "dated": "through"}
    desk.post(reverse("readiness:training-in"), {"file": SimpleUploadedFile("m.xlsx", content)})
    intake = Intake.objects.latest("pk")
    answer(desk, intake, mapped)
    assert RememberedColumn.objects.get(kind="training-word", heading="blue card").field
    assert counts(looked_through(desk, content, dated="through")) == {"in": 1}


def test_a_name_like_another_is_listed_and_never_merged(desk: Client) -> None:
    ada = PersonFactory(name="Ada Berg", employer="Tarn")
    content = workbook(("Name", "Company", "First aid"), ("Ada Bergh", "Tarn", LATER))
    intake = looked_through(desk, content, dated="through", adds="on")
    assert counts(intake) == {"out": 1}
    assert "may be the same person" in told(intake, "out")[0]
    key = Who("Ada Bergh", "Tarn").key
    answer(desk, intake, {f"person:{key}": str(ada.pk), "dated": "through"})
    intake.refresh_from_db()
    assert counts(intake) == {"in": 1}


def test_people_who_are_new_are_entered_only_if_somebody_says_so(desk: Client, site: Site) -> None:
    content = workbook(
        ("Name", "Company", "Staff no", "First aid"), ("Zofia Żak", "Tarn", "77", LATER)
    )
    assert counts(looked_through(desk, content, dated="through")) == {"out": 1}
    intake = brought_in(desk, content, dated="through", adds="on", home=str(site.pk))
    person = Person.objects.get(name="Zofia Żak")
    assert (person.employer, person.number, person.home_site) == ("Tarn", "77", site)
    assert person.competences.count() == 1
    desk.post(at("undo", intake))
    intake.refresh_from_db()
    assert not Competence.objects.exists()
    assert "1 person who was entered stays" in intake.findings["undone"]["stays"][0]


def test_what_was_taken_away_ends_today_and_is_told_first(desk: Client) -> None:
    ada = PersonFactory(name="Ada Berg", employer="Tarn")
    ticket = Competence.objects.create(person=ada, kind="first aid", from_on=PAST, through_on=LATER)
    content = workbook(("Name", "First aid"), ("Ada Berg", "revoked"))
    brought_in(desk, content)
    ticket.refresh_from_db()
    assert ticket.through_on == DAY


def test_a_shorter_last_day_than_the_registers_is_told_and_changes_nothing(desk: Client) -> None:
    ada = PersonFactory(name="Ada Berg", employer="Tarn")
    Competence.objects.create(person=ada, kind="first aid", from_on=PAST, through_on=LATER)
    content = workbook(("Name", "First aid valid until"), ("Ada Berg", SOON))
    assert counts(looked_through(desk, content)) == {"differs": 1}


def test_a_supervisor_brings_in_their_own_people_alone(client: Client, site: Site) -> None:
    client.force_login(user_as(Role.SUPERVISOR, site))
    PersonFactory(name="Ada Berg", employer="Tarn", home_site=site)
    elsewhere: Site = Site.objects.create(code="far", name="Far")
    PersonFactory(name="Bo Crane", employer="Tarn", home_site=elsewhere)
    content = workbook(("Name", "First aid valid until"), ("Ada Berg", LATER), ("Bo Crane", LATER))
    assert counts(looked_through(client, content)) == {"in": 1, "out": 1}


PEOPLE = people_of(
    [
        Known(1, "Anna Kowalska", "Tarn", "A1"),
        Known(2, "Jan Kowalski", "Tarn"),
        Known(3, "Jan Kowalski", "Wold"),
        Known(4, "سارة القحطاني", "Tarn"),
        Known(5, "Łukasz Żak", "Tarn", "B2"),
    ]
)


@pytest.mark.parametrize(
    ("who", "pk"),
    [
        (Who("Anna Kowalska"), 1),
        (Who("KOWALSKA,  ANNA"), 1),
        (Who("Jan Kowalski", "Wold"), 3),
        (Who("", number="b2"), 5),
        (Who("Lukasz Zak", number="B2"), 5),
        (Who("سارة القحطاني"), 4),
    ],
)
def test_a_person_is_known_by_name_and_employer_or_by_number(who: Who, pk: int) -> None:
    hit = found(who, PEOPLE)
    assert hit.person is not None
    assert hit.person.pk == pk


@pytest.mark.parametrize(
    ("who", "code"),
    [
        (Who("Jan Kowalski"), "person-of-two"),
        (Who("Anna Kowalska", "Wold"), "person-employer"),
        (Who("Kowalska Anna"), "person-near"),
        (Who("A. Kowalska"), "person-near"),
        (Who("Anna Kowalsky"), "person-near"),
        (Who("Lukasz Zak"), "person-near"),
        (Who("Piotr Nowak", number="A1"), "number-of-another"),
        (Who("Anna Kowalska", number="A2"), "person-number"),
        (Who("", number="zz"), "number-unknown"),
        (Who("Piotr Nowak"), "person-unknown"),
    ],
)
def test_whoever_is_not_surely_meant_is_told(who: Who, code: str) -> None:
    hit = found(who, PEOPLE)
    assert hit.person is None
    assert hit.problem is not None
    assert hit.problem.code == code


def test_the_words_of_a_matrix() -> None:
    assert [meaning_of(one) for one in ("FAW", "Pierwsza pomoc", "Haul & lower", "Forklift")] == [
        *("first aid", "first aid", "haul and lower", ""),
    ]
    assert heading_of("First aid - valid until") == ("first aid", "through")
    assert heading_of("Pierwsza pomoc, ważne do") == ("pierwsza pomoc", "through")
    assert heading_of("Ropes, date taken")[1] == "taken"
    assert heading_of("Haul and lower") == ("haul and lower", "")
    says = [cell_says(one) for one in ("n/a", "x", "Expired", "cofnięte", "✓", "see Bo")]
    assert says == ["none", "undated", "ended", "revoked", "undated", ""]


@pytest.mark.parametrize("language", ["en", "pl"])
def test_the_empty_workbook_maps_by_itself(language: str) -> None:
    with translation.override(language):
        names = [translation.gettext(TRAINING.fields[slug].name) for slug in HEADINGS]
        content = blank_workbook([(name, "x") for name in names])
    sheets = read(content, "blank.xlsx")
    hit = guess(list(sheets.open_sheet(sheets.names[0]).rows()), None, TRAINING)
    assert list(hit.mapping.values()) == list(HEADINGS)


def test_forgetting_somebody_takes_the_name_out_of_the_files_that_hold_it(
    desk: Client, oyelaran: User
) -> None:
    ada = PersonFactory(name="Ada Berg", employer="Tarn", number="A-7")
    intake = brought_in(desk, workbook(("Name", "First aid valid until"), ("Ada Berg", LATER)))
    Person.objects.filter(pk=ada.pk).update(left_on=DAY)
    erase_person(ada, stamp=stamp(oyelaran))
    intake.refresh_from_db()
    ada.refresh_from_db()
    assert "Ada Berg" not in f"{intake.seen} {intake.findings} {intake.choices}"
    assert ada.number == ""
    assert not intake.document.file.storage.exists(intake.document.file.name)
    assert len(intake.document.sha256) == 64
    assert desk.get(at("file", intake)).status_code == 200
