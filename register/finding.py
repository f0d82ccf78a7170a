"""Which item or person a scanned or typed text names, or the sentence why it names none."""

from __future__ import annotations

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from register.models import Item, Person, Tag
from register.refusal import Refusal
from register.rules import tags
from register.rules.serials import serial_key


def item_named(rows: QuerySet[Item], text: str) -> Item:
    """The one item among the rows that the text names, or a refusal that says what to do.

    A sound tag decides alone. A text that is no sound tag may be a serial; only where it is none
    either is it told as mistyped, and never as 'not found'.
    """
    read = tags.read(text)
    if read.problem == "empty":
        raise Refusal("empty", _("Scan a tag, or type its code or the serial."))
    if read.code:
        return _tagged(rows, read.code)
    found = list(rows.filter(serial_key=serial_key(text))[:2]) if serial_key(text) else []
    if len(found) == 1:
        return found[0]
    if found:
        raise Refusal(
            "serial-shared",
            _("Several items have the serial “%(text)s”. Scan the tag instead.") % {"text": text},
        )
    raise Refusal(read.problem or "not-a-tag", why_no_tag(text))


def why_no_tag(text: str) -> str:
    """The sentence for a text that no tag reads and no item has as its serial."""
    if tags.read(text).problem == "mistyped":
        return _(
            "“%(text)s” is mistyped: no tag reads like that. Compare with the tag and type it"
            " again."
        ) % {"text": text[:40]}
    return _("“%(text)s” is no tag, and no item at your sites has it as its serial.") % {
        "text": text[:40]
    }


def _tagged(rows: QuerySet[Item], code: str) -> Item:
    item = rows.filter(pk__in=Tag.objects.filter(code=code).values("item")).first()
    if item is None:
        raise Refusal(
            "unknown-tag",
            _("No item at your sites has the tag %(shown)s. Put it aside and ask stores.")
            % {"shown": tags.shown(code)},
        )
    return item


def person_named(rows: QuerySet[Person], text: str) -> Person:
    """The one person whose name the text is, or is a part of; else a refusal."""
    words = " ".join(text.split())
    if not words:
        raise Refusal("person-missing", _("Say who takes it."))
    exact = list(rows.filter(name__iexact=words)[:2])
    found = exact or list(rows.filter(name__icontains=words)[:5])
    if len(found) == 1:
        return found[0]
    if len(exact) > 1:
        raise Refusal("person-shared", _shared(exact))
    if found:
        names = ", ".join(person.name for person in found)
        raise Refusal(
            "person-unclear",
            _("“%(words)s” may be %(names)s. Type more of the name.")
            % {"words": words, "names": names},
        )
    raise Refusal(
        "person-unknown", _("No one at your sites is called “%(words)s”.") % {"words": words}
    )


def _shared(people: list[Person]) -> str:
    where = _(" and ").join(
        f"{one.name} ({one.employer or _('employer not recorded')})" for one in people
    )
    return _(
        "Two people have this name: %(where)s. Make their names differ under People first."
    ) % {"where": where}
