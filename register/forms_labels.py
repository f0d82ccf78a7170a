"""The form of the label page: which items, which sheet, and how much of it is used already."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.db.models import QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from register import labels
from register.access import sites_for
from register.forms.figures import FigureField
from register.models import Delivery, Item, Site, Tag, User
from register.refusal import Refusal
from register.rules import tags
from register.rules.classes import CLASS_CHOICES
from register.rules.conditions import Condition
from register.rules.label_grid import SHEETS, Sheet
from register.wording import named

NEED = "label.print"
OWN_SIZE = "own"
AT_ONCE = 200  # labels drawn while the page is asked for; more are an errand
MOST_LABELS = 10_000
GONE = (Condition.WITHDRAWN, Condition.DESTROYED, Condition.LEFT)
DEFAULTS = {"sheet": "3x8", "used": "0"}


class LabelSheetForm(forms.Form):
    """Items by their tags, by a delivery or by where they are; valid, it has labels and a sheet."""

    items = forms.CharField(
        label=gettext_lazy("Tags"),
        required=False,
        help_text=gettext_lazy("Typed, pasted or scanned, with commas or new lines between them."),
        widget=forms.Textarea(
            attrs={"rows": 4, "spellcheck": "false", "autocapitalize": "characters"}
        ),
    )
    delivery = forms.ModelChoiceField(
        Delivery.objects.none(),
        label=gettext_lazy("Delivery"),
        required=False,
        empty_label=gettext_lazy("No delivery"),
    )
    site = forms.ModelChoiceField(
        Site.objects.none(),
        label=gettext_lazy("Site"),
        required=False,
        empty_label=gettext_lazy("No site"),
        to_field_name="code",
    )
    equipment_class = forms.ChoiceField(
        label=gettext_lazy("Only this class"),
        required=False,
        choices=[("", gettext_lazy("Every class")), *named(CLASS_CHOICES)],
    )
    sheet = forms.ChoiceField(
        label=gettext_lazy("Sheet"),
        choices=[
            *((slug, gettext_lazy(one.name)) for slug, one in SHEETS.items()),
            (OWN_SIZE, gettext_lazy("Another size")),
        ],
        help_text=gettext_lazy("Columns x rows and the size of one label, as on the box."),
    )
    used = forms.IntegerField(
        label=gettext_lazy("Labels used already"),
        min_value=0,
        help_text=gettext_lazy("On the first sheet, counted row by row from the upper left."),
    )
    columns = forms.IntegerField(
        label=gettext_lazy("Columns"), required=False, min_value=1, max_value=50
    )
    rows = forms.IntegerField(label=gettext_lazy("Rows"), required=False, min_value=1, max_value=50)
    width_mm = FigureField(label=gettext_lazy("Label width (mm)"), required=False)
    height_mm = FigureField(label=gettext_lazy("Label height (mm)"), required=False)
    left_mm = FigureField(label=gettext_lazy("Left margin (mm)"), required=False)
    top_mm = FigureField(label=gettext_lazy("Top margin (mm)"), required=False)
    gap_x_mm = FigureField(label=gettext_lazy("Gap between columns (mm)"), required=False)
    gap_y_mm = FigureField(label=gettext_lazy("Gap between rows (mm)"), required=False)

    items_chosen: list[Item]
    chosen: list[labels.Label]
    paper: Sheet

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        sites = sites_for(user, NEED)
        self.printable = Item.objects.visible_to(user).filter(site__in=sites).with_product()
        self.fields["site"].queryset = sites  # type: ignore[attr-defined]
        deliveries = Delivery.objects.visible_to(user).filter(site__in=sites)
        self.fields["delivery"].queryset = deliveries  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if self.errors:
            return cleaned
        try:
            self.paper = _paper(cleaned)
            labels.refuse_sheet(self.paper, cleaned["used"])
            self.items_chosen = _items(self.printable, cleaned)
            self.chosen = labels.labels_of(self.items_chosen)
            labels.qr_fit(self.paper, self.chosen)
        except Refusal as refusal:
            raise forms.ValidationError(refusal.sentence, code=refusal.code) from refusal
        return cleaned


def _paper(cleaned: dict[str, Any]) -> Sheet:
    if cleaned["sheet"] != OWN_SIZE:
        return SHEETS[cleaned["sheet"]]
    sizes = {name: cleaned[name] for name in ("columns", "rows", "width_mm", "height_mm")}
    if None in sizes.values():
        raise Refusal(
            "no-size", _("For another size give the columns, the rows and the size of one label.")
        )
    margins = {name: cleaned[name] or 0.0 for name in ("left_mm", "top_mm", "gap_x_mm", "gap_y_mm")}
    particulars: dict[str, Any] = sizes | margins
    return Sheet(name=_("another size"), **particulars)


def _items(printable: QuerySet[Item], cleaned: dict[str, Any]) -> list[Item]:
    ways = [name for name in ("items", "delivery", "site") if cleaned[name]]
    if len(ways) != 1:
        raise Refusal(
            "one-of-three", _("Choose the items in one way: by tags, by a delivery or by a site.")
        )
    if cleaned["items"]:
        found = items_by_code(printable, cleaned["items"])
    elif cleaned["delivery"]:
        found = list(printable.filter(delivery=cleaned["delivery"]).order_by("serial_key", "code"))
    else:
        found = list(_at_site(printable, cleaned["site"], cleaned["equipment_class"]))
    _refuse_count(len(found))
    return found


def _at_site(printable: QuerySet[Item], site: Site, equipment_class: str) -> QuerySet[Item]:
    there = printable.filter(site=site).exclude(condition__in=GONE)
    if equipment_class:
        there = there.filter(product__equipment_class=equipment_class)
    return there.order_by("product", "serial_key", "code")[: MOST_LABELS + 1]


def _refuse_count(count: int) -> None:
    if not count:
        raise Refusal("nothing-to-print", _("No item is there to print a label for."))
    if count > MOST_LABELS:
        raise Refusal(
            "too-many",
            _("More than %(most)d labels in one go. Choose one class, or print by delivery.")
            % {"most": MOST_LABELS},
        )


def items_by_code(printable: QuerySet[Item], text: str) -> list[Item]:
    """The items of the tags in a text, in its order and each once; refuses what it cannot find."""
    codes = _codes(text)
    found = {item.code: item for item in printable.filter(code__in=codes)}
    missing = [code for code in codes if code not in found]
    if missing:
        raise Refusal("not-found", _not_found(printable, missing))
    return [found[code] for code in codes]


def _codes(text: str) -> list[str]:
    reads = {part: tags.read(part) for part in _parts(text)}
    wrong = [part for part, read in reads.items() if not read.code]
    if wrong:
        raise Refusal(
            "mistyped",
            _("No tag can read %(texts)s. Compare with the label and type it again.")
            % {"texts": _quoted(wrong)},
        )
    return list(dict.fromkeys(read.code for read in reads.values() if read.code))


def _parts(text: str) -> list[str]:
    """Parts between commas and new lines; 'H7K 2PD3' is one tag, 'H7K-2PD3 M4R-8XTC' are two."""
    parts: list[str] = []
    for part in re.split(r"[,;\n\r\t]+", text):
        words = part.split()
        parts += [part.strip()] if tags.read(part).code else words
    return [part for part in parts if part]


def _not_found(printable: QuerySet[Item], missing: list[str]) -> str:
    """Says which tag took the place of an old one, where that is why."""
    old = Tag.objects.filter(code__in=missing, item__in=printable).select_related("item").first()
    if old:
        return _("Tag %(old)s was replaced by %(new)s. Print that one instead.") % {
            "old": tags.shown(old.code),
            "new": old.item.shown_code,
        }
    return _("At your sites no item has the tag %(codes)s.") % {
        "codes": _quoted(tags.shown(code) for code in missing)
    }


def _quoted(texts: Iterable[str]) -> str:
    """The first few of them, in quotes."""
    every = [f"“{text}”" for text in texts]
    more = len(every) - 5
    return ", ".join(every[:5]) + (_(" and %(more)d more") % {"more": more} if more > 0 else "")
