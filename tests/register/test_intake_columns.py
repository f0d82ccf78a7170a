"""Which column is which, in whatever words."""

import json
from datetime import date

import pytest

from register.intake.columns import guess, guess_at, guess_from_json
from register.intake.fields import normal_heading
from register.intake.words import class_of, condition_of, use_of

ROW = ("TW-1", "FBH", "Ridgeline 2", "0012", date(2024, 3, 4))


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("Ser. #", "serial"),
        ("S/N", "serial"),
        ("SER NO", "serial"),
        ("Maker's no", "serial"),
        ("Maker’s No.", "serial"),
        ("N° de série", "serial"),
        ("Seriennummer", "serial"),
        ("Manufacturer", "maker"),
        ("Manufactured", "made"),
        ("Month/yr of manufacture (DOM)", "made"),
        ("Date of last inspection", "last_inspected"),
        ("LAST INSP.", "last_inspected"),
        ("Next inspection due date", "next_due"),
        ("Inspected by (initials)", "inspector"),
        ("Inspected", "last_inspected"),
        ("Issued to", "holder"),
        ("Asset No.", "tag"),
        ("Rope length (m)", "length_m"),
        ("Max user weight kg", "max_user_kg"),
        ("Pass/Fail", "condition"),
        ("First put into use", "first_used"),
    ],
)
def test_a_heading_is_known_in_many_words(heading: str, field: str) -> None:
    found = guess([(heading, "Model", "Batch no"), ("1", "2", "3")])
    assert found.mapping == {0: field, 1: "product", 2: "batch"}


def test_headings_are_found_under_title_rows() -> None:
    rows = [
        ("HARNESS REGISTER v14 FINAL - serial numbers as on label",),
        (None, None),
        ("Site:", "Corrick Quay"),
        ("Our mark", "Type", "Model", "Ser. #", "DOM", "Colour"),
        ROW,
    ]
    found = guess(rows)
    assert found.header_row == 4
    assert found.mapping == {0: "tag", 1: "class", 2: "product", 3: "serial", 4: "made"}
    assert (found.unknown, found.missing, found.confidence) == ((5,), (), 0.83)


def test_somebody_can_say_which_line_holds_the_headings() -> None:
    rows = [("Serial", "Model", "Maker"), ("Ser no", "Type of kit", None), ("1", "FBH", None)]
    assert guess(rows).header_row == 1
    assert guess_at(rows, 2).mapping == {0: "serial", 1: "class"}
    assert (guess_at(rows, 0), guess_at(rows, 9)) == (guess([]), guess([]))


def test_a_type_column_is_the_class_or_the_product_by_what_stands_in_it() -> None:
    classes = [("Type", "Serial"), ("FBH", "1"), ("karabiner", "2"), ("SRL", "3")]
    products = [("Type", "Serial"), ("Ridgeline 2", "1"), ("Stayline", "2"), ("Crown", "3")]
    assert guess(classes).mapping == {0: "class", 1: "serial"}
    assert guess(products).mapping == {0: "product", 1: "serial"}


def test_two_columns_of_one_name_are_not_both_taken() -> None:
    found = guess([("Serial no", "Serial", "Model"), ("1", "2", "3")])
    assert (found.mapping, found.unknown) == ({0: "serial", 2: "product"}, (1,))


def test_a_sheet_of_notes_has_no_headings() -> None:
    found = guess([("Ring Huw about the crate",), ("Serial numbers of crate 2 are wrong",)])
    assert (found.header_row, found.mapping, found.confidence) == (None, {}, 0.0)


def test_what_somebody_changed_is_remembered_and_goes_first() -> None:
    rows = [("Number", "Model", "Batch", "Colour"), ("0012", "Crown", "B1", "green")]
    first = guess(rows)
    changed = first.changed({0: "serial", 1: "product", 2: "ignored", 3: ""})
    again = guess(rows, changed.to_remember())
    assert first.missing == ("serial",)
    assert again.mapping == {0: "serial", 1: "product", 2: "ignored"}
    assert again.certainty[0] == "remembered"


def test_a_guess_survives_being_kept_as_json() -> None:
    found = guess([("Serial", "Model", "Colour"), ("1", "2", "3")])
    back = guess_from_json(json.loads(json.dumps(found.to_json())))
    assert (back.header_row, back.headings, back.mapping, back.unknown) == (
        found.header_row,
        found.headings,
        found.mapping,
        found.unknown,
    )


def test_accents_case_and_punctuation_do_not_matter_in_a_heading() -> None:
    assert normal_heading("  N° de SÉRIE: ") == normal_heading("no de serie") == "no de serie"


@pytest.mark.parametrize(
    ("words", "slug"),
    [
        ("full body harness", "harness"),
        ("FBH", "harness"),
        ("Harness with sit belt", "harness"),
        ("twin lanyard shock abs", "energy-absorbing-lanyard"),
        ("Lanyard (shock absorbing)", "energy-absorbing-lanyard"),
        ("restraint lanyard", "lanyard"),
        ("SRL", "retractable"),
        ("inertia reel 10 m", "retractable"),
        ("fall block", "retractable"),
        ("Krab", "connector"),
        ("karabiner, steel", "connector"),
        ("eyebolt", "anchor"),
        ("rescue harness", "rescue-harness"),
        ("rescue kit no 3", "rescue-kit"),
        ("pole strap", "positioning-lanyard"),
        ("EN 360", "retractable"),
        ("Low-stretch rope", "rope"),
        ("rope grab on line", "guided-arrester"),
        ("horizontal-lifeline", "horizontal-lifeline"),
        ("hard hat", "helmet"),
        ("szelki bezpieczeństwa", "harness"),
        ("Szelki ratownicze", "rescue-harness"),
        ("linka z amortyzatorem", "energy-absorbing-lanyard"),
        ("linka bezpieczeństwa", "lanyard"),
        ("linka do pracy w podparciu", "positioning-lanyard"),
        ("urządzenie samohamowne", "retractable"),
        ("zatrzaśnik", "connector"),
        ("lina statyczna", "rope"),
        ("zestaw ratowniczy", "rescue-kit"),
        ("trójnóg", "tripod"),
        ("punkt kotwiczący", "anchor"),
        ("hełm", "helmet"),
        ("ladder", ""),
        ("", ""),
    ],
)
def test_the_trades_words_name_a_class(words: str, slug: str) -> None:
    assert class_of(words) == slug


@pytest.mark.parametrize(
    ("words", "slug"),
    [
        ("OK", "in-service"),
        ("in use", "in-service"),
        ("PASS", "in-service"),
        ("not in service", "quarantined"),
        ("Not OK", "withdrawn"),
        ("inactive", ""),
        ("unserviceable", "withdrawn"),
        ("FAIL, was ok", "withdrawn"),
        ("U/S", "withdrawn"),
        ("red bag", "quarantined"),
        ("out of date", "quarantined"),
        ("not seen", "not-located"),
        ("away for service", "away"),
        ("cut up", "destroyed"),
        ("see Huw", ""),
        ("sprawny", "in-service"),
        ("dopuszczony do użytkowania", "in-service"),
        ("wynik pozytywny", "in-service"),
        ("wynik negatywny", "withdrawn"),
        ("niedopuszczony", "withdrawn"),
        ("nie dopuszczono", "withdrawn"),
        ("niesprawny", "quarantined"),
        ("nie nadaje się", "quarantined"),
        ("wycofany", "withdrawn"),
        ("zagubiony", "not-located"),
        ("zniszczono", "destroyed"),
    ],
)
def test_the_worse_reading_of_a_condition_stands(words: str, slug: str) -> None:
    assert condition_of(words) == slug


def test_a_polish_workbook_maps_by_itself() -> None:
    headings = ("Nr seryjny", "Nr ewidencyjny", "Nazwa sprzętu", "Typ / model", "Producent")
    more = ("Data produkcji", "Data ostatniego przeglądu", "Następny przegląd", "Wynik", "Uwagi")
    row = ("000412", "TW-1", "szelki bezpieczeństwa", "Grań 2", "Halvard")
    found = guess([(*headings, *more), (*row, "III 2024", "4 marca 2026", None, "sprawny", None)])
    assert list(found.mapping.values()) == [
        *("serial", "tag", "class", "product", "maker"),
        *("made", "last_inspected", "next_due", "condition", "remarks"),
    ]


def test_use_conditions_are_read() -> None:
    assert [use_of(text) for text in ("Grit blasting", "normal", "sealed kit", "?")] == [
        "arduous",
        "normal",
        "rescue",
        "",
    ]
