"""The forms of goods in: the common particulars once, then each piece by eye."""

from __future__ import annotations

from collections import Counter
from typing import Any

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from register.access import sites_for
from register.forms.asking import PlainForm
from register.forms.days import day_field
from register.models import Document, Product, Site, User
from register.rules.classes import CLASS_CHOICES, USE_CLASS_CHOICES
from register.rules.lifespan import DateSpan, read_span
from register.rules.serial_range import MOST_SERIALS, serial_range
from register.rules.serials import serial_key
from register.wording import named

MOST_BYTES = 20 * 1024 * 1024  # a scanned declaration is a few hundred kB
NEW_PRODUCT = ("maker", "designation", "equipment_class")


def refuse_large(upload: UploadedFile[Any]) -> None:
    """A declaration is a page or two; something larger is the wrong file."""
    if (upload.size or 0) > MOST_BYTES:
        most = MOST_BYTES // 1024 // 1024
        raise forms.ValidationError(
            _("“%(upload)s” is larger than %(most)s MB: is it this file?")
            % {"upload": upload.name, "most": most}
        )


class DeliveryForm(PlainForm):
    """What all pieces of a delivery share, and their serials as the labels say."""

    product = forms.ModelChoiceField(
        Product.objects.all(),
        label=gettext_lazy("Product"),
        required=False,
        empty_label=gettext_lazy("A new product"),
    )
    maker = forms.CharField(label=gettext_lazy("Maker"), max_length=80, required=False)
    designation = forms.CharField(label=gettext_lazy("Model"), max_length=80, required=False)
    equipment_class = forms.ChoiceField(
        label=gettext_lazy("Class"),
        required=False,
        choices=[("", gettext_lazy("Choose a class")), *named(CLASS_CHOICES)],
    )
    standards = forms.CharField(
        label=gettext_lazy("Standards marked"), max_length=120, required=False
    )
    max_user_kg = forms.IntegerField(
        label=gettext_lazy("Rated to (kg)"), required=False, min_value=1, max_value=1000
    )
    site = forms.ModelChoiceField(
        Site.objects.none(), label=gettext_lazy("Received at"), empty_label=None
    )
    received_on = day_field(gettext_lazy("Received on"))
    supplier = forms.CharField(label=gettext_lazy("Supplier"), max_length=120, required=False)
    order_number = forms.CharField(
        label=gettext_lazy("Order number"), max_length=60, required=False
    )
    delivery_note = forms.CharField(label=gettext_lazy("Delivery note"), max_length=60)
    declaration = forms.FileField(
        label=gettext_lazy("Declaration of conformity"),
        required=False,
        validators=[refuse_large],
        help_text=gettext_lazy("One file for all pieces. It can follow later."),
    )
    kept = forms.CharField(required=False, widget=forms.HiddenInput)
    declaration_on = day_field(gettext_lazy("Date of the declaration"), required=False)
    made = forms.CharField(
        label=gettext_lazy("Made"),
        help_text=gettext_lazy(
            "As exactly as the label says: 2026-03-09, 2026-03, 2026-W11 or 2026."
        ),
    )
    size = forms.CharField(label=gettext_lazy("Size"), max_length=20, required=False)
    batch = forms.CharField(label=gettext_lazy("Batch"), max_length=60, required=False)
    use_class = forms.ChoiceField(
        label=gettext_lazy("Conditions of use"), choices=named(USE_CLASS_CHOICES), initial="normal"
    )
    owner = forms.CharField(
        label=gettext_lazy("Owner, if hired in"), max_length=120, required=False
    )
    hire_end_on = day_field(
        gettext_lazy("Hire ends on"),
        required=False,
        help_text=gettext_lazy("The last day on which they may be used here."),
    )
    first = forms.CharField(
        label=gettext_lazy("First serial"),
        max_length=60,
        required=False,
        help_text=gettext_lazy("Such as HT-0098; leading zeros stay."),
    )
    count = forms.IntegerField(
        label=gettext_lazy("How many"), required=False, min_value=1, max_value=MOST_SERIALS
    )
    serials = forms.CharField(
        label=gettext_lazy("Serials, one a line"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 10, "spellcheck": "false", "autocomplete": "off"}),
        help_text=gettext_lazy("Scan or type each exactly as marked."),
    )

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["site"].queryset = sites_for(user, "item.receive")  # type: ignore[attr-defined]

    def clean_made(self) -> DateSpan:
        try:
            return read_span(self.cleaned_data["made"])
        except ValueError as error:
            raise forms.ValidationError(
                _("Write the year, month, week or day as 2026, 2026-03, 2026-W11 or 2026-03-09.")
            ) from error

    def clean_kept(self) -> Document | None:
        """The declaration kept at an earlier step, known by its hash."""
        sha256 = self.cleaned_data["kept"]
        kind = Document.Kind.DECLARATION
        return Document.objects.filter(sha256=sha256, kind=kind).first() if sha256 else None

    def clean_serials(self) -> list[str]:
        """The serials without doubles of one another."""
        lines = [line.strip() for line in self.cleaned_data["serials"].splitlines()]
        serials = [line for line in lines if line]
        if not serials:
            raise forms.ValidationError(_("Enter at least one serial, or fill a range."))
        if len(serials) > MOST_SERIALS:
            raise forms.ValidationError(
                _("More than %(MOST_SERIALS)s serials: make two deliveries.")
                % {"MOST_SERIALS": MOST_SERIALS}
            )
        if twice := doubled(serials):
            raise forms.ValidationError(
                _("Entered twice: %(twice)s. Look at both labels.") % {"twice": ", ".join(twice)}
            )
        return serials

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not cleaned.get("product"):
            for name in NEW_PRODUCT:
                if not cleaned.get(name):
                    self.add_error(name, _("A new product needs this; else choose one above."))
        if cleaned.get("owner") and not cleaned.get("hire_end_on"):
            self.add_error("hire_end_on", _("Say until when they are hired."))
        if cleaned.get("hire_end_on") and not cleaned.get("owner"):
            self.add_error("owner", _("Say whose they are."))
        if self._declared(cleaned) and not cleaned.get("declaration_on"):
            self.add_error("declaration_on", _("Read the date from the declaration."))
        return cleaned

    @staticmethod
    def _declared(cleaned: dict[str, Any]) -> bool:
        return bool(cleaned.get("declaration") or cleaned.get("kept"))


class PieceForm(PlainForm):
    """One piece, its label looked at."""

    serial = forms.CharField(
        label=gettext_lazy("Serial"),
        max_length=60,
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
    )
    size = forms.CharField(label=gettext_lazy("Size"), max_length=20, required=False)
    seen = forms.BooleanField(
        label=gettext_lazy("Label read"),
        error_messages={"required": gettext_lazy("Read this label and tick it.")},
    )


class Pieces(forms.BaseFormSet[PieceForm]):
    """Every piece of a delivery; a serial stands once, and none may be left out unread."""

    def get_form_kwargs(self, index: int | None) -> dict[str, Any]:
        return {**super().get_form_kwargs(index), "empty_permitted": False}

    def clean(self) -> None:
        serials = [form.cleaned_data.get("serial", "") for form in self.forms]
        if twice := doubled([serial for serial in serials if serial]):
            raise forms.ValidationError(
                _("Entered twice: %(twice)s. Look at both labels.") % {"twice": ", ".join(twice)}
            )


PieceFormSet = forms.formset_factory(
    PieceForm, formset=Pieces, extra=0, max_num=MOST_SERIALS, absolute_max=MOST_SERIALS
)


class DeclarationForm(PlainForm):
    """The declaration that was missing."""

    declaration = forms.FileField(
        label=gettext_lazy("Declaration of conformity"), validators=[refuse_large]
    )
    declaration_on = day_field(gettext_lazy("Date of the declaration"))


def doubled(serials: list[str]) -> list[str]:
    """The serials that stand more than once, however they are spelt."""
    counted = Counter(serial_key(serial) for serial in serials)
    return [serial for serial in serials if counted[serial_key(serial)] > 1]


def filled(first: str, count: str, serials: str) -> tuple[str, str]:
    """The serials with the range added at their end, and what is wrong with the range, or ''."""
    try:
        more = serial_range(first, int(count))
    except ValueError as error:
        wrong = str(error) if count.strip().isdecimal() else _("Say how many there are.")
        return serials, wrong
    lines = [line for line in serials.splitlines() if line.strip()]
    return "\n".join([*lines, *more]), ""
