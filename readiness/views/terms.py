"""What acts cost and how long they take, hours between sites, and the next courses."""

from __future__ import annotations

from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from readiness.actions.terms import change_terms, plan_course, set_travel
from readiness.forms.terms import CourseForm, TermsForm, TravelForm
from readiness.models import CourseDate, SiteTravel
from register.access import demand_everywhere, may_everywhere, needs
from register.clock import now
from register.telling import kept, stamp_of

Forms = dict[str, TermsForm | TravelForm | CourseForm]


@needs("policy.change")
def terms_edit(request: HttpRequest) -> HttpResponse:
    """Three forms on one page; the button says which one was sent."""
    if request.method == "POST":
        demand_everywhere(request.user, "policy.change")
    sent = request.POST.get("which", "")
    forms: Forms = {
        "terms": TermsForm(request.POST if sent == "terms" else None),
        "travel": TravelForm(request.POST if sent == "travel" else None, prefix="travel"),
        "course": CourseForm(request.POST if sent == "course" else None, prefix="course"),
    }
    if sent in forms and _kept(request, sent, forms):
        return redirect("readiness:terms-edit")
    shown = {
        **forms,
        "ways": SiteTravel.objects.select_related("start", "end"),
        "courses": CourseDate.objects.filter(held_on__gte=now().date()),
        "may_change": may_everywhere(request.user, "policy.change"),
    }
    return render(request, "readiness/terms_edit.html", shown, status=422 if sent else 200)


def _kept(request: HttpRequest, sent: str, forms: Forms) -> bool:
    form, stamp = forms[sent], stamp_of(request)
    if not form.is_valid():
        return False
    if isinstance(form, TermsForm):
        return kept(request, form, partial(change_terms, form.rows(), stamp=stamp), _("Kept."))
    act = set_travel if isinstance(form, TravelForm) else plan_course
    return kept(request, form, partial(act, **form.cleaned_data, stamp=stamp), _("Kept."))
