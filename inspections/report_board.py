"""What stands in the form of a report before its author says anything."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _

from inspections.documents.naming import place_words
from inspections.models import Inspection, Report
from inspections.particulars import latest_next
from register.models import Employer, User

ALIKE = ("author_address", "qualifications", "self_employed", "author_employer", "position")
OF_THIS = (
    *("employer_name", "employer_address", "premises", "occasion", "safe_load", "tests"),
    *("next_on", "imminent", "further", *ALIKE),
)


def report_begun(one: Inspection, user: User) -> dict[str, Any]:
    """The report that stands; else what the register knows, and of the author what their last said."""
    standing = one.reports.first()
    if standing:
        said = {name: getattr(standing, name) for name in OF_THIS}
        well = {True: "yes", False: "no", None: ""}[standing.installed_well]
        remedies = {f"remedy_{key}": text for key, text in standing.remedies.items()}
        return {**said, "installed_well": well, **remedies}
    employer = Employer.objects.first()
    last = Report.objects.filter(made_by=user).first()
    own = {name: getattr(last, name) for name in ALIKE} if last else _of_the_author(one, employer)
    return {
        **own,
        "employer_name": employer.name if employer else "",
        "employer_address": employer.address if employer else "",
        "premises": place_words(one.site or one.item.site),
        "safe_load": _rated(one),
        "next_on": latest_next(one),
    }


def _of_the_author(one: Inspection, employer: Employer | None) -> dict[str, Any]:
    """The evidence of the authorisation, and the employer where it is the one of the head."""
    works_for = one.inspector.employer if one.inspector else ""
    known = {"qualifications": one.authority.basis if one.authority else ""}
    if employer and works_for == employer.name:
        return {
            **known,
            "author_address": employer.address,
            "author_employer": f"{employer.name}, {employer.address}",
        }
    return {**known, "author_employer": works_for}


def _rated(one: Inspection) -> str:
    most = one.item.product.max_user_kg
    return _("rated by its maker to %(kg)d kg") % {"kg": most} if most else ""
