"""The defects of a finding as they were sent, and their photographs, kept though a form comes back."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.core import signing
from django.http import HttpRequest

from inspections.actions.finding import Flaw
from inspections.forms.defects import KEPT, BaseDefects, DefectForm, DefectFormSet
from register.actions.documents import keep_document
from register.models import Document, Item
from register.telling import stamp_of


def defect_forms(request: HttpRequest, **particulars: Any) -> BaseDefects:
    """The defect forms, filled in with what was sent."""
    day, wanted = particulars.pop("day"), particulars.pop("wanted")
    checklist = particulars.pop("checklist", None)
    sent = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    made: BaseDefects = DefectFormSet(
        *sent, wanted=wanted, form_kwargs={"day": day, "checklist": checklist}, **particulars
    )
    return made


def flaws_of(request: HttpRequest, item: Item, told: Sequence[DefectForm]) -> list[Flaw]:
    """The defects, each with its photograph."""
    return [form.flaw(_photo(request, item, form)) for form in told]


def keep_photos(request: HttpRequest, item: Item, defects: BaseDefects) -> None:
    """A form that comes back keeps its sound photographs: a browser never sends a file again."""
    for form in defects.forms:
        photo = _photo(request, item, form)
        if photo:
            form.data = form.data.copy()
            form.data[form.add_prefix("photo_kept")] = signing.dumps(photo.pk, salt=KEPT)
            form.kept_photo = photo  # type: ignore[attr-defined]


def _photo(request: HttpRequest, item: Item, form: DefectForm) -> Document | None:
    told = getattr(form, "cleaned_data", {})
    content: bytes | None = told.get("photo")
    if content:
        name, stamp = f"{item.code}.jpg", stamp_of(request)
        return keep_document(content, name=name, kind=Document.Kind.PHOTO, stamp=stamp)
    kept = told.get("photo_kept")
    return Document.objects.filter(pk=kept).first() if kept else None
