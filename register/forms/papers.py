"""The forms about papers: who issues them, how one is printed, and a file to be looked at."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.conf import settings
from django.core.exceptions import ValidationError
from django.utils.translation import get_language, gettext_lazy
from django.utils.translation import gettext as _

from register.documents.sealing import LARGEST
from register.forms.asking import PlainForm
from register.models import Employer, PaperSize


class EmployerForm(PlainForm):
    """What stands on the head of every paper."""

    name = forms.CharField(label=gettext_lazy("Name of the employer"), max_length=120)
    address = forms.CharField(
        label=gettext_lazy("Address"),
        max_length=200,
        help_text=gettext_lazy("Reports of examination must tell it."),
    )
    paper_size = forms.ChoiceField(label=gettext_lazy("Paper size"), choices=PaperSize.choices[:2])


class PrintForm(PlainForm):
    """In which language, and on what paper."""

    language = forms.ChoiceField(label=gettext_lazy("Language"))
    size = forms.ChoiceField(label=gettext_lazy("Paper size"))

    def __init__(self, *args: Any, sizes: Sequence[str], **kwargs: Any) -> None:
        employer = Employer.objects.first()
        size = employer.paper_size if employer else PaperSize.A4
        kwargs.setdefault("initial", {"language": get_language(), "size": size})
        super().__init__(*args, **kwargs)
        self.fields["language"].choices = settings.LANGUAGES  # type: ignore[attr-defined]
        offered = [(size, PaperSize(size).label) for size in sizes]
        self.fields["size"].choices = offered  # type: ignore[attr-defined]


class PaperFileForm(PlainForm):
    """A file that somebody was given."""

    file = forms.FileField(label=gettext_lazy("The file you were given"))

    def clean_file(self) -> Any:
        file = self.cleaned_data["file"]
        if file.size > LARGEST:
            raise ValidationError(
                _("This file is larger than %(mb)d MB; no paper of ours is. Choose another.")
                % {"mb": LARGEST // 1024 // 1024}
            )
        return file
