"""Who may inspect what, until when; only a pass within these moves a clock."""

from __future__ import annotations

from datetime import date

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from inspections.actions.authorising import Evidence, authorise
from inspections.forms.authorisation import AuthorisationForm
from inspections.models import Authorisation
from inspections.wording import kind_name
from register import clock
from register.access import may, needs
from register.models import Person
from register.refusal import Refusal
from register.telling import stamp_of
from register.wording import class_name


@needs("authorisation.see")
def authorisation_list(request: HttpRequest) -> HttpResponse:
    """Every authorisation of the people the user sees, those that end first at the top."""
    people = Person.objects.visible_to(request.user)
    given = Authorisation.objects.filter(person__in=people).select_related(
        "person", "given_by__person"
    )
    today = clock.now().date()
    rows = [_row(one, today) for one in given.order_by("through_on", "person__name")]
    rows.sort(key=lambda row: row["state"] == "lapsed")
    page = {"rows": rows, "may_give": may(request.user, "authorisation.give")}
    return render(request, "inspections/authorisation_list.html", page)


def _row(one: Authorisation, today: date) -> dict[str, object]:
    state = _("in force") if one.from_on <= today else _("to come")
    return {
        "given": one,
        "classes": ", ".join(class_name(slug) for slug in one.classes) or _("every class"),
        "kinds": ", ".join(kind_name(slug) for slug in one.kinds) or _("every kind"),
        "state": "lapsed" if one.through_on < today else state,
    }


@needs("authorisation.give")
def authorisation_new(request: HttpRequest) -> HttpResponse:
    """Let a person inspect these classes by these kinds."""
    form = AuthorisationForm(request.POST or None, user=request.user, day=clock.now().date())
    if form.is_valid():
        told = dict(form.cleaned_data)
        person = told.pop("person")
        evidence = Evidence(told.pop("basis"), told.pop("independence"))
        try:
            authorise(person, evidence=evidence, stamp=stamp_of(request), **told)
        except Refusal as refusal:
            form.add_error(None, refusal.sentence)
        else:
            messages.success(request, _("%(person)s may inspect now.") % {"person": person})
            return redirect("inspections:authorisation-list")
    return render(request, "inspections/authorisation_new.html", {"form": form})
