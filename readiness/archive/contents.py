"""What goes into an archive and what stays, by model and by column; every model stands in one of the lists.

A new model belongs here: into ``TAKEN``, with its meaning in ``fixtures/archive/meanings.json``, or into
``LEFT_OUT`` with the reason. ``tests/readiness/test_archive.py`` fails until it does.
"""

from __future__ import annotations

import json
from functools import lru_cache
from pathlib import Path

from django.conf import settings
from django.contrib.auth.hashers import make_password
from django.utils import translation

from register.archive.tables import Column, Table, tables_of

TAKEN = (
    *("register.Employer", "register.Site", "register.Zone", "register.Shift", "register.Passage"),
    *(
        "register.Person",
        "register.User",
        "register.Grant",
        "register.Product",
        "register.Document",
    ),
    *("register.Document_items", "register.Delivery", "register.Item", "register.Tag"),
    *("register.Kit", "register.KitPart", "register.SealEvent", "register.Movement"),
    *("register.Handover", "register.HandoverLine"),
    *("register.Hold", "register.Hold_items", "register.Reversal"),
    *("register.Act", "register.ActNote", "register.Entry", "register.Head", "register.Checkpoint"),
    *("register.Paper", "register.PaperSubject", "register.MessageTerms"),
    *("inspections.Regime", "inspections.ChecklistVersion", "inspections.Authorisation"),
    *("inspections.Inspection", "inspections.Defect", "inspections.Report"),
    *("inspections.Event", "inspections.EventItem", "inspections.EventAccount"),
    *("inspections.Arrest", "inspections.Arrest_rescuers"),
    *(
        "inspections.Notice",
        "inspections.NoticeMatch",
        "inspections.Round",
        "inspections.RoundLine",
    ),
    *("inspections.Intake", "inspections.BroughtIn", "inspections.RememberedColumn"),
    *("inspections.SyncEvent", "inspections.SentPhoto"),
    *("inspections.InspectionMinutes", "inspections.VisitTerms", "inspections.InspectorHours"),
    *("inspections.Visit", "inspections.Visit_items"),
    *("readiness.RescueCall", "readiness.ShiftSheet"),
    *("readiness.CoverPolicy", "readiness.KitAbility", "readiness.KitAbility_locked_shifts"),
    *("readiness.Competence", "readiness.RotaEntry"),
    *("readiness.Task", "readiness.Task_shifts", "readiness.Task_rescue_anchors"),
    *("readiness.Exposure", "readiness.Plan", "readiness.Drill", "readiness.TaskSums"),
    *("readiness.CoverCheck", "readiness.CoverChange", "readiness.Permit", "readiness.PastShift"),
    *("readiness.RemedyTerms", "readiness.SiteTravel", "readiness.CourseDate", "readiness.Job"),
)

LEFT_OUT = {
    "inspections.Due": "worked out from the rest; counted anew when an archive is brought in",
    "readiness.KeptStatement": "worked out from the rest; made anew by keep_cover",
    "register.CalendarFeed": "a secret address that leads to the old server; its owner makes a new one",
    "readiness.RotaFeed": "a secret address of somebody else's calendar; followed anew",
    "register.CalendarTold": "what such an address told last",
    "register.Errand": "work of one server; its results are files that expire",
    "register.Errand_sites": "work of one server",
    "register.BackUp": "the back-ups of one server",
    "register.Postbox": "each user confirms an address anew: two servers never write of one register",
    "register.Message": "letters of one server; some hold a secret link",
    "register.AccessToken": "secret: what other systems sign in with; made anew",
    "register.AccessToken_sites": "of such a token",
    "register.KeptAnswer": "answers to other systems, kept for some days",
    "register.User_groups": "roles are in register.Grant; Django's groups are not used",
    "register.User_user_permissions": "roles are in register.Grant; Django's permissions are not used",
    "auth.Group": "Django's groups are not used",
    "auth.Group_permissions": "Django's groups are not used",
    "auth.Permission": "made by the program itself",
    "contenttypes.ContentType": "made by the program itself",
    "admin.LogEntry": "the log of Django's own admin, which changes nothing of the register",
    "sessions.Session": "secret: who is signed in",
    "usersessions.UserSession": "secret: who is signed in, and from where",
    "mfa.Authenticator": "secret: second factors and passkeys; each user enters them anew",
    "account.EmailAddress": "of the sign-in, entered anew",
    "account.EmailConfirmation": "secret: keys that confirm an address",
    "axes.AccessAttempt": "wrong passwords tried at one server",
    "axes.AccessAttemptExpiration": "wrong passwords tried at one server",
    "axes.AccessFailureLog": "wrong passwords tried at one server",
    "axes.AccessLog": "sign-ins at one server, with addresses of the network",
    "django_tasks_database.DBTaskResult": "the queue of one server",
}

COLUMNS_LEFT_OUT = {
    "register.MessageTerms.sender_looked_at": "of one server",
    "readiness.RotaEntry.feed": "the calendar that put it on stays; the entry is as if by hand",
    "register.User.password": "secret; users come in without one, and are given one by the administrator",
    "register.User.last_login": "of one server",
    "register.User.has_first_password": "of the password that stays",
    "register.User.is_staff": "Django's admin is not used",
    "register.User.is_superuser": "what a user may do is in register.Grant",
}

# What a row is given on its way in for what never goes out.
GIVEN = {"register.User.password": lambda: make_password(None)}

# By what other tables name a row; the number, or the id, where nothing is said.
KEYS = {
    "register.Site": ("code",),
    "register.Zone": ("site", "code"),
    "register.User": ("username",),
    "register.Document": ("sha256",),
    "register.Item": ("code",),
    "register.Kit": ("name",),
    "inspections.ChecklistVersion": ("sha256",),
    "readiness.Task": ("site", "code"),
    "readiness.CoverCheck": ("reference",),
}

MEANINGS = Path("fixtures/archive/meanings.json")


def tables() -> list[Table]:
    """Every table of an archive, in its order."""
    return tables_of(TAKEN, KEYS, COLUMNS_LEFT_OUT)


@lru_cache(maxsize=1)
def _said() -> dict[str, dict[str, str]]:
    text = (Path(settings.BASE_DIR) / MEANINGS).read_text(encoding="utf-8")
    found: dict[str, dict[str, str]] = json.loads(text)
    return found


def meanings() -> dict[str, str]:
    """What each table and each column is, in English; '' for what nobody has described yet."""
    found = {}
    with translation.override("en"):
        for table in tables():
            found[table.label] = _of_table(table)
            for column in table.columns:
                found[f"{table.label}.{column.name}"] = _meaning(table, column)
    return found


def _of_table(table: Table) -> str:
    """What its model says of itself, on one line; of a table that only joins two, which."""
    if table.is_between:
        first, second = (column.refers_to for column in table.columns)
        return f"Which rows of {second} belong to which of {first}."
    said = (table.model.__doc__ or "").split("\n\n")[0]
    return "" if said.startswith(f"{table.model.__name__}(") else " ".join(said.split())


def _meaning(table: Table, column: Column) -> str:
    """Said of this very column; else its own name where that tells more; else said of all so called."""
    said = _said()
    own = said["columns"].get(f"{table.label}.{column.name}", "")
    named = str(column.field.verbose_name)
    tells = named.lower() not in {column.field.name.replace("_", " "), "id"}
    sentence = own or (f"{named[:1].upper()}{named[1:]}." if tells else "")
    return sentence or said["common"].get(column.name, "")
