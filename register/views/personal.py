"""What is held of one person: to be looked at, to be handed to them, to be forgotten."""

from __future__ import annotations

from django.core.serializers.json import DjangoJSONEncoder
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _

from register.access import demand, needs
from register.actions.erasing import erase_person
from register.asking_again import asks_again
from register.forms.people import EraseForm
from register.models import Person
from register.personal import counted, told
from register.telling import kept, stamp_of

NEED = "person.erase"


@needs(NEED)
def person_personal(request: HttpRequest, pk: int) -> HttpResponse:
    person = _person(request, pk)
    shown = {"person": person, "tables": counted(person)}
    return render(request, "register/person_personal.html", shown)


@needs(NEED)
def person_export(request: HttpRequest, pk: int) -> HttpResponse:
    """For the person who asks what is held of them; a file, never a page."""
    person = _person(request, pk)
    answer = JsonResponse(told(person), encoder=DjangoJSONEncoder, json_dumps_params={"indent": 1})
    answer["Content-Disposition"] = f'attachment; filename="person-{person.pk:04d}.json"'
    answer["Cache-Control"] = "no-store"
    return answer


@needs(NEED)
@asks_again
def person_erase(request: HttpRequest, pk: int) -> HttpResponse:
    """For good, and only once the name is typed."""
    person = _person(request, pk)
    form = EraseForm(request.POST or None, person=person)
    said = _("The name is gone. The records stay, under a number.")
    if kept(request, form, lambda: erase_person(person, stamp=stamp_of(request)), said):
        return redirect("register:person-personal", pk=person.pk)
    shown = {"person": person, "form": form}
    return render(request, "register/person_erase.html", shown, status=422 if form.errors else 200)


def _person(request: HttpRequest, pk: int) -> Person:
    person = get_object_or_404(Person.objects.visible_to(request.user), pk=pk)
    demand(request.user, NEED, person.home_site_id)
    return person
