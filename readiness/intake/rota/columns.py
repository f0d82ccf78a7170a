"""The columns of a rota, and the words people put above them."""

from __future__ import annotations

from readiness.intake.training.columns import PERSONAL, TRAINING
from register.intake.fields import IGNORED, Field, vocabulary_of, words_of
from register.rules.texts import gettext_noop

_WHO = ("name", "first_name", "last_name", "number", "employer", PERSONAL)

# From rotas as people describe them; common practice, no source.
# fmt: off
_FIELDS = (
    Field("site", gettext_noop("Site"), words_of("location, project, job, obiekt, budowa, miejsce pracy, lokalizacja, standort")),
    Field("zone", gettext_noop("Starting from"), words_of("zone, area, place, muster point, strefa, miejsce, poczawszy od, rozpoczyna z, zaczyna z, skad zaczyna")),
    Field("day", gettext_noop("Day"), words_of("date, shift date, work date, on, dzien, data, data zmiany, datum"), is_date=True),
    Field("shift", gettext_noop("Shift"), words_of("shift name, duty, pattern, rota, zmiana, dyzur, schicht")),
    Field("begins", gettext_noop("From"), words_of("start, starts, start time, begin, begins, time in, time from, comes at, od, poczatek, godzina rozpoczecia, von")),
    Field("ends", gettext_noop("To"), words_of("end, ends, end time, finish, finishes, finish time, time out, time to, until, goes at, do, koniec, godzina zakonczenia, bis")),
    Field("begins_at", gettext_noop("Begins at"), words_of("dtstart")),
    Field("ends_at", gettext_noop("Ends at"), words_of("dtend")),
    Field("summary", gettext_noop("What the calendar says"), words_of("summary, event, subject")),
    Field(IGNORED, "Not brought in", ("line", "why it stayed out")),
)
# fmt: on
ROTA = vocabulary_of(
    [*(TRAINING.fields[slug] for slug in _WHO), *_FIELDS],
    repeated=frozenset({IGNORED, PERSONAL}),
    by_part=frozenset({PERSONAL}),
)
HEADINGS = ("name", "number", "employer", "site", "day", "shift", "begins", "ends", "zone")
OF_CALENDARS = ("name", "summary", "site", "begins_at", "ends_at")
