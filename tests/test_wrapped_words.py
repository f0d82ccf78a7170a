"""No page holds a word that a translator never sees."""

import re

from tests.test_architecture import templates

NAMES = {"Tallyhook", "en", "gb", "kg"}  # alike in every language
ASIDE = re.compile(
    r"{#.*?#}|{%\s*comment\b.*?endcomment\s*%}|{%\s*blocktranslate\b.*?endblocktranslate\s*%}"
    r"|{%\s*block body_class\s*%}[^{]*|<!--.*?-->|<!doctype[^>]*>",
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
