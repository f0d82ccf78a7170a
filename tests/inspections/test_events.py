"""What happened to equipment: all that was in it is out since that moment, and told words stay."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest

from inspections.actions.arresting import Fall, Particulars, fill_in, record_arrest
from inspections.actions.events import Happened, add_account, record_event
from inspections.actions.inspecting import Finding, inspect
from inspections.actions.using import release_from_quarantine
from inspections.conditions import out_since, verdict_of
from inspections.models import Arrest, Event
from inspections.outcomes import outcomes_of
from inspections.rules.events import EVENT_KINDS, PARTS, REASON_OF_PART
from inspections.rules.kinds import may_release
from register.actions.conditions import destroy, quarantine, withdraw
from register.models import ActNote, Item, Kit, Site, User
from register.refusal import Refusal
from register.rules.conditions import QUARANTINE_REASONS
from tests.factories import (
    DAY,
    NOON,
    ItemFactory,
    PersonFactory,
    ProductFactory,
    ZoneFactory,
    kit_of,
    passed,
    stamp,
)

HOUR = timedelta(hours=1)
LATER = NOON + HOUR


def of_class(kind: str, **particulars: object) -> Item:
    made: Item = ItemFactory(product=ProductFactory(equipment_class=kind), **particulars)
    return made


def fallen(site: Site, *items: Item, **told: object) -> Arrest:
    fall = Fall(**{"happened_at": NOON, "account": "A board turned.", **told})  # type: ignore[arg-type]
    return record_arrest(site, items=items, fall=fall, stamp=stamp(at=LATER))


def happened(site: Site, *items: Item, kind: str = "drop") -> Event:
    told = Happened(kind=kind, happened_at=NOON, account="From the mast, 9 m.")
    return record_event(site, items=items, told=told, stamp=stamp(at=LATER))


def state_of(item: Item) -> tuple[str, str]:
    item.refresh_from_db()
    return item.condition, item.quarantine_reason


def parts_of(event: Event) -> dict[Item, str]:
    return {line.item: line.part for line in event.lines.select_related("item__product")}


def code_of(act: object, *args: object, **kwargs: object) -> str:
    with pytest.raises(Refusal) as refused:
        act(*args, **kwargs)  # type: ignore[operator]
    return refused.value.code


# The load path


def test_the_whole_load_path_is_out_and_the_cover_of_the_site_is_asked_anew(site: Site) -> None:
    zone = ZoneFactory(site=site)
    kinds = ("harness", "energy-absorbing-lanyard", "connector", "sling", "horizontal-lifeline")
    path = [of_class(kind, site=site, zone=zone) for kind in kinds]
    other = of_class("anchor", site=site, zone=zone)
    version = site.facts_version
    fallen(site, *path, zone=zone)
    assert {state_of(item) for item in path} == {("quarantined", "arrested-a-fall")}
    assert state_of(other)[0] == "in-service"  # the anchor is known
    site.refresh_from_db()
    assert site.facts_version > version


def test_the_rescue_kit_that_was_used_is_out_with_all_that_is_in_it(site: Site) -> None:
    kit = kit_of(site)
    inside = [part.item for part in kit.parts.all()]
    anchor = of_class("anchor", site=site)
    told = Particulars(rescue_kit=kit)
    arrest = fallen(site, anchor, wearer=PersonFactory(), particulars=told)
    kit.refresh_from_db()
    assert not kit.seal_intact
    assert {state_of(item) for item in [kit.item, *inside]} == {("quarantined", "used-in-rescue")}
    assert set(parts_of(arrest).values()) == {"load-path", "rescue-kit"}


def test_a_rescue_kit_named_later_is_out_from_then_on_and_since_the_fall(site: Site) -> None:
    kit = kit_of(site)
    arrest = fallen(site, of_class("anchor", site=site))
    fill_in(arrest, told=Particulars(rescue_kit=kit), stamp=stamp(at=LATER + HOUR))
    bag = Item.objects.get(pk=kit.item_id)
    assert not Kit.objects.get().seal_intact
    assert out_since([bag]) == {bag.pk: NOON}
    assert arrest.hold.items.filter(pk=bag.pk).exists()


def test_what_others_had_on_the_same_line_is_out_as_well(site: Site) -> None:
    neighbour = PersonFactory()
    theirs = of_class("harness", site=site, holder=neighbour, custody="person")
    line = of_class("horizontal-lifeline", site=site)
    arrest = fallen(site, line, others_on_line=[neighbour])
    assert state_of(theirs) == ("quarantined", "suspected-load")
    assert parts_of(arrest) == {line: "load-path", theirs: "same-line"}


def test_what_is_perhaps_in_the_path_counts_as_in_it(site: Site, huw: User) -> None:
    faller = PersonFactory()
    spare = of_class("harness", site=site, holder=faller, custody="person")
    arrest = fallen(site, of_class("anchor", site=site), wearer=faller)
    assert parts_of(arrest)[spare] == "in-doubt"
    late = LATER + HOUR
    look = Finding(kind="after-event", verdict="pass", performed_at=late, inspector=huw.person)
    inspect(spare, finding=look, stamp=stamp(huw, at=late))
    act = {"stamp": stamp(huw, at=late + HOUR)}
    assert code_of(release_from_quarantine, spare, **act) == "finished-after-arrest"


# Since when


def test_an_item_is_out_since_the_fall_and_not_since_somebody_typed_it(site: Site) -> None:
    item, fine = ItemFactory(site=site), ItemFactory(site=site)
    fallen(site, item)
    quarantine(item, reason="label-unreadable", stamp=stamp(at=LATER + HOUR))
    withdraw(item, ground="arrested a fall", stamp=stamp(at=LATER + 2 * HOUR))
    item.refresh_from_db()
    assert out_since([item, fine]) == {item.pk: NOON}


def test_a_fall_told_later_moves_the_moment_back_and_never_forward(item: Item) -> None:
    quarantine(item, reason="damage-found", stamp=stamp(at=NOON - HOUR))
    fallen(item.site, item)
    item.refresh_from_db()
    assert out_since([item]) == {item.pk: NOON - HOUR}


def test_an_item_back_in_service_is_out_since_the_next_quarantine(item: Item, huw: User) -> None:
    quarantine(item, reason="damage-found", stamp=stamp())
    passed(item, DAY + timedelta(days=1))
    release_from_quarantine(item, stamp=stamp(huw, at=NOON + timedelta(days=2)))
    item.refresh_from_db()
    assert out_since([item]) == {}
    late = NOON + timedelta(days=3)
    again = quarantine(item, reason="damage-found", stamp=stamp(at=late))
    assert out_since([again]) == {item.pk: late}


# What was told


def test_the_first_account_stays_and_later_ones_have_a_day_and_an_author(
    site: Site, huw: User
) -> None:
    arrest = fallen(site, ItemFactory(site=site))
    add_account(arrest, text="It was the second board.", stamp=stamp(huw, at=LATER + HOUR))
    arrest.refresh_from_db()
    assert arrest.account == "A board turned."
    [added] = arrest.accounts.all()
    assert (added.text, added.by, added.at) == ("It was the second board.", huw, LATER + HOUR)
    kept = set(ActNote.objects.values_list("text", flat=True))
    assert {"A board turned.", "It was the second board."} <= kept


def test_what_was_forgotten_is_added_and_out_at_once(site: Site) -> None:
    arrest, connector = fallen(site, ItemFactory(site=site)), of_class("connector", site=site)
    told = {"text": "This was in it too.", "items": [connector]}
    add_account(arrest, stamp=stamp(at=LATER + HOUR), **told)
    assert state_of(connector) == ("quarantined", "arrested-a-fall")
    assert out_since([connector]) == {connector.pk: NOON}
    assert arrest.hold.items.filter(pk=connector.pk).exists()
    add_account(arrest, stamp=stamp(at=LATER + HOUR), **told)  # told twice, it is in it once
    assert arrest.lines.filter(item=connector).count() == 1


def test_what_is_filled_in_once_is_not_changed(site: Site) -> None:
    arrest = fallen(site, ItemFactory(site=site), particulars=Particulars(task="Rodding"))
    more = Particulars(task="Rodding", free_fall_m=Decimal("1.5"), first_aid="no")
    filled = fill_in(arrest, told=more, stamp=stamp(at=LATER + HOUR))
    assert (filled.task, filled.free_fall_m, filled.first_aid) == ("Rodding", Decimal("1.5"), "no")
    act = {"told": Particulars(free_fall_m=Decimal(2)), "stamp": stamp(at=LATER + 2 * HOUR)}
    assert code_of(fill_in, filled, **act) == "stands-already"
    nobody = Particulars()
    assert fill_in(arrest, told=nobody, stamp=stamp(at=LATER)).free_fall_m == Decimal("1.5")


def test_no_minute_of_suspension_is_a_figure_too(site: Site) -> None:
    arrest = fallen(site, ItemFactory(site=site), particulars=Particulars(suspended_minutes=0))
    assert Arrest.objects.get(pk=arrest.pk).suspended_minutes == 0
    act = {"told": Particulars(suspended_minutes=9), "stamp": stamp(at=LATER)}
    assert code_of(fill_in, arrest, **act) == "stands-already"


# Other events


@pytest.mark.parametrize("kind", sorted(EVENT_KINDS.keys() - {"arrest"}))
def test_after_any_event_only_a_pass_that_comes_after_it_brings_an_item_back(
    site: Site, huw: User, kind: str
) -> None:
    item = of_class("anchor", site=site)
    passed(item, DAY - timedelta(days=1), "after-event")
    happened(site, item, kind=kind)
    assert not verdict_of(Item.objects.get(pk=item.pk), DAY).usable
    late = LATER + HOUR
    assert code_of(release_from_quarantine, item, stamp=stamp(huw, at=late)) == "no-pass-since"
    look = Finding(kind="after-event", verdict="pass", performed_at=late, inspector=huw.person)
    inspect(item, finding=look, stamp=stamp(huw, at=late))
    assert release_from_quarantine(item, stamp=stamp(huw, at=late)).condition == "in-service"


def test_a_load_test_is_about_anchors_alone(site: Site) -> None:
    anchor, harness = of_class("anchor", site=site), ItemFactory(site=site)
    assert code_of(happened, site, anchor, harness, kind="load-test") == "anchors-only"
    assert state_of(anchor)[0] == "in-service"
    happened(site, anchor, kind="load-test")
    assert state_of(anchor) == ("quarantined", "load-tested")


def test_an_event_needs_something_that_was_in_it_and_a_kind_of_its_own(item: Item) -> None:
    assert code_of(happened, item.site) == "nothing-named"
    assert code_of(happened, item.site, item, kind="arrest") == "kind-unknown"
    assert not Event.objects.exists()


def test_the_outcome_of_each_item_is_read_from_what_was_done_since(site: Site, huw: User) -> None:
    still, back, gone, before = (ItemFactory(site=site) for _ in range(4))
    withdraw(before, ground="end of life", stamp=stamp())
    event = happened(site, still, back, gone, before)
    passed(back, DAY + timedelta(days=1))
    release_from_quarantine(back, stamp=stamp(huw, at=NOON + timedelta(days=2)))
    withdraw(gone, ground="policy", stamp=stamp(at=LATER + HOUR))
    destroy(gone, method="cut", witness=PersonFactory(), stamp=stamp(at=LATER + 2 * HOUR))
    items = list(Item.objects.filter(pk__in=[still.pk, back.pk, gone.pk, before.pk]))
    assert outcomes_of(event, items) == {
        still.pk: "",
        back.pk: "Back in service since 11 Mar 2026",
        gone.pk: "Destroyed on 9 Mar 2026",
        before.pk: "Was out already: withdrawn for good",
    }


def test_every_reason_an_event_gives_is_known_and_a_look_after_it_ends_it() -> None:
    reasons = {kind.reason for kind in EVENT_KINDS.values()} | set(REASON_OF_PART.values())
    assert reasons <= QUARANTINE_REASONS.keys()
    assert REASON_OF_PART.keys() < PARTS.keys()
    assert {why for why in reasons if not may_release(why, "after-event")} == set()
    assert {why for why in reasons if may_release(why, "pre-use")} == set()
