"""The hatch: one page for what goes out and what comes back, a scan at a time."""

from __future__ import annotations

from datetime import date

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _

from inspections import hatch as lines
from inspections.actions import using
from inspections.forms.hatch import IssueForm, ReturnForm
from register import clock
from register.access import needs, sites_for
from register.finding import item_named
from register.models import Item, Person
from register.refusal import Refusal
from register.telling import stamp_of

KEPT_LINES = 30  # of this login's scans, the newest first


@needs("item.issue")
def hatch(request: HttpRequest) -> HttpResponse:
    """Issue, or with ?way=return take back; each scan is one act, told in one line."""
    given = request.POST or request.GET
    if request.method == "POST" and "next" in request.POST:
        return _remember(request, person="", due_back_on="")
    return _take_back(request) if given.get("way") == "return" else _issue(request)


def _issue(request: HttpRequest) -> HttpResponse:
    people = _people(request)
    kept = request.session.get("hatch", {})
    form = IssueForm(request.POST or None, people=people, initial=kept)
    if form.is_valid():
        to, due_back_on = form.cleaned_data["person"], form.cleaned_data["due_back_on"]
        text = form.cleaned_data["code"]
        item = None
        stamp = stamp_of(request)
        try:
            item = item_named(_rows(request, "item.issue"), text)
            using.refuse_issue(item, due_back_on, stamp)
            if not _has_it(item, to, due_back_on):
                using.issue(item, to=to, due_back_on=due_back_on, stamp=stamp)
            line = lines.issued(item, to, due_back_on, stamp.at)
        except Refusal as refusal:
            line = lines.refused(item, text, refusal, _("NOT for issue"))
        back = due_back_on.isoformat() if due_back_on else ""
        return _remember(request, line, person=to.name, due_back_on=back)
    page = {"form": form, "people": people, "results": kept.get("results", [])}
    return render(request, "inspections/hatch.html", page)


def _take_back(request: HttpRequest) -> HttpResponse:
    form = ReturnForm(request.POST or None)
    item = None
    if form.is_bound and (text := request.POST.get("code", "")):
        try:
            item = item_named(_rows(request, "item.take-back"), text)
        except Refusal as refusal:
            return _remember(request, lines.refused(None, text, refusal, _("NOT taken back")))
    if item and form.is_valid():
        return _remember(request, _returned(request, item, form))
    results = request.session.get("hatch", {}).get("results", [])
    asked = {"item": item, "what": lines.what(item)} if item else None
    page = {"form": form, "asked": asked, "results": results}
    return render(request, "inspections/hatch_return.html", page)


def _returned(request: HttpRequest, item: Item, form: ReturnForm) -> lines.Result:
    """Take the item back, and say what that made of it."""
    answers = {name: form.cleaned_data[name] for name in ("loaded", "wrong", "note")}
    try:
        stamp = stamp_of(request)
        back = using.take_back(item, stamp=stamp, **answers)
    except Refusal as refusal:
        return lines.refused(item, item.code, refusal, _("NOT taken back"))
    shown = Item.objects.with_product().get(pk=back.pk)
    return lines.returned(shown, item.holder, stamp.at)


def _remember(
    request: HttpRequest, line: lines.Result | None = None, **particulars: str
) -> HttpResponse:
    """Keep the line and the person for the next scan, and show the page again."""
    kept = request.session.get("hatch", {})
    results = ([line] if line else []) + kept.get("results", [])
    request.session["hatch"] = {**kept, **particulars, "results": results[:KEPT_LINES]}
    way = request.POST.get("way", "issue")
    return redirect(
        f"{reverse('inspections:hatch')}?way={'return' if way == 'return' else 'issue'}"
    )


def _has_it(item: Item, person: Person, due_back_on: date | None) -> bool:
    """A tag that the scanner reads twice is issued once."""
    same = item.custody == "person" and item.holder_id == person.pk
    return same and item.due_back_on == due_back_on


def _rows(request: HttpRequest, need: str) -> QuerySet[Item]:
    return Item.objects.with_product().filter(site__in=sites_for(request.user, need))


def _people(request: HttpRequest) -> QuerySet[Person]:
    return Person.objects.visible_to(request.user).here_on(clock.now().date())
