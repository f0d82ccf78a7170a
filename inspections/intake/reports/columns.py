"""The columns of an examiner's report, and the words people put above them."""

from __future__ import annotations

from dataclasses import replace

from register.intake.fields import CLASS_OR_PRODUCT, FIELDS, IGNORED, Field, vocabulary_of, words_of
from register.rules.texts import gettext_noop

_TAKEN_OVER = ("serial", "tag", "product", "maker", "class", "made", "next_due", IGNORED)

# From reports as people describe them; common practice, no source. The particulars are those of
# schedule 1 to LOLER 1998, by the slugs of inspections.rules.occasions.
# fmt: off
_OWN = (
    Field("performed", gettext_noop("Performed on"), (*FIELDS["last_inspected"].words, *words_of("examined on, date, exam date, examination date, date of exam, date of examination, date of thorough examination, date tested, test date, tested on, checked on, data, data wykonania, data badania kontrolnego, przeprowadzono, prufung am")), is_date=True),
    Field("verdict", gettext_noop("Verdict"), (*FIELDS["condition"].words, *words_of("outcome, findings result, decision, pass or fail, safe to use, fit for use, fit for purpose, safe for use, satisfactory, conclusion, orzeczenie, wniosek, kwalifikacja, dopuszczony, dopuszczono do uzytkowania, zdatny do uzytku, wynik badania"))),
    Field("kind", gettext_noop("Kind of inspection"), words_of("inspection type, type of inspection, type of examination, examination type, kind of inspection, kind of examination, inspection kind, exam type, rodzaj przegladu, rodzaj kontroli, rodzaj badania, typ przegladu")),
    Field("examiner", gettext_noop("Examiner"), (*FIELDS["inspector"].words, *words_of("examiner, examiner name, name of examiner, inspector name, name of inspector, engineer, engineer surveyor, surveyor, competent person name, tester, kontrolujacy, badal"))),
    Field("employer", gettext_noop("Examiner’s employer"), words_of("company, inspection company, examiner company, inspecting company, firm, organisation, inspection body, employer of examiner, employed by, firma, firma kontrolujaca, jednostka kontrolujaca, pracodawca, pracodawca badajacego")),
    Field("number", gettext_noop("Number of the report"), words_of("report, report no, report number, report ref, certificate, certificate no, certificate number, cert no, cert number, job no, job number, nr protokolu, numer protokolu, protokol nr, protokol, nr raportu, nr swiadectwa")),
    Field("defect", gettext_noop("Defect"), words_of("defect, defects, fault, faults, defect found, defects found, defect description, details of defect, damage, reason, reason for failure, reason for rejection, fail reason, failure reason, wada, wady, usterka, usterki, opis usterki, opis wady, uszkodzenia, przyczyna, przyczyna wycofania")),
    Field("grade", gettext_noop("How bad"), words_of("defect class, defect category, defect grade, severity, danger, priority, risk, category of defect, kategoria usterki, waga usterki, jak powazna")),
    Field("danger_by", gettext_noop("Could become a danger by"), words_of("danger by, repair by, rectify by, to be rectified by, action by, act by, date by which, usunac do, termin usuniecia, moze stac sie niebezpieczne do"), is_date=True),
    Field("action", gettext_noop("What was done"), words_of("action, action taken, repair, repairs, remedial action, recommendation, recommendations, dzialanie, podjete dzialania, zalecenia, naprawa, co zrobiono")),
    Field("remarks", gettext_noop("Remarks"), words_of("remarks, remark, comment, comments, note, notes, observations, observation, uwagi, uwaga, komentarz, spostrzezenia, bemerkungen")),
    Field("safe-working-load", gettext_noop("Safe working load or rating"), (*FIELDS["max_user_kg"].words, *words_of("safe working load, rated capacity, swl kg, wll kg"))),
    Field("for-whom", gettext_noop("For whom it was made"), words_of("client, customer, client name, client address, owner, employer, employer name, klient, zamawiajacy, wlasciciel")),
    Field("premises", gettext_noop("Where it was made"), words_of("site, location, premises, place of examination, examined at, address, miejsce badania, miejsce kontroli, obiekt, lokalizacja")),
    Field("occasion", gettext_noop("Why it was made"), words_of("occasion, reason for examination, purpose, interval, periodicity, powod badania, podstawa badania")),
    Field("tests", gettext_noop("Particulars of any test"), words_of("test, tests, test details, details of test, particulars of test, proof load, proby, opis proby, proba obciazeniowa")),
    Field("report-made-on", gettext_noop("Date of the report"), words_of("report date, date of report, certificate date, date of issue, issued on, data protokolu, data raportu, data wystawienia")),
    Field("inspector-qualifications", gettext_noop("Address and qualifications of the examiner"), words_of("qualification, qualifications, examiner qualification, certificate of competence, licence no, licence number, uprawnienia, kwalifikacje, nr uprawnien")),
    Field("signatory", gettext_noop("Who authenticated it"), words_of("authenticated by, signed by, approved by, signatory, authorised by, zatwierdzil, podpisal")),
)
# fmt: on

PARTICULARS = (
    *("safe-working-load", "for-whom", "premises", "occasion", "tests", "report-made-on"),
    *("inspector-qualifications", "signatory"),
)
REPORT = vocabulary_of(
    [*(replace(FIELDS[slug]) for slug in _TAKEN_OVER), *_OWN], type_words=CLASS_OR_PRODUCT
)
HEADINGS = (
    *("serial", "tag", "product", "maker", "class", "performed", "kind", "verdict", "examiner"),
    *("employer", "number", "defect", "grade", "danger_by", "action", "next_due", "remarks"),
)
