"""The forms of safety notices: what the issuer says, and what is done about one item."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.actions.notices import problem_of, refuse_known
from inspections.matching import products_meant
from inspections.models import Notice
from inspections.notice_wording import notice_problem, outcome_name
from inspections.rules.notice_kinds import NOTICE_KIND_CHOICES, Outcome
from inspections.rules.notice_match import ProductName, Rule
from inspections.rules.serial_order import RangeProblem, SerialRange, read_range
from register.forms.asking import PlainForm
from register.forms.days import day_field
from register.forms.deliveries import refuse_large
from register.models import Document, Item, Product
from register.refusal import Refusal
from register.rules.lifespan import DateSpan, read_span
from register.wording import named

_PLAIN = {"spellcheck": "false", "autocomplete": "off"}
_FIELD_OF = {
    "rule-empty": "products",
    "before-received": "deadline_on",
    "deadline-missing": "deadline_on",
    "deadline-not-for-this-kind": "deadline_on",
}
_TOLD = (
    *("issuer", "reference", "kind", "received_on", "text", "instructions", "deadline_on"),
    *("made_from_on", "made_through_on", "sold_from_on", "sold_through_on"),
)


def _lines(label: str, *, rows: int, **particulars: Any) -> forms.CharField:
    attrs = {**_PLAIN, "rows": rows}
    widget = forms.Textarea(attrs=attrs)
    return forms.CharField(label=label, required=False, widget=widget, **particulars)


class NoticeForm(PlainForm):
    """A safety notice as it was received; every part of the rule that is given must hold."""

    issuer = forms.CharField(
        label=gettext_lazy("Issuer"),
        max_length=120,
        help_text=gettext_lazy("The maker, or the authority."),
    )
    reference = forms.CharField(label=gettext_lazy("Reference"), max_length=60)
    received_on = day_field(gettext_lazy("Received on"))
    kind = forms.ChoiceField(label=gettext_lazy("What it asks"), choices=named(NOTICE_KIND_CHOICES))
    deadline_on = day_field(
        gettext_lazy("Last day of use"),
        required=False,
        help_text=gettext_lazy(
            "For “use until a date”; with “inspect before further use”, if it sets one."
        ),
    )
    text = forms.CharField(
        label=gettext_lazy("What it says"), widget=forms.Textarea(attrs={"rows": 4})
    )
    instructions = forms.CharField(
        label=gettext_lazy("Special inspection: what to look at"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    document = forms.FileField(
        label=gettext_lazy("The notice itself"), required=False, validators=[refuse_large]
    )
    kept = forms.CharField(required=False, widget=forms.HiddenInput)
    products = forms.ModelMultipleChoiceField(
        Product.objects.all(),
        label=gettext_lazy("Products in the register"),
        required=False,
        widget=forms.SelectMultiple(attrs={"size": 8}),
        help_text=gettext_lazy("Choose every product the notice names."),
    )
    others = _lines(
        gettext_lazy("Products not in the list"),
        rows=2,
        help_text=gettext_lazy(
            "One a line, as maker; model. The maker alone means all its models."
        ),
    )
    serials = _lines(
        gettext_lazy("Serials"),
        rows=4,
        help_text=gettext_lazy(
            "One a line: A0990 to A1010, from A2000, to A0100, or a single serial."
        ),
    )
    batches = _lines(gettext_lazy("Batches"), rows=4, help_text=gettext_lazy("One a line."))
    made_from_on = day_field(gettext_lazy("Made from"), required=False)
    made_through_on = day_field(gettext_lazy("Made through"), required=False)
    sold_from_on = day_field(gettext_lazy("Sold to us from"), required=False)
    sold_through_on = day_field(gettext_lazy("Sold to us through"), required=False)

    def clean_kept(self) -> Document | None:
        """The file kept at an earlier step, known by its hash."""
        sha256 = self.cleaned_data["kept"]
        found = Document.objects.filter(sha256=sha256, kind=Document.Kind.EVIDENCE)
        return found.first() if sha256 else None

    def clean_others(self) -> list[list[str]]:
        names = []
        for line in _split(self.cleaned_data["others"]):
            maker, _semicolon, model = (part.strip() for part in line.partition(";"))
            if not maker:
                raise forms.ValidationError(
                    _("“%(line)s” names no maker: write maker; model.") % {"line": line}
                )
            names.append([maker, model])
        return names

    def clean_serials(self) -> list[list[str]]:
        found, wrong = [], []
        for line in _split(self.cleaned_data["serials"]):
            try:
                one = read_range(line)
            except RangeProblem as problem:
                wrong.append(notice_problem(problem.code, problem.line))
            else:
                found.append([one.begin, one.end])
        if wrong:
            raise forms.ValidationError(wrong)
        return found

    def clean_batches(self) -> list[str]:
        return list(dict.fromkeys(_split(self.cleaned_data["batches"])))

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if self.errors:
            return cleaned
        notice = self.notice()
        code, line = problem_of(notice)
        if code:
            self.add_error(_field_for(code, line), notice_problem(code, line))
        try:
            self.refuse_name(notice)
        except Refusal as refusal:
            self.add_error("reference", refusal.sentence)
        return cleaned

    def refuse_name(self, notice: Notice) -> None:
        """A notice is entered once; another version of it is made from its own page."""
        refuse_known(notice)

    def notice(self) -> Notice:
        """The notice as told, not yet saved."""
        told = self.cleaned_data
        chosen = [[one.maker, one.designation] for one in told["products"]]
        return Notice(
            products=[*chosen, *told["others"]],
            serials=told["serials"],
            batches=told["batches"],
            document=told["kept"],
            **{name: told[name] for name in _TOLD},
        )


class ReviseForm(NoticeForm):
    """The next version of a notice: filled in as it stands, and why it changes."""

    because = forms.CharField(
        label=gettext_lazy("What has changed, and who says so"),
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def __init__(self, *args: Any, old: Notice, **kwargs: Any) -> None:
        super().__init__(*args, initial=as_told(old), **kwargs)
        self.old = old
        for name in ("issuer", "reference"):
            self.fields[name].disabled = True

    def refuse_name(self, notice: Notice) -> None:
        """It keeps the name of the version before."""


class ReasonForm(PlainForm):
    """Why."""

    because = forms.CharField(
        label=gettext_lazy("Why, and who says so"),
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 3}),
    )


class ToldForm(PlainForm):
    """Who was told, and how."""

    how = forms.CharField(
        label=gettext_lazy("Who was told, and how"),
        max_length=120,
        help_text=gettext_lazy("Such as: by phone to the holder, who has laid it aside."),
    )


class SettleForm(PlainForm):
    """How a notice ended for one item, and how that is known."""

    outcome = forms.ChoiceField(label=gettext_lazy("How it ended"), widget=forms.RadioSelect)
    because = forms.CharField(
        label=gettext_lazy("How you know"), max_length=300, widget=forms.Textarea(attrs={"rows": 3})
    )

    def __init__(self, *args: Any, outcomes: Sequence[Outcome], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["outcome"]
        field.choices = [(one.slug, outcome_name(one.slug)) for one in outcomes]  # type: ignore[attr-defined]


class LabelForm(PlainForm):
    """What the maker's label says; what cannot be read stays empty."""

    serial = forms.CharField(
        label=gettext_lazy("Serial, as marked"),
        max_length=60,
        required=False,
        widget=forms.TextInput(attrs=_PLAIN),
    )
    batch = forms.CharField(
        label=gettext_lazy("Batch"),
        max_length=60,
        required=False,
        widget=forms.TextInput(attrs=_PLAIN),
    )
    made = forms.CharField(
        label=gettext_lazy("Made"),
        required=False,
        help_text=gettext_lazy(
            "As exactly as the label says: 2026-03-09, 2026-03, 2026-W11 or 2026."
        ),
    )
    how = forms.CharField(
        label=gettext_lazy("Who read it, and how"),
        max_length=120,
        help_text=gettext_lazy("Such as: in the hand; from a photograph sent by the holder."),
    )

    def clean_made(self) -> DateSpan | None:
        text = self.cleaned_data["made"].strip()
        try:
            return read_span(text) if text else None
        except (ValueError, OverflowError) as error:
            raise forms.ValidationError(
                _("Write the year, month, week or day as 2026, 2026-03, 2026-W11 or 2026-03-09.")
            ) from error


def as_told(notice: Notice) -> dict[str, Any]:
    """A notice as its form shows it."""
    rule = Rule(products=tuple(ProductName(*names) for names in notice.products))
    known = products_meant(rule) if rule.products else []
    chosen, others = [], []
    for maker, model in notice.products:
        name = ProductName(maker, model)
        same = [one for one in known if model and name.names(one.maker, one.designation)]
        chosen += [one.pk for one in same]
        others += [] if same else [f"{maker}; {model}" if model else maker]
    return {
        **{name: getattr(notice, name) for name in _TOLD},
        "kept": notice.document.sha256 if notice.document else "",
        "products": chosen,
        "others": "\n".join(others),
        "serials": "\n".join(str(SerialRange(*ends)) for ends in notice.serials),
        "batches": "\n".join(notice.batches),
    }


def label_on_record(item: Item) -> dict[str, Any]:
    """What stands on record, for the form to start from; the made date only if it is to the day."""
    made: date | None = item.made_first_on if item.made_precision == "day" else None
    return {"serial": item.serial, "batch": item.batch, "made": made.isoformat() if made else ""}


def _split(text: str) -> list[str]:
    return [line.strip() for line in text.splitlines() if line.strip()]


def _field_for(code: str, line: str) -> str | None:
    if code == "days-reversed":
        return "made_through_on" if line == "manufacture" else "sold_through_on"
    return _FIELD_OF.get(code, "serials")
