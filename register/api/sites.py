"""The token itself, and the sites it reaches with their zones and shifts."""

from __future__ import annotations

from typing import Annotated

from django.db.models import QuerySet
from django.http import HttpRequest
from django.utils.translation import gettext_noop
from ninja import Query, Router
from pydantic import Field

from register.api.calls import call, caller_of
from register.api.paging import page_by
from register.api.problems import not_found
from register.api.shapes import Day, Next, Page, Shape, SiteCode
from register.models import Site

router = Router(tags=["sites"])


class ShiftTold(Shape):
    """A named part of the day."""

    name: Annotated[str, Field(examples=["Day"])]
    begins: Annotated[
        str, Field(description=gettext_noop("By the clock on site."), examples=["06:00"])
    ]
    ends: Annotated[
        str,
        Field(
            description=gettext_noop("One that ends before it begins runs past midnight."),
            examples=["18:00"],
        ),
    ]


class ZoneTold(Shape):
    """A part of a site that people reach on foot."""

    code: Annotated[str, Field(examples=["roof"])]
    name: Annotated[str, Field(examples=["Roof"])]


class SiteTold(Shape):
    """One site; days and shifts are by its own clock."""

    code: SiteCode
    name: Annotated[str, Field(examples=["Corrick Quay"])]
    time_zone: Annotated[
        str,
        Field(
            description=gettext_noop("Name in the IANA time zone database."),
            examples=["Europe/London"],
        ),
    ]
    is_store: Annotated[bool, Field(description=gettext_noop("A store, with no work at height."))]
    zones: list[ZoneTold]
    shifts: list[ShiftTold]


class SitePage(Shape):
    sites: list[SiteTold]
    next: Next


class TokenTold(Shape):
    """What the token is and may do at this moment."""

    name: Annotated[str, Field(examples=["Stores display"])]
    prefix: Annotated[str, Field(examples=["H7K2PD3C"])]
    user: Annotated[
        int,
        Field(
            description=gettext_noop("Id of the owner; events name it as ‘user’."), examples=[12]
        ),
    ]
    needs: Annotated[
        list[str],
        Field(
            description=gettext_noop(
                "What it was made for and its owner may now, at one site or more."
            ),
            examples=[["item.see", "cover.see"]],
        ),
    ]
    sites: Annotated[list[str], Field(examples=[["corrick"]])]
    through_on: Annotated[Day, Field(description=gettext_noop("Its last day, in UTC."))]


@router.get(
    "/token",
    response=TokenTold,
    operation_id="token",
    tags=["token"],
    summary=gettext_noop("What this token is and may do"),
    description=gettext_noop(
        "Its rights are those of its owner at this moment, narrowed to what it was made for."
    ),
)
@call(None)
def token(request: HttpRequest) -> TokenTold:
    caller = caller_of(request)
    sites = Site.objects.visible_to(caller.user).order_by("code")
    return TokenTold(
        name=caller.token.name,
        prefix=caller.token.prefix,
        user=caller.user.pk,
        needs=[need for need in caller.token.needs if caller.may(need)],
        sites=list(sites.values_list("code", flat=True)),
        through_on=caller.token.through_on,
    )


@router.get(
    "/sites",
    response=SitePage,
    operation_id="site-list",
    summary=gettext_noop("The sites of this token"),
    description=gettext_noop("In the order of their codes."),
)
@call("site.see")
def site_list(request: HttpRequest, asked: Query[Page]) -> SitePage:
    rows = _with_places(request)
    found, following = page_by(rows, asked, "code")
    return SitePage(sites=[told(site) for site in found], next=following)


@router.get(
    "/sites/{site}",
    response=SiteTold,
    operation_id="site",
    summary=gettext_noop("One site"),
    description=gettext_noop("With its zones, and its shifts by its own clock."),
)
@call("site.see")
def site(request: HttpRequest, site: SiteCode) -> SiteTold:
    found = _with_places(request).filter(code=site).first()
    if found is None:
        raise not_found()
    return told(found)


def _with_places(request: HttpRequest) -> QuerySet[Site]:
    rows = Site.objects.visible_to(caller_of(request).user)
    return rows.prefetch_related("zones", "shifts")


def told(site: Site) -> SiteTold:
    """One site as it is told."""
    return SiteTold(
        code=site.code,
        name=site.name,
        time_zone=site.time_zone,
        is_store=site.is_store,
        zones=[ZoneTold(code=zone.code, name=zone.name) for zone in site.zones.all()],
        shifts=[
            ShiftTold(name=one.name, begins=f"{one.begins:%H:%M}", ends=f"{one.ends:%H:%M}")
            for one in site.shifts.all()
        ],
    )
