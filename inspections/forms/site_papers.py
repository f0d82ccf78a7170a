"""What is printed of a whole site: many papers at once, or an audit pack as at any day."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.documents.audit_pack import EVERY, SAMPLES
from inspections.models import Round
from register.documents.kinds import kinds
from register.forms.asking import PlainForm
from register.forms.days import DayInput
from register.forms.papers import PrintForm
from register.models import Employer, Item, Kit, PaperSize, Site
from register.rules.classes import CLASS_CHOICES
from register.wording import named

BY_ITEM = ("equipment-record",)
BY_KIT = ("kit-card",)
BY_ROUND = ("round-certificate",)
OFFERED = (*BY_ITEM, *BY_KIT, *BY_ROUND)


class BatchForm(PrintForm):
    """Which papers, of which class, in which language and size."""

    kind = forms.ChoiceField(label=gettext_lazy("Paper"))
    equipment_class = forms.ChoiceField(
        label=gettext_lazy("Only this class"),
        required=False,
        choices=[("", gettext_lazy("Every class")), *named(CLASS_CHOICES)],
    )
    field_order = ("kind", "equipment_class", "language", "size")

    def __init__(self, *args: Any, site: Site, **kwargs: Any) -> None:
        super().__init__(*args, sizes=(PaperSize.A4, PaperSize.LETTER), **kwargs)
        self.site = site
        known = kinds()
        offered = [(slug, _(known[slug].name)) for slug in OFFERED if slug in known]
        self.fields["kind"].choices = offered  # type: ignore[attr-defined]

    def subjects(self) -> list[tuple[str]]:
        """The keys of what the papers are about, in the order in which they are printed."""
        if self.cleaned_data["kind"] in BY_KIT:
            kits = Kit.objects.filter(item__site=self.site).order_by("name")
            return [(str(pk),) for pk in kits.values_list("pk", flat=True)]
        if self.cleaned_data["kind"] in BY_ROUND:
            rounds = Round.objects.filter(site=self.site, signed_at__isnull=False)
            return [(str(pk),) for pk in rounds.order_by("signed_at").values_list("pk", flat=True)]
        items = Item.objects.filter(site=self.site).exclude(condition__in=["destroyed", "left"])
        if chosen := self.cleaned_data["equipment_class"]:
            items = items.filter(product__equipment_class=chosen)
        return [(str(pk),) for pk in items.order_by("code").values_list("pk", flat=True)]


class AuditForm(PlainForm):
    """As at which day, and of how many pieces the record is printed."""

    on = forms.DateField(label=gettext_lazy("As at"), widget=DayInput())
    sample = forms.TypedChoiceField(
        label=gettext_lazy("Records to print"),
        coerce=int,
        help_text=gettext_lazy("Of every piece in a table; on paper of these."),
    )

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        kwargs.setdefault("initial", {"on": today, "sample": SAMPLES[1]})
        super().__init__(*args, **kwargs)
        self.today = today
        drawn = [(n, _("%(n)d drawn at random") % {"n": n}) for n in SAMPLES if n]
        choices = [(0, _("None, the tables alone")), *drawn, (EVERY, _("Of every piece"))]
        self.fields["sample"].choices = choices  # type: ignore[attr-defined]

    def clean_on(self) -> date:
        on: date = self.cleaned_data["on"]
        if on > self.today:
            raise forms.ValidationError(
                _("This day is still to come. Choose today or an earlier one.")
            )
        return on


def paper_size() -> str:
    employer = Employer.objects.first()
    return employer.paper_size if employer else PaperSize.A4
