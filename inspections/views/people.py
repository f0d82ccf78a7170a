"""One person: what they hold, and whether it can be used."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext as _
from django_tables2 import RequestConfig

from inspections import record
from inspections.tables import ItemTable
from register import clock
from register.access import may, needs
from register.models import Item, Person

ROWS_A_PAGE = 50


@needs("person.see")
def person_detail(request: HttpRequest, pk: int) -> HttpResponse:
    people = Person.objects.visible_to(request.user).select_related("home_site")
    person = get_object_or_404(people, pk=pk)
    held = Item.objects.visible_to(request.user).held_by(person).with_product()
    table = ItemTable(held, order_by="code", empty_text=_("Nothing on issue."))
    RequestConfig(request, paginate={"per_page": ROWS_A_PAGE}).configure(table)
    table.verdicts = record.verdicts_at(table.shown_items, clock.now())
    page = {
        "person": person,
        "table": table,
        "may_edit": may(request.user, "person.edit", person.home_site_id),
        "may_erase": may(request.user, "person.erase", person.home_site_id),
    }
    return render(request, "inspections/person_detail.html", page)
