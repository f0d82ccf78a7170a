"""Every list that can be taken away, with what its columns mean."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from inspections.lists import every as inspections_lists
from readiness.lists import every as readiness_lists
from register.access import may, needs
from register.lists import every as register_lists
from register.lists.listing import Listing
from register.lists.made import kind_words

EVERY: tuple[Listing, ...] = (
    *inspections_lists.LISTS,
    *readiness_lists.LISTS,
    *register_lists.LISTS,
)


@needs("item.see")
def list_columns(request: HttpRequest) -> HttpResponse:
    """The lists whose pages the user may open; of ?list=kits every column, by the very description it is made by."""
    lists = [one for one in EVERY if may(request.user, one.need)]
    chosen = next((one for one in lists if one.name == request.GET.get("list")), None)
    columns = [(one, kind_words(one.kind)) for one in chosen.columns] if chosen else []
    page = {"lists": lists, "chosen": chosen, "columns": columns}
    return render(request, "readiness/list_columns.html", page)
