"""The columns of a training matrix, and what of a person is never taken."""

from __future__ import annotations

from register.intake.fields import IGNORED, Field, vocabulary_of, words_of
from register.rules.texts import gettext_noop

PERSONAL, OTHER = "personal", "other"

# From matrices as people describe them; common practice, no source. Whatever else stands above a
# column of a matrix is taken for the name of a training, and asked about.
# fmt: off
_FIELDS = (
    Field("name", gettext_noop("Person"), words_of("name, full name, employee, employee name, person, operative, worker, names, imie i nazwisko, nazwisko i imie, pracownik, osoba, imie nazwisko, mitarbeiter, nom et prenom")),
    Field("first_name", gettext_noop("First name"), words_of("first name, forename, given name, imie, vorname, prenom")),
    Field("last_name", gettext_noop("Last name"), words_of("last name, surname, family name, nazwisko, nachname, nom")),
    Field("number", gettext_noop("Staff number"), words_of("number, staff no, employee no, employee number, employee id, payroll no, payroll number, personnel number, works number, clock number, id, nr pracownika, numer pracownika, nr ewidencyjny, numer kadrowy, numer sluzbowy")),
    Field("employer", gettext_noop("Employer"), words_of("company, firm, contractor, agency, pracodawca, firma")),
    Field("training", gettext_noop("Training"), words_of("trainings, szkolenia, course, course name, course title, qualification, competence, competency, ticket, certificate, skill, subject, szkolenie, nazwa szkolenia, kurs, uprawnienie, kwalifikacja, temat")),
    Field("taken_on", gettext_noop("Taken on"), words_of("taken, date taken, training date, date of training, completed, completed on, date completed, completion date, attended, date attended, passed on, issued, issue date, date issued, from, valid from, data szkolenia, data ukonczenia, ukonczono, wydano, data wydania, wazne od, odbyte"), is_date=True),
    Field("through_on", gettext_noop("Valid until"), words_of("valid to, valid through, valid till, expires, expiry, expiry date, expires on, expiration, expiration date, renewal, renewal date, due, due date, until, end date, wazne do, wazny do, waznosc, data waznosci, termin waznosci, wygasa"), is_date=True),
    Field("provider", gettext_noop("Provider"), words_of("prowadzacy szkolenie, trainer, training provider, instructor, trained by, organizator, prowadzacy, jednostka szkolaca, szkolacy")),
    Field("state", gettext_noop("Whether it still holds"), words_of("status, state, current, valid, stan, wazne, aktualne")),
    Field(OTHER, gettext_noop("Something else, not taken"), words_of("department, dept, role, job title, position, trade, grade, site, location, team, gang, supervisor, line manager, remarks, remark, comments, comment, notes, note, start date, date joined, joined, shift, no, lp, stanowisko, dzial, brygada, przelozony, uwagi, obiekt, zmiana, data zatrudnienia, certificate no, certificate number, nr zaswiadczenia")),
    Field(PERSONAL, gettext_noop("Personal, never taken"), words_of("date of birth, dob, d o b, birth date, birthday, born, age, phone, phone no, telephone, telephone number, tel, mobile, mobile no, mobile number, email, e mail, email address, address, home address, postcode, post code, national insurance, national insurance number, ni number, ni no, nino, social security, social security number, ssn, pesel, passport, passport number, passport no, id card, gender, sex, nationality, religion, marital status, medical, medicals, medical date, medical expiry, medical due, medical fitness, medical exam, health, health surveillance, occupational health, fit to work, fitness, fit for work, drug test, alcohol test, audiometry, spirometry, eyesight, eye test, hearing test, blood group, blood type, allergies, disability, vaccination, vaccinations, next of kin, emergency contact, emergency phone, bank account, salary, wage, right to work, data urodzenia, urodzony, urodzona, wiek, telefon, nr telefonu, adres, adres e mail, plec, narodowosc, badania lekarskie, badania, badania do, orzeczenie lekarskie, orzeczenie, lekarskie, badania okresowe, grupa krwi, kontakt alarmowy, nr dowodu, dowod osobisty, konto, wynagrodzenie, szczepienia, niepelnosprawnosc")),
    Field(IGNORED, "Not brought in", ("line", "why it stayed out")),
)
# fmt: on
TRAINING = vocabulary_of(
    _FIELDS,
    repeated=frozenset({IGNORED, OTHER, PERSONAL}),
    by_part=frozenset({PERSONAL}),
    fewest=1,
)
HEADINGS = ("name", "number", "employer", "training", "taken_on", "through_on", "provider")
