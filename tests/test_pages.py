"""Every address, asked as each role, as nobody, and for another site's things.

The addresses come from the URL tree, so a new page is asked as soon as it exists; an address with a
parameter that has no example here fails.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

import pytest
from django.core.files.base import ContentFile
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from inspections.models import (
    Arrest,
    Defect,
    Event,
    EventItem,
    Intake,
    Notice,
    Round,
    SyncEvent,
    Visit,
)
from readiness.models import CoverChange, CoverCheck, Job, Permit, Plan, RotaEntry, Task
from register.access import NEEDS
from register.actions.calendars import hash_of
from register.actions.marking import fresh_codes
from register.messages.writing import leaving_token
from register.models import (
    AccessToken,
    CalendarFeed,
    Delivery,
    Document,
    Errand,
    Handover,
    Item,
    Message,
    Paper,
    Role,
    Site,
    User,
)
from tests.factories import (
    DAY,
    NOON,
    ItemFactory,
    PersonFactory,
    ShiftFactory,
    SiteFactory,
    ZoneFactory,
    files_in,
    kit_of,
    passed,
    rota_feed,
    user_as,
)

pytestmark = pytest.mark.django_db
BY_OTHERS = re.compile("login|logout|password|(account|mfa|usersessions)_.*")
NOBODY_OK = {
    *("health", "language", "tag", "cover-check", "calendar-feed", "paper-check", "unsubscribe"),
    *("phone", "phone-worker", "phone-manifest", "phone-words"),
    *("api-docs", "api-problems", "api-description"),
}


@dataclass(frozen=True)
class Address:
    """One address of the tree: its full name, its view's mark, and its parameters."""

    name: str
    need: str | None
    parameters: frozenset[str]


def addresses(
    patterns: list[URLPattern | URLResolver], space: str = "", held: frozenset[str] = frozenset()
) -> Iterator[Address]:
    for pattern in patterns:
        taken = held | frozenset(pattern.pattern.regex.groupindex)
        if isinstance(pattern, URLResolver):
            if pattern.namespace == "api":  # its calls are asked in test_api.py
                continue
            inner = pattern.namespace or space
            yield from addresses(pattern.url_patterns, inner, taken)
        elif not BY_OTHERS.fullmatch(pattern.name or ""):
            name = f"{space}:{pattern.name}" if space else str(pattern.name)
            view: Any = pattern.callback
            yield Address(name, view.needs, taken)


ADDRESSES = sorted(set(addresses(get_resolver().url_patterns)), key=lambda one: one.name)


@dataclass(frozen=True)
class World:
    """One site with one of everything that an address can name."""

    site: Site
    examples: dict[str, dict[str, Any]]

    def path(self, address: Address) -> str:
        noun = address.name.rpartition(":")[2].partition("-")[0]
        known = {**self.examples["*"], **self.examples.get(noun, {})}
        return reverse(address.name, kwargs={name: known[name] for name in address.parameters})


def noticed(item: Item, site: Site, document: Document) -> Notice:
    """A notice that certainly means the item."""
    notice = Notice.objects.create(
        issuer="Orla",
        reference=site.code,
        name_key=site.code,
        kind="stop-use",
        received_on=DAY,
        recorded_at=NOON,
        document=document,
        text="stop",
    )
    notice.matches.create(item=item, certainty="certain", matched_at=NOON)
    return notice


def world(code: str) -> World:
    site = SiteFactory(code=code, name=code.title())
    zone, shift = ZoneFactory(site=site), ShiftFactory(site=site)
    person = PersonFactory(home_site=site)
    item = ItemFactory(site=site)
    kit = kit_of(site, name=f"RK-{code}")
    delivery = Delivery.objects.create(
        site=site, product=item.product, delivery_note="DN", received_on=DAY
    )
    task = Task.objects.create(
        site=site, zone=zone, code="t-1", name="Roof", from_on=DAY, to_on=DAY, system="arrest"
    )
    plan = Plan.objects.create(task=task, method="lower", reviewed_on=DAY, target_minutes=10)
    entry = RotaEntry.objects.create(site=site, person=person, day_on=DAY, shift=shift, zone=zone)
    user = user_as(Role.WORKER, site, person=person)
    inspection = passed(item)
    job = Job.objects.create(
        site=site, task=task, kind="drill", what="Drill.", due_at=NOON, given_at=NOON
    )
    photo = Document.objects.create(
        sha256=code,
        kind="photo",
        name="p.jpg",
        size=1,
        kept_at=NOON,
        file=ContentFile(b"p", "p.jpg"),
    )
    defect = Defect.objects.create(inspection=inspection, grade="C", what="fuzz", photo=photo)
    arrest = Arrest.objects.create(site=site, happened_at=NOON, recorded_at=NOON)
    arrest.items.add(item)
    event = Event.objects.create(site=site, kind="drop", happened_at=NOON, recorded_at=NOON)
    EventItem.objects.create(event=event, item=item)
    intake = Intake.objects.create(
        document=photo,
        site=site,
        brought_on=DAY,
        started_at=NOON,
        moved_at=NOON,
        leftover=photo,
        seen={"sheets": [], "sites": [], "order": "day-first", "lacks_site": False, "examples": []},
    )
    notice = noticed(item, site, document=photo)
    visit = Visit.objects.create(inspector=person, site=site, day_on=DAY, accepted_at=NOON)
    check, change = _relied_on(task)
    Permit.objects.create(
        cover_check=check,
        site=site,
        task=task,
        begins_at=check.begins_at,
        ends_at=check.ends_at,
        people=[],
        signed_at=NOON,
    )
    gone = Round.objects.create(site=site, inspector=person, kind="detailed", began_at=NOON)
    sent = SyncEvent.objects.create(
        outcome="kept",
        raw="{}",
        sha256=code,
        by=user,
        made_by=user,
        received_at=NOON,
        site=site,
        item=item,
    )
    return World(
        site,
        {
            "*": {
                "code": item.code,
                "secret": item.tags.get().secret,
                "verdict": "fail",
                "site": site.code,
                "task": task.code,
                "plan": plan.pk,
                "entry": entry.pk,
                "name": kit.name,
                "zone": zone.code,
                "shift": shift.pk,
                "day": DAY.isoformat(),
                "reference": check.reference,
                "grant": user.grants.get().pk,
            },
            "paper": _paper_on(site),
            "user": {"pk": user.pk},
            "role": {"pk": user.pk},
            "token": {"pk": _token_of(user).pk},
            "item": {"pk": photo.pk},
            "job": {"pk": job.pk},
            "delivery": {"pk": delivery.pk},
            "product": {"pk": item.product_id},
            "person": {"pk": person.pk},
            "inspector": {"pk": person.pk},
            "hours": {"pk": person.pk},
            "visit": {"pk": visit.pk},
            "inspection": {"pk": inspection.pk},
            "defect": {"pk": defect.pk},
            "calendar": {"pk": _feed(user, site).pk, "secret": code},
            "message": {"pk": _told(user).pk},
            "unsubscribe": {"token": leaving_token(user, "morning")},
            "arrest": {"pk": arrest.pk},
            "event": {"pk": event.pk},
            "intake": {"pk": intake.pk},
            "feed": {"pk": rota_feed(site, zone).pk},
            **{kind: {"pk": pk} for kind, pk in files_in(photo, site).items()},
            "round": {"pk": gone.pk},
            "sent": {"pk": sent.pk},
            "change": {"pk": change.pk},
            "handover": {"pk": Handover.objects.create(kind="issued", site=site, made_at=NOON).pk},
            "errand": {"pk": _asked_of(user, site).pk},
            "notice": {"pk": notice.pk},
            "match": {"pk": notice.pk},
        },
    )


def _asked_of(user: User, site: Site) -> Errand:
    """An errand that no worker has begun."""
    errand = Errand.objects.create(
        kind="unknown", language="en-gb", asked_by=user, asked_at=NOON, moved_at=NOON
    )
    errand.sites.add(site)
    return errand


def _feed(user: User, site: Site) -> CalendarFeed:
    """Its secret is the site's code."""
    of_it = {"user": user, "about": "site", "site": site, "language": "pl", "made_at": NOON}
    return CalendarFeed.objects.create(secret_hash=hash_of(site.code), **of_it)


def _paper_on(site: Site) -> dict[str, str]:
    """The open address of a paper of a kind that is not here any more."""
    named = {"reference": fresh_codes(1)[0], "secret": "2222222222"}
    Paper.objects.create(
        **named,
        kind="none",
        site=site,
        about="Nothing",
        language="en-gb",
        size="a4",
        as_at=NOON,
        made_at=NOON,
    )
    return named


def _token_of(user: User) -> AccessToken:
    return AccessToken.objects.create(
        owner=user, prefix=f"{user.pk:8}", made_at=NOON, through_on=DAY, needs=["item.see"]
    )


def _told(user: User) -> Message:
    """A message that waits for nothing."""
    said = {"subject": "s", "text": "t", "made_at": NOON, "next_try_at": NOON}
    return Message.objects.create(user=user, kind="morning", key="k", **said)


def _relied_on(task: Task) -> tuple[CoverCheck, CoverChange]:
    """A check whose time is over, and a loss of cover."""
    hours = {"begins_at": NOON, "ends_at": NOON + timedelta(hours=1)}
    of_it = {"site": task.site, "task": task, **hours}
    check = CoverCheck.objects.create(
        reference=fresh_codes(1)[0], promised=[], facts="", made_at=NOON, **of_it
    )
    change = CoverChange.objects.create(
        before="covered-no-backup", after="not-covered", found_at=NOON, **of_it
    )
    return check, change


@pytest.fixture
def here() -> World:
    return world("here")


@pytest.fixture
def there() -> World:
    return world("there")


def client_as(role: Role, site: Site) -> Client:
    """Signed in with one role at one site; what only its owner sees there is this user's."""
    user, client = user_as(role, site), Client()
    Intake.objects.filter(site=site).update(by=user)
    Round.objects.filter(site=site).update(inspector=user.person)
    Errand.objects.filter(sites=site).update(asked_by=user)
    CalendarFeed.objects.filter(site=site).update(user=user)
    AccessToken.objects.filter(owner__grants__site=site).update(owner=user)
    client.force_login(user)
    return client


def code_of(client: Client, path: str) -> int:
    """The status of a look; where only posting is allowed, of posting nothing."""
    status = client.get(path).status_code
    return client.post(path).status_code if status == 405 else status


def test_there_are_addresses_to_ask() -> None:
    assert len(ADDRESSES) > 40


def test_nobody_sees_anything_but_the_open_pages(here: World) -> None:
    opened = set()
    for address in ADDRESSES:
        response = Client().get(here.path(address))
        sign_in = response.status_code == 302 and response["Location"].startswith("/sign-in/")
        if not sign_in and response.status_code != 401:
            opened.add(address.name.rpartition(":")[2])
    assert opened == NOBODY_OK


@pytest.mark.parametrize("role", list(Role))
def test_a_role_opens_its_pages_and_no_other(role: Role, here: World) -> None:
    client = client_as(role, here.site)
    wrong = {}
    for address in ADDRESSES:
        status = code_of(client, here.path(address))
        allowed = address.need is None or role in NEEDS[address.need]
        if (status == 403) is allowed or status == 404 or status >= 500:
            wrong[address.name] = status
    assert wrong == {}


@pytest.mark.parametrize("role", list(Role))
def test_another_sites_things_do_not_exist(role: Role, here: World, there: World) -> None:
    client = client_as(role, here.site)
    wrong = {}
    for address in ADDRESSES:
        if not address.parameters or address.need is None or _is_everybodys(address):
            continue
        status = code_of(client, there.path(address))
        if status != (404 if role in NEEDS[address.need] else 403):
            wrong[address.name] = status
    assert wrong == {}


def _is_everybodys(address: Address) -> bool:
    """What a maker says is no secret of one site; the items it means there are."""
    return address.name.startswith(("inspections:notice-", "readiness:notice-"))


def test_a_notice_is_everybodys_but_not_what_it_means_at_another_site(
    here: World, there: World
) -> None:
    client = client_as(Role.STORES, here.site)
    shown = client.get(reverse("inspections:notice-detail", args=[there.examples["notice"]["pk"]]))
    assert shown.status_code == 200
    assert there.examples["*"]["code"] not in shown.content.decode()


def test_who_has_left_opens_nothing(here: World) -> None:
    user = user_as(Role.MANAGER, here.site)
    client = Client()
    client.force_login(user)
    user.is_active = False
    user.save()
    assert client.get(reverse("readiness:morning")).status_code == 302
