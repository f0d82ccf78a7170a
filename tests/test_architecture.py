"""The promises the house makes about itself: short, dated, guarded, and nothing lying about."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from django.apps import apps
from django.db import models
from django.template.loader import get_template
from django.urls import URLPattern, URLResolver, get_resolver

ROOT = Path(__file__).resolve().parents[1]
APPS = ("register", "inspections", "readiness")
FILE_LINES = 300
FUNCTION_LINES = 30
SAYS_NOTHING = {
    *("utils", "helpers", "misc", "services", "selectors", "common", "manager", "managers"),
    *("data", "info", "process", "handle", "stuff", "signals"),
}

# Routes of others, and those that carry a guard of their own.
GUARDED_ELSEWHERE = {
    "admin": "Django's admin asks for staff on every page",
    "api": "each call is guarded by its token and its own need: tests/test_api.py",
    "account_login": "the login page by another name",
    "account_logout": "anyone may leave",
    "account_reauthenticate": "a user's own, behind the login",
    "mfa": "a user's own passkeys and codes; a test asks each page without a login",
    "usersessions_list": "a user's own, behind the login",
    "login": "who is not signed in must be able to sign in",
    "logout": "anyone may leave",
    "password": "Django's own page, behind the login like every other",
}
# All that may be read without a login; each says why beside its view.
OPEN_TO_ALL = {
    *("health", "language", "inspections:phone", "inspections:phone-words"),
    *("inspections:phone-manifest", "inspections:phone-worker"),
    *("inspections:tag", "inspections:tag-quarantine", "readiness:cover-check"),
    *("readiness:calendar-feed", "register:unsubscribe"),
    "register:paper-check",
    *("register:api-docs", "register:api-problems", "register:api-description"),
    "register:metrics",
}
# Django looks for these by name.
FOUND_BY_DJANGO = re.compile(
    r"^(registration/.*|(account|mfa|usersessions)/.*|400|403|403_csrf|404|500)(\.html)?$"
)
DJANGO_NAMED_THEM = {"User.last_login", "User.date_joined"}


def sources() -> list[Path]:
    every = [ROOT / "manage.py", *(file for app in APPS for file in (ROOT / app).rglob("*.py"))]
    return [file for file in every if "migrations" not in file.parts]


def scripts() -> list[Path]:
    found = [file for app in APPS for file in (ROOT / app / "static").rglob("*.js")]
    return [file for file in found if "decoder" not in file.parts]  # fetched, not ours


def templates() -> dict[str, str]:
    folder = ROOT / "templates"
    files = [file for file in folder.rglob("*") if file.is_file() and "locale" not in file.parts]
    return {file.relative_to(folder).as_posix(): file.read_text() for file in files}


def functions(file: Path) -> Iterator[tuple[str, int]]:
    """Each function's place and its lines, from `def` to the end."""
    for node in ast.walk(ast.parse(file.read_text())):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            lines = (node.end_lineno or node.lineno) - node.lineno + 1
            yield f"{file.relative_to(ROOT)}:{node.lineno} {node.name}", lines


def routes(
    patterns: list[URLPattern | URLResolver] | None = None, space: str = ""
) -> Iterator[tuple[str, URLPattern]]:
    """Every route by its full name, as templates write it."""
    for each in get_resolver().url_patterns if patterns is None else patterns:
        if isinstance(each, URLResolver):
            below = f"{space}{each.namespace}:" if each.namespace else space
            yield from routes(each.url_patterns, below)
        else:
            yield f"{space}{each.name or each.pattern}", each


def own_routes() -> dict[str, URLPattern]:
    every = routes()
    return {
        name: each
        for name, each in every
        if not {name, re.split("[:_]", name)[0]} & set(GUARDED_ELSEWHERE)
    }


def fields(kind: type[models.Field]) -> list[str]:
    every = (model for app in APPS for model in apps.get_app_config(app).get_models())
    return [
        f"{model.__name__}.{field.name}"
        for model in every
        for field in model._meta.local_fields
        if type(field) is kind and f"{model.__name__}.{field.name}" not in DJANGO_NAMED_THEM
    ]


def test_every_page_says_who_may_open_it() -> None:
    views = {name: route.callback for name, route in own_routes().items()}
    unmarked = [
        name
        for name, view in views.items()
        if not (getattr(view, "needs", None) or getattr(view, "open_because", ""))
    ]
    assert views
    assert unmarked == []


def test_only_the_listed_pages_are_open_to_all() -> None:
    opened = {
        name for name, route in own_routes().items() if hasattr(route.callback, "open_because")
    }
    assert "health" in opened
    assert opened - OPEN_TO_ALL == set()


def test_a_view_is_called_what_its_address_is_called() -> None:
    differing = [
        f"{name} leads to {route.callback.__name__}"
        for name, route in own_routes().items()
        if route.callback.__name__ != name.split(":")[-1].replace("-", "_")
    ]
    assert differing == []


def test_files_stay_short() -> None:
    lengths = {
        str(file.relative_to(ROOT)): len(file.read_text().splitlines())
        for file in sources() + scripts()
    }
    assert {name: lines for name, lines in lengths.items() if lines > FILE_LINES} == {}


def test_functions_stay_short() -> None:
    lengths = dict(each for file in sources() for each in functions(file))
    assert {name: lines for name, lines in lengths.items() if lines > FUNCTION_LINES} == {}


def test_modules_are_named_for_their_subject() -> None:
    folders_and_files = {
        part for file in sources() for part in file.relative_to(ROOT).with_suffix("").parts
    }
    assert folders_and_files & SAYS_NOTHING == set()


def test_every_module_opens_with_a_sentence_on_what_it_is_for() -> None:
    code = {file: ast.parse(file.read_text()) for file in sources()}
    silent = [file for file, tree in code.items() if tree.body and not ast.get_docstring(tree)]
    assert [str(file.relative_to(ROOT)) for file in silent] == []


def test_every_script_opens_with_a_sentence_and_makes_no_markup_of_text() -> None:
    texts = {str(file.relative_to(ROOT)): file.read_text() for file in scripts()}
    assert [name for name, text in texts.items() if not text.startswith("// ")] == []
    barred = re.compile(r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(")
    assert [name for name, text in texts.items() if barred.search(text)] == []


def test_functions_of_scripts_stay_short() -> None:
    """From a line that opens a function at the margin to the line that closes it."""
    opening = re.compile(r"^(?:export )?(?:async )?(?:function\b|const \w+ = .*=>.*[{(\[]$)")
    long = []
    for file in scripts():
        since = None
        for number, line in enumerate(file.read_text().splitlines(), 1):
            if opening.match(line):
                since = number
            elif since and line[:1] in ("}", ")", "]"):
                if number - since + 1 > FUNCTION_LINES:
                    long.append(f"{file.relative_to(ROOT)}:{since}")
                since = None
    assert long == []


def test_days_end_in_on() -> None:
    days = fields(models.DateField)
    assert [name for name in days if not name.endswith(("_on", ".on"))] == []


def test_moments_end_in_at() -> None:
    moments = fields(models.DateTimeField)
    assert moments
    assert [name for name in moments if not name.endswith(("_at", ".at"))] == []


def test_every_template_is_used() -> None:
    pages = templates()
    words = [file.read_text() for file in sources()] + list(pages.values())
    used = set(re.findall(r"""["']([\w/.-]+\.(?:html|txt|xml|js))["']""", "\n".join(words)))
    unused = [name for name in pages if name not in used and not FOUND_BY_DJANGO.match(name)]
    assert unused == []


def test_every_template_can_be_read() -> None:
    for name in templates():
        get_template(name)  # a tag written wrong raises


def test_every_link_in_a_template_leads_somewhere() -> None:
    known = {name for name, _ in routes()}
    links = {
        (page, link)
        for page, text in templates().items()
        for link in re.findall(r"""{%\s*url\s+["']([^"']+)["']""", text)
    }
    assert links
    assert sorted(each for each in links if each[1] not in known) == []


def test_every_page_named_in_the_code_is_there() -> None:
    known = {name for name, _ in routes()}
    address = re.compile(rf"""["']((?:{"|".join(APPS)}):[a-z][a-z-]*)["']""")
    named = {(file.name, each) for file in sources() for each in address.findall(file.read_text())}
    assert named
    assert sorted(each for each in named if each[1] not in known) == []


def test_templates_hold_no_script_and_no_style() -> None:
    markup = {
        page: re.sub(r"{%.*?%}|{{.*?}}|{#.*?#}", "", text) for page, text in templates().items()
    }
    barred = re.compile(
        r"""<script(?![^>]*\ssrc=)(?![^>]*\stype="application/json")[^>]*>|<style\b|\sstyle\s*=|\s(?:hx-)?on[a-z:-]+\s*=|javascript:""",
        re.IGNORECASE,
    )
    assert [
        (page, barred.findall(text)) for page, text in markup.items() if barred.search(text)
    ] == []


def test_nothing_is_left_for_later() -> None:
    later = re.compile("|".join(("TO" + "DO", "FIX" + "ME", "XX" + "X")))
    texts = {str(file.relative_to(ROOT)): file.read_text() for file in sources()}
    assert [name for name, text in (texts | templates()).items() if later.search(text)] == []
