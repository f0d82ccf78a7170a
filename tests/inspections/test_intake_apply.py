"""A workbook on its way into the register: what goes in, what stays out, and what it starts as."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from io import BytesIO

import pytest
import xlsxwriter

from inspections.conditions import refresh_due, usable_on, verdict_of
from inspections.intake import entering
from inspections.intake.apply import IntakeCounts, apply_plan, bring_in_workbook, opened, planned
from inspections.intake.looking import begin_intake
from inspections.models import BroughtIn, Due, Inspection, Intake, RememberedColumn
from register.actions.ledger import verify_ledger
from register.intake.keys import tag_key
from register.intake.reading import Cell, read
from register.intake.specimen import DATE_ORDER, build_specimen
from register.intake.specimen_files import specimen_xlsx
from register.intake.specimen_stock import SITES
from register.intake.unreadable import Unreadable
from register.models import Act, Document, Item, Product, Site, Tag
from register.rules.conditions import Condition
from register.rules.tags import shown
from tests.factories import (
    DAY,
    ItemFactory,
    PersonFactory,
    ProductFactory,
    SiteFactory,
    ZoneFactory,
    passed,
    stamp,
)

HEADINGS = (
    *("Tag", "Class", "Maker", "Model", "Serial", "Size", "Made", "Last inspected", "Insp by"),
    *("Status", "Issued to", "Location", "Remarks"),
)
GOOD: dict[str, Cell] = {
    "Tag": "TW-1",
    "Class": "harness",
    "Maker": "Orrin & Tull",
    "Model": "Ridgeline 2",
    "Serial": "0000398",
    "Size": "M",
    "Made": "Mar-24",
    "Last inspected": date(2026, 1, 4),
    "Insp by": "Huw Penry",
    "Status": "OK",
}


def workbook(
    *rows: dict[str, Cell], sheet: str = "Corrick Quay", headings: Sequence[str] = HEADINGS
) -> bytes:
    """An .xlsx of one sheet; each row is GOOD with some columns by name otherwise."""
    target = BytesIO()
    with xlsxwriter.Workbook(target) as book:
        as_day = book.add_format({"num_format": "yyyy-mm-dd"})
        page = book.add_worksheet(sheet)
        page.write_row(0, 0, headings)
        for line, changes in enumerate(rows, start=1):
            for column, cell in enumerate({**GOOD, **changes}.get(name) for name in headings):
                if isinstance(cell, date):
                    page.write_datetime(line, column, cell, as_day)
                elif isinstance(cell, str):
                    page.write_string(line, column, cell)
                elif cell is not None:
                    page.write_number(line, column, cell)
    return target.getvalue()


def bring_in(content: bytes, name: str = "register.xlsx", order: str = "") -> IntakeCounts:
    return bring_in_workbook(content, name, stamp=stamp(), on=DAY, date_order=order)


def the_item(**changes: Cell) -> Item:
    """The one item of a workbook with one line."""
    bring_in(workbook(changes))
    return Item.objects.get()


def figures(counts: IntakeCounts) -> tuple[int, int, int, int, int]:
    return counts.new, counts.same, counts.differs, counts.twice, counts.bad


@pytest.fixture
def five_sites(db: None) -> None:
    for number, (name, *_) in enumerate(SITES):
        SiteFactory(code=f"s{number}", name=name)


@pytest.mark.usefixtures("five_sites")
def test_the_untidy_workbook_goes_in_as_its_maker_counted() -> None:
    made = build_specimen(DAY, seed=7, rows=600)
    counts = bring_in(specimen_xlsx(made), order=DATE_ORDER)
    expected_new = 600 - made.mess.bad - made.mess.twice
    assert figures(counts) == (expected_new, 0, 0, made.mess.twice, made.mess.bad)
    assert Item.objects.count() == expected_new == Due.objects.count()
    ages = Item.objects.filter(quarantine_reason="age-not-established")
    assert 0 < ages.count() <= made.mess.no_age
    assert not ages.exclude(condition=Condition.QUARANTINED).exists()
    assert counts.intake.leftover is not None
    assert verify_ledger().misfits == ()


@pytest.mark.usefixtures("five_sites")
def test_the_stored_due_days_are_those_that_are_found_anew() -> None:
    bring_in(specimen_xlsx(build_specimen(DAY, seed=8, rows=200)), order=DATE_ORDER)
    stored = list(Due.objects.order_by("pk").values())
    refresh_due(Item.objects.select_related("product"))
    assert list(Due.objects.order_by("pk").values()) == stored
    assert len({one["last_good_on"] for one in stored}) > 20


def test_a_tag_given_out_is_never_a_mark_of_the_workbook(monkeypatch: pytest.MonkeyPatch) -> None:
    drawn = iter([["AAAAAAA", "BBBBBBB"], ["CCCCCCC"]])
    monkeypatch.setattr(entering, "fresh_codes", lambda count: next(drawn)[:count])
    assert entering._codes(2, frozenset({"BBBBBBB"})) == ["AAAAAAA", "CCCCCCC"]


@pytest.mark.usefixtures("five_sites")
def test_the_same_file_twice_changes_nothing() -> None:
    made = build_specimen(DAY, seed=7, rows=600)
    content = specimen_xlsx(made)
    first = bring_in(content, order=DATE_ORDER)
    before = list(Item.objects.order_by("pk").values())
    acts = Act.objects.filter(verb="bring-in").count()
    second = bring_in(content, order=DATE_ORDER)
    assert figures(second) == (0, first.new, 0, first.twice, first.bad)
    assert list(Item.objects.order_by("pk").values()) == before
    assert Act.objects.filter(verb="bring-in").count() == acts


def test_a_good_line_becomes_an_item_in_service(site: Site) -> None:
    zone = ZoneFactory(site=site, name="Store, rack A")
    wearer = PersonFactory(name="Morag Dunnet")
    item = the_item(**{"Location": "store rack a", "Issued to": "Morag Dunnet"})
    assert (item.condition, item.custody, item.holder, item.zone) == (
        Condition.IN_SERVICE,
        "person",
        wearer,
        zone,
    )
    assert (item.serial, item.size, item.made_first_on, item.made_precision) == (
        "0000398",
        "M",
        date(2024, 3, 1),
        "month",
    )
    assert (item.product.equipment_class, str(item.product)) == (
        "harness",
        "Orrin & Tull Ridgeline 2",
    )
    assert item.accepted_on is None
    assert Tag.objects.get(item=item).code == item.code


def test_an_item_is_good_from_its_last_inspection_and_not_from_the_day_it_came_in(
    site: Site,
) -> None:
    item = the_item()
    assert verdict_of(item, date(2026, 7, 4)).usable  # textile, 6 months: HSE INDG367
    assert not verdict_of(item, date(2026, 7, 5)).usable
    assert Item.objects.filter(usable_on(date(2026, 7, 4))).exists()
    assert not Item.objects.filter(usable_on(date(2026, 7, 5))).exists()


def test_the_last_inspection_names_its_inspector_and_the_workbook(site: Site) -> None:
    the_item()
    inspection = Inspection.objects.get()
    assert (inspection.kind, inspection.verdict, inspection.counts) == ("detailed", "pass", True)
    assert (inspection.source, inspection.inspector_name) == ("brought-in", "Huw Penry")
    assert inspection.document is not None
    assert inspection.document.name == "register.xlsx"


def test_a_month_counts_from_its_first_day(site: Site) -> None:
    the_item(**{"Last inspected": "Feb 2026"})
    assert Inspection.objects.get().performed_on == date(2026, 2, 1)


def test_without_an_inspection_or_an_inspector_nothing_is_usable(site: Site) -> None:
    bring_in(
        workbook(
            {"Last inspected": None},
            {"Tag": "TW-2", "Serial": "0000399", "Insp by": None},
        )
    )
    assert [verdict_of(item, DAY).usable for item in Item.objects.all()] == [False, False]
    assert Inspection.objects.get().counts_not_because == "no-inspector"


@pytest.mark.parametrize(
    ("words", "condition", "counts"),
    [
        ("Scrapped", Condition.WITHDRAWN, False),
        ("Red bag", Condition.QUARANTINED, False),
        ("Lost", Condition.NOT_LOCATED, False),
        ("see Huw", Condition.QUARANTINED, False),
        ("PASS", Condition.IN_SERVICE, True),
        (None, Condition.IN_SERVICE, True),
    ],
)
def test_bad_words_are_believed(
    site: Site, words: str | None, condition: Condition, *, counts: bool
) -> None:
    item = the_item(Status=words)
    assert (item.condition, Inspection.objects.get().counts) == (condition, counts)
    assert verdict_of(item, DAY).usable is counts


def test_an_item_of_unknown_age_starts_quarantined_and_a_scrapped_one_stays_withdrawn(
    site: Site,
) -> None:
    bring_in(
        workbook(
            {"Made": "?"}, {"Tag": "T2", "Serial": "0000399", "Made": None, "Status": "Scrapped"}
        )
    )
    assert list(Item.objects.order_by("serial").values_list("condition", "quarantine_reason")) == [
        (Condition.QUARANTINED, "age-not-established"),
        (Condition.WITHDRAWN, ""),
    ]


@pytest.mark.parametrize(
    ("heading", "remarks", "kind", "usable"),
    [
        ("Last inspected", "", "detailed", False),
        ("Last thorough examination", "", "thorough-examination", False),
        ("Last thorough examination", "periodic exam. too", "thorough-examination", True),
    ],
)
def test_what_lifts_people_needs_a_thorough_examination_the_workbook_tells_of(
    site: Site, heading: str, remarks: str, kind: str, *, usable: bool
) -> None:
    headings = [heading if name == "Last inspected" else name for name in HEADINGS]
    row: dict[str, Cell] = {"Class": "rescue descender", "Model": "Drop 100", "Remarks": remarks}
    row |= {"Last thorough examination": date(2026, 1, 4)}
    bring_in(workbook(row, headings=headings))
    assert Inspection.objects.get().kind == kind
    assert verdict_of(Item.objects.get(), DAY).usable is usable


def test_the_mark_in_the_workbook_is_kept_and_belongs_to_its_item_for_ever(site: Site) -> None:
    item = the_item(Remarks="dusty", **{"Issued to": "some gang"})
    assert item.remarks == "Old mark TW-1; Held by some gang; dusty"
    assert BroughtIn.objects.get(old_mark="TW-1").item == item
    counts = bring_in(workbook({"Serial": "0000777"}), "other.xlsx")
    assert (counts.new, counts.bad) == (0, 1)


def test_a_list_with_our_own_tags_comes_back_as_the_same(site: Site) -> None:
    item = ItemFactory(
        site=site,
        product=ProductFactory(maker="Orrin & Tull", designation="Ridgeline 2"),
        serial="0000398",
        size="M",
        made_first_on=date(2024, 3, 1),
        made_last_on=date(2024, 3, 31),
    )
    passed(item, date(2026, 1, 4))
    counts = bring_in(workbook({"Tag": shown(item.code)}))
    assert figures(counts) == (0, 1, 0, 0, 0)
    assert tag_key(shown(item.code)) == item.code


def test_a_line_that_differs_changes_nothing(site: Site) -> None:
    bring_in(workbook({}))
    counts = bring_in(workbook({"Size": "XL"}), "later.xlsx")
    assert figures(counts) == (0, 0, 1, 0, 0)
    assert Item.objects.get().size == "M"


def test_a_bad_line_comes_back_in_a_workbook_and_goes_in_once_mended(site: Site) -> None:
    first = bring_in(workbook({}, {"Tag": "TW-2", "Serial": "3E12", "Made": "31 Feb 2024"}))
    assert figures(first) == (1, 0, 0, 0, 1)
    assert first.intake.leftover is not None
    sheets = read(first.intake.leftover.file.read(), "stayed-out.xlsx")
    (sheet,) = sheets
    headings, cells = sheet.rows()
    assert sheet.name == "Corrick Quay"
    assert "no such day as 31 Feb 2024" in str(cells[-1])
    mended = dict(zip(map(str, headings), cells, strict=True)) | {"Made": "28 Feb 2024"}
    second = bring_in(workbook(mended, headings=[str(one) for one in headings]), "mended.xlsx")
    assert figures(second) == (1, 0, 0, 0, 0)
    assert Item.objects.get(serial="3E12").made_first_on == date(2024, 2, 28)


def test_a_failure_inside_a_thousand_loses_only_its_line(site: Site) -> None:
    rows: list[dict[str, Cell]] = [{"Tag": f"T{n}", "Serial": f"{n:07d}"} for n in range(1, 31)]
    intake = begin_intake(workbook(*rows), "many.xlsx", on=DAY, stamp=stamp())
    plan = planned(intake, opened(intake))
    product = ProductFactory(maker="Orrin & Tull", designation="Ridgeline 2")
    ItemFactory(site=site, product=product, serial="0000007")
    done = apply_plan(plan, intake, stamp=stamp())
    assert done.counts == {"new": 29, "same": 0, "differs": 0, "twice": 0, "bad": 1}
    (lost,) = done.of("bad")
    assert (lost.line, lost.problems[-1].code) == (8, "not-saved")
    assert Item.objects.count() == BroughtIn.objects.count() + 1 == 30
    assert verify_ledger().misfits == ()


def test_one_act_holds_a_thousand_lines_and_bumps_each_site_once(site: Site) -> None:
    before = site.facts_version
    bring_in(workbook({}, {"Tag": "TW-2", "Serial": "0000399"}))
    act = Act.objects.get(verb="bring-in")
    assert act.entries.count() == 2
    site.refresh_from_db()
    assert site.facts_version == before + 1


def test_one_product_of_two_kinds_stays_out_until_the_lines_agree(site: Site) -> None:
    counts = bring_in(
        workbook({}, {"Tag": "TW-2", "Serial": "0000399", "Class": "rescue descender"})
    )
    assert figures(counts) == (0, 0, 0, 0, 2)
    assert not Product.objects.exists()


def test_a_text_too_long_for_its_column_stays_out_whole(site: Site) -> None:
    counts = bring_in(workbook({"Size": "M with very long leg straps"}))
    assert figures(counts) == (0, 0, 0, 0, 1)
    assert not Item.objects.exists()


def test_a_line_of_an_unknown_site_stays_out(site: Site) -> None:
    assert figures(bring_in(workbook({}, sheet="Elsewhere"))) == (0, 0, 0, 0, 1)


def test_a_file_that_cannot_be_read_leaves_nothing_behind(db: None) -> None:
    with pytest.raises(Unreadable):
        bring_in(b"PK\x03\x04 not an archive at all")
    assert (Document.objects.count(), Intake.objects.count()) == (0, 0)
    assert not RememberedColumn.objects.exists()
