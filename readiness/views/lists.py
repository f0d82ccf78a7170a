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
    """The lists whose pages the user may open, column by column: the very description they are made by."""
    lists = [
        {
            "list": one,
            "columns": [(column, kind_words(column.kind)) for column in one.columns],
        }
        for one in EVERY
        if may(request.user, one.need)
    ]
    return render(request, "readiness/list_columns.html", {"lists": lists})
