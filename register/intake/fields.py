"""The columns the register knows, and the words people put above them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from register.rules.texts import gettext_noop


@dataclass(frozen=True, slots=True)
class Field:
    """A column the register can take in; words: normalised headings that mean it for sure."""

    slug: str
    name: str
    words: tuple[str, ...]
    is_date: bool = False
    is_needed: bool = False


def words_of(text: str) -> tuple[str, ...]:
    """Headings as they are written here, between commas."""
    return tuple(word.strip() for word in text.split(",") if word.strip())


IGNORED = "ignored"  # the user's own choice, or a column this program added itself

# From workbooks and paper registers as people describe them; common practice, no source.
# fmt: off
_FIELDS = (
    Field("serial", gettext_noop("Serial"), words_of("serial, serial no, serial number, serial nr, serial num, ser no, ser number, ser, s n, sn, s no, makers no, makers number, makers serial, makers serial no, manufacturers no, manufacturers serial no, manufacturers serial number, factory no, unit serial, seriennummer, serien nr, seriennr, fabriknummer, numero de serie, no de serie, n de serie, serienummer, numero di serie, nr seryjny, numer seryjny, nr fabryczny, numer fabryczny, nr fabr, nr ser, seria i numer"), is_needed=True),
    Field("tag", gettext_noop("Own mark"), words_of("tag, tag no, tag number, tag id, our mark, own mark, our no, our number, our ref, asset, asset no, asset number, asset id, asset tag, id, id no, id number, ident, mark, plant no, plant number, fleet no, reg no, register no, inventory no, inventory number, inventar nr, inventarnummer, inventarnr, no inventaire, numero d inventaire, kennzeichen, nr ewidencyjny, numer ewidencyjny, nr inwentarzowy, numer inwentarzowy, nr wewnetrzny, numer wewnetrzny, nr ewid, oznaczenie wlasne, oznaczenie, przywieszka, nr przywieszki, wlasne oznaczenie")),
    Field("product", gettext_noop("Product"), words_of("product, product name, product code, model, model no, model name, model type, make and model, type model, type designation, designation, article, article no, part no, part number, modell, modele, modelo, produkt, artikel, produit, bezeichnung, typenbezeichnung, wyrob, nazwa wyrobu, nazwa handlowa, nazwa produktu, typ model, nr katalogowy, numer katalogowy, oznaczenie typu"), is_needed=True),
    Field("maker", gettext_noop("Maker"), words_of("maker, make, manufacturer, manufactured by, made by, mfr, manuf, brand, producer, hersteller, fabricant, fabrikant, fabricante, producent, marque, marke, wytworca, nazwa producenta, firma producent")),
    Field("class", gettext_noop("Class of equipment"), words_of("class, category, kind, kind of equipment, equipment class, equipment type, type of equipment, type of kit, kit type, item type, ppe type, group, gerateart, art, kategorie, categorie, type d equipement, rodzaj, rodzaj sprzetu, typ sprzetu, kategoria, klasa, grupa, grupa sprzetu, klasa sprzetu, rodzaj soi")),
    Field("size", gettext_noop("Size"), words_of("size, harness size, sizes, grosse, taille, talla, maat, rozmiar, wielkosc")),
    Field("made", gettext_noop("Made on"), words_of("made, made on, date made, date of manufacture, date manufactured, manufacture date, manufactured, manufactured on, manufacturing date, mfg date, mfg, mfd, dom, d o m, month of manufacture, month yr, month year, made month yr, year of manufacture, year made, yom, production date, date of production, built, herstelldatum, herstellungsdatum, baujahr, date de fabrication, annee de fabrication, fabricage datum, fecha de fabricacion, data produkcji, wyprodukowano, rok produkcji, data wytworzenia, miesiac produkcji, miesiac i rok produkcji, rok budowy, rok prod, data prod, wyprodukowany"), is_date=True),
    Field("first_used", gettext_noop("First used on"), words_of("first used, first used on, first use, date first used, date of first use, in use since, in use from, put into use, put into service, date into service, into service, in service from, in service date, in service since, date in service, issued first, first issued, erstgebrauch, erste benutzung, in gebrauch seit, premiere utilisation, date de premiere utilisation, mise en service, date de mise en service, data pierwszego uzycia, data pierwszego wydania, data wprowadzenia do uzytkowania, data wprowadzenia do uzycia, data rozpoczecia uzytkowania, w uzyciu od, w uzytkowaniu od, pierwsze uzycie, wydano do uzytkowania"), is_date=True),
    Field("purchased", gettext_noop("Purchased on"), words_of("purchased, purchased on, purchase date, date of purchase, date purchased, bought, bought on, date bought, received, date received, delivered, delivery date, kaufdatum, date d achat, fecha de compra, data zakupu, kupiono, data nabycia, data dostawy, data przyjecia"), is_date=True),
    Field("last_inspected", gettext_noop("Last inspected on"), words_of("last inspected, last inspected on, last inspection, last insp, date of last inspection, last inspection date, last exam, last examination, last examined, last thorough examination, last te, date inspected, inspected, inspected on, inspection date, date of inspection, last check, last checked, letzte prufung, prufdatum, derniere verification, derniere inspection, ultima revision, ostatni przeglad, ostatnia kontrola, data ostatniego przegladu, data ostatniej kontroli, data przegladu, data kontroli, data badania, data ostatniego badania, skontrolowano, przeglad, ostatnie badanie, przeglad okresowy, data przegladu okresowego"), is_date=True),
    Field("next_due", gettext_noop("Next due (typed)"), words_of("next due, due, due date, due on, next inspection, next inspection due, next insp, next insp due, inspection due, insp due, next exam, next examination, next examination due, next te, re inspection due, reinspect by, inspect by, due next, next test, test due, nachste prufung, prochaine verification, prochaine inspection, proxima revision, nastepny przeglad, nastepna kontrola, data nastepnego przegladu, data nastepnej kontroli, termin przegladu, termin nastepnego przegladu, termin kontroli, wazny do, waznosc przegladu, nastepny przeglad do, przeglad wazny do, nastepne badanie, nastepny termin wpisany"), is_date=True),
    Field("inspector", gettext_noop("Inspector"), words_of("inspector, inspected by, examined by, checked by, competent person, by whom, insp by, prufer, sachkundiger, verificateur, controleur, kontroler, osoba kompetentna, przeglad wykonal, kontrole wykonal, skontrolowal, sprawdzil, wykonal, badajacy, inspektor, osoba kontrolujaca")),
    Field("condition", gettext_noop("Condition"), words_of("condition, status, state, result, verdict, service status, pass fail, ok, zustand, ergebnis, etat, estado, stan, status sprzetu, wynik, wynik przegladu, wynik kontroli, ocena, decyzja, stan techniczny")),
    Field("holder", gettext_noop("Holder"), words_of("holder, held by, issued to, issue to, with, user, wearer, person, name, employee, operative, who has it, custodian, owner, ausgegeben an, benutzer, utilisateur, attribue a, uzytkownik, wydano, komu wydano, pracownik, osoba, imie i nazwisko, posiadacz, wydano dla, nazwisko")),
    Field("site", gettext_noop("Site"), words_of("site, job, project, depot, branch, contract, standort, baustelle, chantier, obra, obiekt, budowa, projekt, oddzial, zaklad, baza")),
    Field("zone", gettext_noop("Place"), words_of("zone, location, place, where, area, store, bin, rack, shelf, position, where kept, lagerort, ort, lieu, emplacement, ubicacion, locatie, miejsce, lokalizacja, polozenie, magazyn, regal, polka, miejsce przechowywania")),
    Field("batch", gettext_noop("Batch"), words_of("batch, batch no, batch number, lot, lot no, lot number, charge, chargennummer, no de lot, partia, nr partii, numer partii, seria, lot nr")),
    Field("use_class", gettext_noop("Use conditions"), words_of("use, use class, use conditions, conditions of use, duty, usage, environment, einsatz, utilisation, warunki uzytkowania, warunki pracy, sposob uzytkowania, zastosowanie")),
    Field("standard", gettext_noop("Standard"), words_of("standard, standards, en, en standard, en no, norm, norme, conforms to, norma, normy, nr normy, zgodnosc z norma")),
    Field("remarks", gettext_noop("Remarks"), words_of("remarks, remark, comment, comments, note, notes, observations, defects, defect, history, bemerkung, bemerkungen, remarques, uwagi, notas, uwaga, komentarz, komentarze, spostrzezenia, wady, usterki, adnotacje")),
    Field("max_user_kg", gettext_noop("Greatest user mass"), words_of("max user mass, max user weight, max mass, max weight, max load, max kg, rating, rated load, rating kg, load rating, swl, wll, capacity, user weight, max user, max user kg, nennlast, charge max, maks masa uzytkownika, maksymalna masa uzytkownika, max masa uzytkownika, udzwig, dor, dopuszczalne obciazenie, masa uzytkownika")),
    Field("length_m", gettext_noop("Length"), words_of("length, length m, len, rope length, m, metres, meters, lange, longueur, longitud, dlugosc, dlugosc m, dlugosc liny, dl")),
    Field(IGNORED, "Not brought in", ("line", "why it stayed out")),
)
# fmt: on

FIELDS: dict[str, Field] = {field.slug: field for field in _FIELDS}

# Words used for the class by one and for the product by another: the cells decide.
CLASS_OR_PRODUCT = frozenset(
    words_of(
        "type, description, desc, item, item description, equipment, equipment description, kit, ppe, "
        "equipment name, item name, article description, details, gear, gegenstand, typ, beschreibung, equipement, opis, nazwa, sprzet, nazwa sprzetu, przedmiot, wyposazenie, rodzaj i typ"
    )
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Vocabulary:
    """The columns one kind of file may have, and every heading that means one of them.

    type_words: headings that one uses for the class and another for the product. repeated: slugs
    that several columns may have. by_part: slugs that a heading may mean by a part of it; empty
    for all. fewest: headings known before a row is taken for the heading row.
    """

    fields: Mapping[str, Field]
    exact: Mapping[str, str]
    type_words: frozenset[str] = frozenset()
    repeated: frozenset[str] = frozenset({IGNORED})
    by_part: frozenset[str] = frozenset()
    fewest: int = 2


def vocabulary_of(
    fields: Iterable[Field], *, fewest: int = 2, **more: frozenset[str]
) -> Vocabulary:
    """Of two fields with one word the later has it."""
    known = {field.slug: field for field in fields}
    exact = {normal_heading(field.name): field.slug for field in known.values()}
    exact |= {word: field.slug for field in known.values() for word in field.words}
    return Vocabulary(fields=known, exact=exact, fewest=fewest, **more)


_APOSTROPHES = re.compile("['’‘`´]")
_OTHER = re.compile(r"[^a-z0-9]+")


def normal_heading(cell: object) -> str:
    """'Ser. #' and 'SER NO' alike are 'ser no'; accents and punctuation are left out."""
    if not isinstance(cell, str):
        return ""
    text = cell.replace("№", " no ").replace("#", " no ").replace("°", "o").replace("º", "o")
    text = text.replace("ł", "l").replace("Ł", "l").replace("ß", "ss").replace("&", " and ")
    letters = unicodedata.normalize("NFKD", text.casefold())
    plain = "".join(mark for mark in letters if not unicodedata.combining(mark))
    return _OTHER.sub(" ", _APOSTROPHES.sub("", plain)).strip()


EQUIPMENT = vocabulary_of(_FIELDS, type_words=CLASS_OR_PRODUCT)
