"""No page and no form holds a word that a translator never sees."""

import ast
import importlib
import pkgutil
import re
from collections.abc import Iterator

from django import forms
from django.utils.functional import Promise

from tests.test_architecture import APPS, ROOT, sources, templates

NAMES = {"Tallyhook", "en", "gb", "kg"}  # alike in every language
ASIDE = re.compile(
    r"{#.*?#}|{%\s*comment\b.*?endcomment\s*%}|{%\s*blocktranslate\b.*?endblocktranslate\s*%}"
    r"|{%\s*block body_class\s*%}[^{]*|<!--.*?-->|<!doctype[^>]*>"
    r"|<script [^>]*application/json.*?</script>",
    re.DOTALL,
)
CODE = re.compile(r"{{.*?}}|{%.*?%}", re.DOTALL)
MARKUP = re.compile(r"""<(?:"[^"]*"|'[^']*'|[^<>"'])*>""")
SHOWN = re.compile(r"""\s(?:title|placeholder|aria-label|alt|data-label|label)=("[^"]*"|'[^']*')""")
# What is handed to a filter or to another template, and is not marked by _( ); a part may be handed
# a code, such as the name of a style.
DEFAULT = re.compile(r"""\|(?:default(?:_if_none)?|yesno):("[^"]*"|'[^']*')""")
HANDED = re.compile(r"""\s\w+=("[^"]*"|'[^']*')""")
CODE_WORD = re.compile(r"[a-z_][\w.:/-]*$")
LETTERS = re.compile(r"[^\W\d_]{2,}")


def words(text: str) -> list[str]:
    plain = re.sub(r"&#?\w+;", " ", text)
    return [word for word in LETTERS.findall(plain) if word not in NAMES]


def unwrapped(page: str) -> list[str]:
    """Texts between tags, in the attributes that are read out, and handed to filters and parts."""
    bare = ASIDE.sub("", page)
    code = " ".join(CODE.findall(bare))
    handed = [each for each in HANDED.findall(code) if not CODE_WORD.match(each[1:-1])]
    bare = CODE.sub("", bare)
    read_out = [each for tag in MARKUP.findall(bare) for each in SHOWN.findall(tag)]
    between = MARKUP.split(bare)
    return [
        each.strip()
        for each in (*DEFAULT.findall(code), *handed, *read_out, *between)
        if words(each)
    ]


def test_every_word_of_a_page_can_be_translated() -> None:
    found = {name: unwrapped(page) for name, page in templates().items()}
    assert {name: texts for name, texts in found.items() if texts} == {}


def test_what_is_not_wrapped_is_found() -> None:
    assert unwrapped('<p title="A word">{{ code|default:"no code" }} Out of use.</p>') == [
        '"no code"',
        '"A word"',
        "Out of use.",
    ]
    assert unwrapped('<p title="{% translate "A word" %}">{% translate "Out." %}</p>') == []


def form_classes() -> list[type[forms.BaseForm]]:
    for app in APPS:
        package = importlib.import_module(f"{app}.forms")
        for module in pkgutil.iter_modules(package.__path__):
            importlib.import_module(f"{app}.forms.{module.name}")
    found, left = [], [forms.BaseForm]
    while left:
        below = left.pop().__subclasses__()
        found += below
        left += below
    return [each for each in found if each.__module__.partition(".")[0] in APPS]


def fixed(form: type[forms.BaseForm]) -> Iterator[str]:
    """Fields of a form whose name, hint or choices stay in the language of the start of the server.

    A field without any label is one that the page names itself.
    """
    for name, field in getattr(form, "base_fields", {}).items():
        choices = [] if hasattr(field, "queryset") else getattr(field, "choices", [])
        texts = [field.label, field.help_text, *(text for _slug, text in choices)]
        shown = [text for text in texts if text and text != "-" * 9]
        if not all(isinstance(text, Promise | list | tuple) for text in shown):
            yield f"{form.__module__}.{form.__name__}.{name}"


def test_every_name_and_hint_of_a_form_is_translated_when_it_is_shown() -> None:
    classes = form_classes()
    assert len(classes) > 50
    assert [each for form in classes for each in fixed(form)] == []


AT_ONCE = {"_", "gettext", "ngettext", "pgettext", "npgettext"}


def eager(tree: ast.AST) -> Iterator[int]:
    """Lines on which a text is translated while its module is read: once, for all readers."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            continue
        called = node.func if isinstance(node, ast.Call) else None
        if isinstance(called, ast.Name) and called.id in AT_ONCE:
            yield node.lineno
        yield from eager(node)


def test_no_text_is_translated_before_anybody_asks() -> None:
    assert list(eager(ast.parse('NAME = _("Name")'))) == [1]
    assert list(eager(ast.parse('def name():\n    return _("Name")'))) == []
    found = {file: list(eager(ast.parse(file.read_text()))) for file in sources()}
    assert {str(file.relative_to(ROOT)): lines for file, lines in found.items() if lines} == {}
