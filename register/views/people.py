"""The people of the register: the list, a new one, a change."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _

from register.access import demand, needs
from register.actions.people import add_person, change_person
from register.forms.people import PersonChangeForm, PersonForm
from register.lists.people import people_shown
from register.models import Person
from register.telling import kept, stamp_of

PEOPLE_A_PAGE = 100


@needs("person.see")
def person_list(request: HttpRequest) -> HttpResponse:
    words = " ".join(request.GET.get("q", "").split())
    found = people_shown(request.user, words)  # type: ignore[arg-type]
    page = Paginator(found, PEOPLE_A_PAGE).get_page(request.GET.get("page"))
    return render(request, "register/person_list.html", {"page": page, "q": words})


@needs("person.edit")
def person_new(request: HttpRequest) -> HttpResponse:
    form = PersonForm(request.POST or None, user=request.user)
    if kept(
        request,
        form,
        lambda: add_person(stamp=stamp_of(request), **form.cleaned_data),
        _("Entered."),
    ):
        return redirect("register:person-list")
    return render(request, "register/person_new.html", {"form": form})


@needs("person.edit")
def person_edit(request: HttpRequest, pk: int) -> HttpResponse:
    person = get_object_or_404(Person.objects.visible_to(request.user), pk=pk)
    demand(request.user, "person.edit", person.home_site_id)
    kept_of = ("name", "employer", "number", "home_site", "left_on")
    known = {name: getattr(person, name) for name in kept_of}
    form = PersonChangeForm(request.POST or None, user=request.user, initial=known)
    if kept(
        request,
        form,
        lambda: change_person(person, stamp=stamp_of(request), **form.cleaned_data),
        _("Changed."),
    ):
        return redirect("inspections:person-detail", pk=person.pk)
    return render(request, "register/person_edit.html", {"form": form, "person": person})
