"""No act changes what is known of a site without raising the version of its facts."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime, time, timedelta

import pytest

from inspections.actions.arresting import Fall, record_arrest
from inspections.actions.dating import LIMITS, state_dates, state_limits
from inspections.actions.events import Happened, record_event
from inspections.actions.inspecting import Finding, inspect
from inspections.actions.moving import arrive, place_at
from inspections.actions.notice_items import close_match, read_label, reopen_match
from inspections.actions.notices import issue_notice, withdraw_notice
from inspections.actions.regime import change_regime
from inspections.actions.using import change_use, issue, release_from_quarantine, take_back
from inspections.models import Notice, NoticeMatch
from readiness.actions.checks import keep_check
from readiness.actions.kits import rate_kit
from readiness.actions.people import record_competence
from readiness.actions.permits import cancel_permit, sign_permit
from readiness.actions.plans import record_drill, review_plan
from readiness.actions.policy import change_policy
from readiness.actions.rota import put_on_rota, take_off_rota
from readiness.actions.tasks import change_task, end_task, give_first_call, set_exposed
from readiness.facts import timelines
from readiness.models import Competence, CoverCheck, CoverPolicy, Permit, RotaEntry, Task
from readiness.rules.facts_hash import facts_hash
from register.actions import conditions
from register.actions.custody import dispatch
from register.actions.kits import fill_part, seal_kit, take_out_part, unseal_kit
from register.actions.label_reading import Label
from register.actions.marking import replace_tag
from register.actions.people import change_person
from register.actions.places import change_shift, change_site, change_zone, set_passages
from register.models import Item, Kit, Person, Site
from tests.factories import (
    DAY,
    NOON,
    ItemFactory,
    PersonFactory,
    ZoneFactory,
    inspector,
    stamp,
)
from tests.readiness.grounds import FAMILY, Ground, covered_site, sums_of
from tests.readiness.timelines import ZONE

pytestmark = pytest.mark.django_db
BEGINS, ENDS = (datetime.combine(DAY, time(hour), tzinfo=ZONE) for hour in (13, 18))
ONE_DAY = timedelta(days=1)
Act = Callable[[], object]
Acts = Iterator[tuple[str, Act]]


def known() -> dict[str, tuple[str, int]]:
    """Of every site: the hash of its facts, and their version."""
    sites = list(Site.objects.order_by("pk"))
    found = timelines(sites, DAY, DAY + 30 * ONE_DAY)
    return {
        one.site: (facts_hash(one), site.facts_version)
        for one, site in zip(found, sites, strict=True)
    }


def item(one: Item) -> Item:
    return Item.objects.select_related("product", "site").get(pk=one.pk)


def beam() -> Item:
    """The anchor that the sums of the task rest on."""
    return Item.objects.select_related("product", "site").get(remarks="beam")


def part(ground: Ground, role: str = "rope") -> Item:
    return item(Kit.objects.get(pk=ground.kit.pk).parts.get(role=role).item)


def a_look(one: Item, kind: str = "detailed", verdict: str = "pass") -> object:
    by = inspector()
    finding = Finding(kind=kind, verdict=verdict, performed_at=NOON, inspector=by.person)
    return inspect(item(one), finding=finding, stamp=stamp(by))


def custody(here: Ground, there: Ground) -> Acts:
    """The kit, a part of it, the anchor and what a worker wears go about."""
    bag, made = here.kit.item, stamp
    harness = ItemFactory(site=here.site, custody="stores")
    a_look(harness)
    at = {"place": "hook 2", "stamp": made()}
    yield "issue", lambda: issue(item(harness), to=here.worker, due_back_on=None, stamp=made())
    yield "take back", lambda: take_back(item(harness), loaded="no", wrong="no", stamp=made())
    yield "dispatch", lambda: dispatch(item(bag), to=there.site, stamp=made())
    yield "arrive", lambda: arrive(item(bag), at=there.site, zone=there.zone, stamp=made())
    yield "limit", lambda: state_dates(**hire(part(here)))
    yield "dispatch back", lambda: dispatch(item(bag), to=here.site, stamp=made())
    yield "arrive back", lambda: arrive(item(bag), at=here.site, zone=here.zone, stamp=made())
    other = ZoneFactory(site=here.site)
    yield "place", lambda: place_at(item(bag), zone=other, **at)
    yield "lose", lambda: conditions.report_lost(item(bag), search_note="all", stamp=made())
    yield (
        "find",
        lambda: conditions.report_found(item(bag), site=there.site, where="van", stamp=made()),
    )
    yield "move anchor", lambda: dispatch(item(here.anchor), to=there.site, stamp=made())
    yield "anchor there", lambda: arrive(item(here.anchor), at=there.site, stamp=made())


def hire(one: Item) -> dict[str, object]:
    return {
        "item": one,
        "owner": "Orla Hire",
        "hire_end_on": DAY + 9 * ONE_DAY,
        "first_used_on": one.first_used_on,
        "proof_test_months": None,
        "because": "the note",
        "stamp": stamp(),
    }


def condition(here: Ground, there: Ground) -> Acts:
    """What is found of the kit, its parts and the anchor."""
    inside, made = part(here), stamp
    fall = Fall(happened_at=NOON, account="Held.", wearer=here.worker)
    drop = Happened(kind="drop", happened_at=NOON, account="Dropped.")
    by = inspector()
    yield "stop part", lambda: conditions.quarantine(inside, reason="damage-found", stamp=made())
    yield "look at part", lambda: a_look(inside, "after-event")
    yield "release part", lambda: release_from_quarantine(item(inside), stamp=made(by))
    yield "use", lambda: change_use(item(inside), use_class="arduous", stamp=made())
    yield "open seal", lambda: unseal_kit(here.kit, kind="opened", reason="look", stamp=made())
    yield "take out", lambda: take_out_part(here.kit, role="rope", stamp=made())
    yield "fill", lambda: fill_part(here.kit, role="rope", item=item(inside), stamp=made())
    yield "seal", lambda: seal_kit(here.kit, number="S-9", on=DAY, stamp=made())
    yield (
        "tag",
        lambda: replace_tag(
            item(here.anchor), because="worn", identity_proof="serial", stamp=made()
        ),
    )
    label = Label(serial="HX-77")
    yield "label", lambda: read_label(item(inside), label=label, how="in the hand", stamp=made())
    yield "drop", lambda: record_event(here.site, items=[part(here)], told=drop, stamp=made())
    yield "away", lambda: conditions.send_away(part(here), to="maker", reference="1", stamp=made())
    yield (
        "back",
        lambda: conditions.take_back_from_service(part(here), certificate="2", stamp=made()),
    )
    yield (
        "fall",
        lambda: record_arrest(there.site, items=[item(there.anchor)], fall=fall, stamp=made()),
    )
    yield (
        "withdraw",
        lambda: conditions.withdraw(item(here.kit.item), ground="damaged", stamp=made()),
    )


def rules(here: Ground, _there: Ground) -> Acts:
    """Notices, limits and the employer's settings."""
    product, made = part(here).product, stamp
    limits = {**{name: getattr(product, name) for name in LIMITS}, "periodic_months": 1}
    notice = Notice(
        issuer="Orla",
        reference="N-1",
        received_on=DAY,
        text="stop",
        kind="stop-use",
        products=[[product.maker, product.designation]],
    )

    def match() -> NoticeMatch:
        return NoticeMatch.objects.get()

    yield "notice", lambda: issue_notice(notice, stamp=made())
    yield "settle", lambda: close_match(match(), outcome="not-ours", because="no", stamp=made())
    yield "reopen", lambda: reopen_match(match(), because="yes", stamp=made())
    yield "no notice", lambda: withdraw_notice(notice, because="error", stamp=made())
    yield "limits", lambda: state_limits(product, limits=limits, because="maker", stamp=made())
    yield "regime", lambda: change_regime(schemes=["gb"], shorter={}, stamp=made())
    yield "policy", lambda: change_policy(CoverPolicy(alarm_minutes=3), stamp=made())
    site = here.site
    yield (
        "zone of time",
        lambda: change_site(
            site, name=site.name, address="", time_zone="Europe/Paris", is_store=False, stamp=made()
        ),
    )
    zone = ZoneFactory(site=site)
    way = {(here.zone, zone): 3}
    yield "passages", lambda: set_passages(site, minutes=way, stamp=made())
    yield "zone", lambda: change_zone(here.zone, name="Renamed", stamp=made())
    hours = {"begins": here.shift.begins, "ends": here.shift.ends}
    yield "shift", lambda: change_shift(here.shift, name="Early", **hours, stamp=made())


def people(here: Ground, there: Ground) -> Acts:
    """Rota, training, exposure, plan, task and permit."""
    made, visitor = stamp, PersonFactory(name="Visitor", home_site=here.site)
    team = {"people": [visitor], "shift": there.shift, "zone": there.zone, "days": [DAY]}
    ticket = Competence(
        person=visitor, kind="rescuer", family=FAMILY, from_on=DAY, through_on=DAY + 30 * ONE_DAY
    )
    on_shift = {"exposed": [here.worker], "shifts": [here.shift], "anchors": [here.anchor]}
    named = {"employer": "", "home_site": there.site}
    yield "rota", lambda: put_on_rota(there.site, **team, stamp=made())
    yield "ticket", lambda: record_competence(ticket, stamp=made())
    yield (
        "rename",
        lambda: change_person(
            Person.objects.get(pk=visitor.pk), name="V.", left_on=None, **named, stamp=made()
        ),
    )
    yield (
        "leave",
        lambda: change_person(
            Person.objects.get(pk=visitor.pk), name="V.", left_on=DAY, **named, stamp=made()
        ),
    )
    yield "off", lambda: take_off_rota(RotaEntry.objects.get(person=visitor), stamp=made())
    yield (
        "check",
        lambda: keep_check(
            here.task, begins_at=BEGINS, ends_at=ENDS, permit_reference="P-1", stamp=made()
        ),
    )
    yield "sign", lambda: sign_permit(CoverCheck.objects.get(), stamp=made())
    yield "cancel", lambda: cancel_permit(Permit.objects.get(), because="wind", stamp=made())
    yield "exposed", lambda: set_exposed(here.task, people=[here.rescuer], stamp=made())
    yield "call", lambda: give_first_call(here.site, tasks=[here.task], stamp=made())
    yield "change", lambda: change_task(heavier(here.task), **on_shift, stamp=made())
    plan = here.task.plans.get()
    yield "review", lambda: review_plan(plan, reviewed_on=DAY, stamp=made())
    yield (
        "drill",
        lambda: record_drill(
            here.task.plans.first(), drilled_on=DAY, minutes=4, kit=there.kit, stamp=made()
        ),
    )
    yield "end", lambda: end_task(here.task, last_on=DAY + ONE_DAY, stamp=made())
    ability = here.kit.ability
    ability.max_load_kg = 200
    yield "rate", lambda: rate_kit(ability, stamp=made())


def planning(here: Ground, there: Ground) -> Acts:
    """Sums, and all that they rest on."""
    made, anchors = stamp, [here.anchor]
    on_shift = {"exposed": [here.worker], "shifts": [here.shift], "anchors": anchors}
    at_home = {"at": here.site, "zone": here.zone, "stamp": made()}
    yield "sums", lambda: sums_of(here.task)
    yield "beam moved", lambda: place_at(beam(), place="b 2", zone=here.zone, stamp=made())
    yield "beam back", lambda: place_at(beam(), place="beam", zone=here.zone, stamp=made())
    yield "sums again", lambda: sums_of(here.task, anchor=beam())
    yield "beam away", lambda: dispatch(beam(), to=there.site, stamp=made())
    yield "beam home", lambda: arrive(beam(), **at_home)
    yield "beam placed", lambda: place_at(beam(), place="beam", zone=here.zone, stamp=made())
    yield "sums of it", lambda: sums_of(here.task, anchor=beam())
    yield "beam out", lambda: conditions.withdraw(beam(), ground="damaged", stamp=made())
    yield "sums without", lambda: sums_of(here.task, anchor=here.anchor)
    yield "heavier", lambda: change_task(heavier(here.task), **on_shift, stamp=made())


def heavier(task: Task) -> Task:
    found = Task.objects.get(pk=task.pk)
    found.heaviest_kg = 119
    return found


@pytest.mark.parametrize("acts", [custody, condition, rules, people, planning])
def test_no_act_changes_what_is_known_of_a_site_and_leaves_its_version(
    acts: Callable[[Ground, Ground], Acts],
) -> None:
    here, there = covered_site(), covered_site("other", "Other")
    changed = 0
    for name, act in acts(here, there):
        before = known()
        act()
        for site, (facts, version) in known().items():
            moved = before[site][0] != facts
            changed += moved
            assert not moved or version > before[site][1], f"{name}: {site}"
    assert changed > 5, "a list of acts that change nothing shows nothing"
