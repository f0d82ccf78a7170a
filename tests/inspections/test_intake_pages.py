"""The pages that bring a workbook in, one after the other, as a stores controller meets them."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from inspections.intake.looking import begin_intake
from inspections.models import Intake, RememberedColumn
from inspections.views import intake as pages
from register import clock
from register.intake.reading import read
from register.intake.specimen import build_specimen
from register.intake.specimen_files import specimen_xlsx
from register.intake.specimen_stock import SITES
from register.models import Document, Item, Role, Site, User
from tests.factories import DAY, NOON, SiteFactory, stamp, user_as
from tests.inspections.test_intake_apply import HEADINGS, workbook

NAMES = ("intake-columns", "intake-preview", "intake-progress", "intake-done", "intake-leftover")


@pytest.fixture(autouse=True)
def noon_of_the_day(monkeypatch: pytest.MonkeyPatch) -> None:
    """The workbooks hold days before DAY, wherever the machine's own clock stands."""
    monkeypatch.setattr(clock, "reading", lambda: NOON)


@pytest.fixture
def desk(client: Client, petra: User) -> Client:
    """Petra's browser."""
    client.force_login(petra)
    return client


def upload(client: Client, content: bytes, name: str = "register.xlsx") -> HttpResponse:
    file = SimpleUploadedFile(name, content)
    response: HttpResponse = client.post(reverse("inspections:intake"), {"file": file})
    return response


def address(name: str, intake: Intake) -> str:
    return reverse(f"inspections:{name}", args=[intake.pk])


def as_shown(client: Client, intake: Intake) -> dict[str, str]:
    """The fields of the columns page as the browser would send them back unchanged."""
    form = client.get(address("intake-columns", intake)).context["form"]
    sent = {}
    for name in form.fields:
        value = form[name].value()
        if value not in (None, False, ""):
            sent[name] = "on" if value is True else str(value)
    return sent


def look_through(client: Client, intake: Intake, **changes: str) -> HttpResponse:
    sent = {**as_shown(client, intake), **changes}
    response: HttpResponse = client.post(address("intake-columns", intake), sent)
    return response


def text(response: HttpResponse) -> str:
    return response.content.decode()


def test_the_untidy_workbook_goes_from_upload_to_the_lines_that_stayed_out(
    desk: Client,
) -> None:
    for number, (name, *_) in enumerate(SITES[1:]):
        SiteFactory(code=f"s{number}", name=name)
    made = build_specimen(DAY, seed=7, rows=600)
    assert upload(desk, specimen_xlsx(made)).status_code == 302
    intake = Intake.objects.get()
    questions = text(desk.get(address("intake-columns", intake)))
    assert "which day is it?" in questions
    assert look_through(desk, intake).status_code == 200  # the question is not answered yet
    assert look_through(desk, intake, date_order="day-first").url == address(
        "intake-preview", intake
    )
    preview = text(desk.get(address("intake-preview", intake)))
    new = 600 - made.mess.bad - made.mess.twice
    assert f"Bring in {new} items" in preview
    assert f"Stay out: {made.mess.bad}" in preview
    assert not Item.objects.exists()
    assert desk.post(address("intake-apply", intake)).url == address("intake-progress", intake)
    assert desk.get(address("intake-progress", intake)).url == address("intake-done", intake)
    assert f"{new} items went in, {made.mess.bad} lines stayed out" in text(
        desk.get(address("intake-done", intake))
    )
    leftover = desk.get(address("intake-leftover", intake)).content
    lines = [list(sheet.rows()) for sheet in read(leftover, "stayed-out.xlsx")]
    assert sum(len(one) - 1 for one in lines) == made.mess.bad


def test_the_preview_counts_what_goes_in_and_cannot_be_used_yet(desk: Client) -> None:
    rows = (
        {"Tag": "A1", "Serial": "0000001"},
        {"Tag": "A2", "Serial": "0000002", "Last inspected": "4 Mar 2020", "Made": "2019"},
        {"Tag": "A3", "Serial": "0000003", "Last inspected": None},
        {"Tag": "A4", "Serial": "0000004", "Insp by": None},
        {"Tag": "A5", "Serial": "R5", "Class": "rescue descender", "Model": "Drop 100"},
        {"Tag": "A6", "Serial": "0000006", "Made": None},
    )
    upload(desk, workbook(*rows))
    intake = Intake.objects.get()
    look_through(desk, intake)
    intake.refresh_from_db()
    names = ("overdue", "no_inspection", "no_inspector", "no_thorough")
    assert [intake.findings[name] for name in names] == [1, 1, 1, 1]
    assert intake.findings["start"] == [
        ["in-service", "In service", 5],
        ["quarantined", "Quarantined", 1],
    ]
    page = text(desk.get(address("intake-preview", intake)))
    assert "1 whose last inspection is too long ago" in page
    assert "Start quarantined: 1" in page


def test_nothing_is_asked_about_dates_that_prove_their_order(desk: Client) -> None:
    upload(desk, workbook({"Last inspected": "25/12/2025"}))
    assert "which day is it?" not in text(desk.get(address("intake-columns", Intake.objects.get())))


def test_the_order_asked_for_is_told_by_a_date_of_the_file(desk: Client) -> None:
    upload(desk, workbook({"Last inspected": "03/02/2026"}))
    page = text(desk.get(address("intake-columns", Intake.objects.get())))
    assert "3 Feb 2026 (day first)" in page
    assert "2 Mar 2026 (month first)" in page


def test_a_column_once_told_is_known_in_the_next_file(desk: Client) -> None:
    headings = ["Gubbins" if name == "Serial" else name for name in HEADINGS]
    content = workbook({"Gubbins": "0000398"}, headings=headings)
    upload(desk, content)
    intake = Intake.objects.get()
    refused = look_through(desk, intake)
    assert "Say which column holds the serial" in text(refused)
    column = headings.index("Gubbins")
    look_through(desk, intake, **{f"col-0-{column}": "serial"})
    assert RememberedColumn.objects.get(heading="gubbins").field == "serial"
    upload(desk, content, "next.xlsx")
    latest = Intake.objects.latest("pk")
    assert as_shown(desk, latest)[f"col-0-{column}"] == "serial"


def test_two_columns_cannot_be_the_same_thing(desk: Client) -> None:
    upload(desk, workbook({}))
    intake = Intake.objects.get()
    response = look_through(desk, intake, **{"col-0-5": "serial"})
    assert "Column E has this already" in text(response)
    intake.refresh_from_db()
    assert intake.state == Intake.State.READ


def test_a_word_not_understood_is_asked_for_on_the_way_back(desk: Client) -> None:
    upload(desk, workbook({"Class": "gubbins", "Model": "Zed 9"}))
    intake = Intake.objects.get()
    look_through(desk, intake)
    intake.refresh_from_db()
    assert intake.counts["bad"] == 1
    assert "“gubbins” is" in text(desk.get(address("intake-columns", intake)))
    look_through(desk, intake, **{"class-0": "connector"})
    desk.post(address("intake-apply", intake))
    assert Item.objects.get().product.equipment_class == "connector"


def test_a_doubted_serial_goes_in_once_it_was_read_off_the_label(desk: Client) -> None:
    rows = ({"Tag": "A1", "Serial": "0000398"}, {"Tag": "A2", "Serial": 412})
    upload(desk, workbook(*rows))
    intake = Intake.objects.get()
    look_through(desk, intake)
    intake.refresh_from_db()
    assert (intake.counts["new"], intake.counts["bad"]) == (1, 1)
    look_through(desk, intake, confirmed="412")
    intake.refresh_from_db()
    assert (intake.counts["new"], intake.counts["bad"]) == (2, 0)


def test_a_sheet_can_be_left_out(desk: Client) -> None:
    upload(desk, workbook({}))
    intake = Intake.objects.get()
    sent = as_shown(desk, intake)
    del sent["use-0"]
    response = desk.post(address("intake-columns", intake), sent)
    assert "Choose at least one sheet" in text(response)


def test_headings_on_another_line_are_read_anew(desk: Client) -> None:
    upload(desk, workbook({}, {"Tag": "TW-2", "Serial": "0000399"}))
    intake = Intake.objects.get()
    response = look_through(desk, intake, **{"row-0": "2"})
    assert response.url == address("intake-columns", intake)
    intake.refresh_from_db()
    assert intake.seen["sheets"][0]["headings"][0] == "TW-1"


def test_a_file_that_is_no_workbook_is_told_beside_its_field_and_not_kept(desk: Client) -> None:
    page = text(upload(desk, b"PK\x03\x04 not an archive at all"))
    assert "The file is damaged" in page
    assert (Document.objects.count(), Intake.objects.count()) == (0, 0)


def test_no_file_and_an_empty_file_are_told(desk: Client) -> None:
    nothing: HttpResponse = desk.post(reverse("inspections:intake"), {})
    assert "Choose a file." in text(nothing)
    assert "There is nothing in the file" in text(upload(desk, b""))


def test_a_second_press_brings_nothing_in_twice(desk: Client) -> None:
    upload(desk, workbook({}))
    intake = Intake.objects.get()
    look_through(desk, intake)
    desk.post(address("intake-apply", intake))
    response = desk.post(address("intake-apply", intake), follow=True)
    assert "This file is in already" in text(response)
    assert Item.objects.count() == 1


def test_a_file_without_a_new_line_offers_nothing_to_bring_in(desk: Client) -> None:
    for name in ("first.xlsx", "again.xlsx"):
        upload(desk, workbook({}), name)
        intake = Intake.objects.latest("pk")
        look_through(desk, intake)
        page = text(desk.get(address("intake-preview", intake), follow=True))
        desk.post(address("intake-apply", intake))
    assert "No line of this file would go in" in page
    assert Item.objects.count() == 1


def test_a_large_file_is_looked_through_in_the_background(
    desk: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pages, "LINES_AT_ONCE", 0)
    upload(desk, workbook({}))
    intake = Intake.objects.get()
    assert look_through(desk, intake).url == address("intake-progress", intake)
    assert desk.get(address("intake-progress", intake)).url == address("intake-preview", intake)


def busy(state: Intake.State, petra: User) -> Intake:
    intake = begin_intake(workbook({}), "register.xlsx", on=DAY, stamp=stamp(petra))
    intake.state, intake.lines_done, intake.lines_total = state, 1000, 4000
    intake.moved_at = clock.now()
    intake.counts = {"new": 1}
    intake.save()
    return intake


def test_progress_is_told_in_words_and_asks_again_by_itself(desk: Client, petra: User) -> None:
    intake = busy(Intake.State.APPLYING, petra)
    page = text(desk.get(address("intake-progress", intake)))
    assert "1000 of 4000 lines" in page
    assert "Look again" in page
    assert 'hx-trigger="every 1s"' in page
    assert "Start again" not in page


def test_a_part_of_progress_leads_on_when_the_work_is_done(desk: Client, petra: User) -> None:
    intake = busy(Intake.State.APPLYING, petra)
    headers = {"HX-Request": "true"}
    part = desk.get(address("intake-progress", intake), headers=headers)
    assert "<html" not in text(part)
    Intake.objects.update(state=Intake.State.DONE)
    done = desk.get(address("intake-progress", intake), headers=headers)
    assert done.headers["HX-Redirect"] == address("intake-done", intake)


def test_work_that_was_broken_off_can_be_started_again(desk: Client, petra: User) -> None:
    intake = busy(Intake.State.APPLYING, petra)
    Intake.objects.update(moved_at=clock.now() - timedelta(minutes=3))
    page = text(desk.get(address("intake-progress", intake)))
    assert "Nothing has moved for two minutes" in page
    desk.post(address("intake-apply", intake), {"again": "yes"})
    intake.refresh_from_db()
    assert (intake.state, Item.objects.count()) == (Intake.State.DONE, 1)


def test_work_under_way_is_not_started_a_second_time(desk: Client, petra: User) -> None:
    intake = busy(Intake.State.APPLYING, petra)
    page = desk.post(address("intake-apply", intake), {"again": "yes"}, follow=True)
    assert "This file is being worked on" in text(page)
    assert not Item.objects.exists()


def test_a_file_gone_from_the_disk_stops_the_work_with_a_sentence(
    desk: Client, petra: User
) -> None:
    intake = busy(Intake.State.PLANNED, petra)
    intake.document.file.delete(save=False)
    desk.post(address("intake-apply", intake))
    page = text(desk.get(address("intake-progress", intake)))
    assert "The program stopped with an error" in page
    assert "Start again" in page


@pytest.mark.parametrize("role", [Role.WORKER, Role.COMPETENT, Role.AUDITOR])
def test_others_bring_nothing_in(client: Client, site: Site, petra: User, role: Role) -> None:
    intake = busy(Intake.State.PLANNED, petra)
    client.force_login(user_as(role))
    answers = [client.get(address(name, intake)).status_code for name in NAMES]
    answers.append(client.get(reverse("inspections:intake")).status_code)
    answers.append(client.post(address("intake-apply", intake)).status_code)
    assert answers == [403] * 7


def test_a_controller_of_one_site_brings_in_only_there_and_sees_only_own_files(
    client: Client, site: Site, petra: User
) -> None:
    SiteFactory(code="skelhope", name="Skelhope Viaduct")
    theirs = busy(Intake.State.PLANNED, petra)
    client.force_login(user_as(Role.STORES, site))
    assert client.get(address("intake-preview", theirs)).status_code == 404
    upload(client, workbook({}, sheet="Skelhope Viaduct"))
    own = Intake.objects.latest("pk")
    assert own.choices["sites"] == {}
    refused = look_through(client, own, **{"site-0": "skelhope"})
    assert "Select a valid choice" in text(refused)
    look_through(client, own)
    own.refresh_from_db()
    assert own.counts == {"new": 0, "same": 0, "differs": 0, "twice": 0, "bad": 1}
