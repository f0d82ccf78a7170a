"""A fall was arrested: the whole load path is out at once, and held as evidence."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import datetime
from decimal import Decimal

from django.conf import settings
from django.db import transaction
from django.db.models import Exists, OuterRef, Q
from django.utils import translation
from django.utils.translation import gettext as _

from inspections.actions.events import (
    codes_of,
    columns_of,
    locked_things,
    of_kits,
    put_in,
    refuse_future,
    unseal,
)
from inspections.actions.telling_at_once import tell_of_arrest
from inspections.models import Arrest
from register import clock
from register.actions.conditions import zone_at
from register.actions.holding import hold
from register.models import Item, Kit, Movement, Person, Site, Stamp, Zone, record
from register.refusal import Refusal
from register.rules.classes import CLASSES
from register.wording import shown_day

WORN = frozenset({"harness"})
LINKS = frozenset(
    {
        *("lanyard", "energy-absorbing-lanyard", "positioning-lanyard", "retractable"),
        *("guided-arrester", "rope", "rope-adjuster"),
    }
)
NOT_KNOWN: tuple[object, ...] = ("", None, [])
ANCHORS = [slug for slug, kind in CLASSES.items() if kind.is_anchor]


@dataclass(frozen=True, slots=True, kw_only=True)
class Particulars:
    """What a fall has more than its pieces; what is not known yet stays open. Nothing medical."""

    wearer_alias: str = ""
    task: str = ""
    free_fall_m: Decimal | None = None
    suspended_minutes: int | None = None
    rescue_method: str = ""
    rescue_kit: Kit | None = None
    rescuers: Sequence[Person] = ()
    first_aid: str = ""
    report_reference: str = ""
    evidence_place: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fall:
    """An arrested fall as it is told first: when, in whose words, who, where, who hung beside."""

    happened_at: datetime
    account: str
    wearer: Person | None = None
    zone: Zone | None = None
    place: str = ""
    others_on_line: Sequence[Person] = ()
    particulars: Particulars = Particulars()


@transaction.atomic
def record_arrest(site: Site, *, items: Sequence[Item], fall: Fall, stamp: Stamp) -> Arrest:
    """Everything between the person and the structure is out at once, and the rescue kit used.

    A load path runs from a harness over a link to an anchor. Where no harness or no link is named,
    all that the wearer had is out; where no anchor is, every anchor of the zone; until it is known.
    So is what others had who hung on the same line.
    """
    refuse_future(fall.happened_at, stamp)
    zone_at(site, fall.zone)
    parts = _parts(items, fall)
    if not parts:
        raise Refusal(
            "nothing-named",
            _(
                "Name what was between the person and the structure, anchor included, or the person."
            ),
        )
    held = locked_things(list(parts))
    evidence = hold(held, site=site, because=_because(site, fall), stamp=stamp.again())
    columns = {**columns_of(fall, stamp), "wearer": fall.wearer, "hold": evidence}
    arrest = Arrest.objects.create(site=site, **columns)
    facts = {"items": codes_of(held), "happened_at": fall.happened_at.isoformat()}
    record("arrest", {arrest: facts}, stamp=stamp, notes={"account": fall.account}, sites=[site])
    put_in(arrest, {item: parts[item] for item in held}, stamp)
    unseal(held, stamp)
    tell_of_arrest(arrest, held, stamp=stamp)
    fill_in(arrest, told=fall.particulars, stamp=stamp.again())
    return arrest


def _because(site: Site, fall: Fall) -> str:
    """It is kept, and read by everybody: not in the language of who writes."""
    with translation.override(settings.LANGUAGE_CODE):
        day = shown_day(clock.day_at(site, fall.happened_at))
        return _("fall arrested on %(day)s") % {"day": day}


@transaction.atomic
def fill_in(arrest: Arrest, *, told: Particulars, stamp: Stamp) -> Arrest:
    """What was left open becomes known; what stands is not changed: that takes an account more."""
    arrest = Arrest.objects.select_for_update().get(pk=arrest.pk)  # type: ignore[assignment]
    new = {name: value for name, value in _told(told).items() if value != _standing(arrest, name)}
    if not new:
        return arrest
    for name in new:
        if _standing(arrest, name) not in NOT_KNOWN:
            named = getattr(Arrest._meta.get_field(name), "verbose_name", name)  # noqa: SLF001
            raise Refusal(
                "stands-already",
                _(
                    "“%(named)s” stands already and is not changed. Add an account that says what was"
                    " wrong."
                )
                % {"named": named},
            )
    if kit := told.rescue_kit if "rescue_kit" in new else None:
        _put_out_kit(arrest, kit, stamp)
    if "rescuers" in new:
        arrest.rescuers.set(told.rescuers)
    plain = {name: value for name, value in new.items() if name != "rescuers"}
    for name, value in plain.items():
        setattr(arrest, name, value)
    arrest.full_clean()
    arrest.save(update_fields=list(plain))
    notes = {name: str(value) for name, value in plain.items()}
    record("fill-in-arrest", {arrest: {"known": sorted(new)}}, stamp=stamp, notes=notes)
    return arrest


def _put_out_kit(arrest: Arrest, kit: Kit, stamp: Stamp) -> None:
    known = set(arrest.lines.values_list("item_id", flat=True))
    items = [item for item in of_kits([kit]) if item.pk not in known]
    held = locked_things(items)
    put_in(arrest, dict.fromkeys(held, "rescue-kit"), stamp)
    if arrest.hold:
        arrest.hold.items.add(*held)
    unseal(held, stamp)


def _told(told: Particulars) -> Mapping[str, object]:
    said = {field.name: getattr(told, field.name) for field in fields(Particulars)}
    said["rescuers"] = sorted(person.pk for person in told.rescuers)
    return {name: value for name, value in said.items() if value not in NOT_KNOWN}


def _standing(arrest: Arrest, name: str) -> object:
    if name == "rescuers":
        return sorted(arrest.rescuers.values_list("pk", flat=True))
    return getattr(arrest, name)


def _parts(items: Sequence[Item], fall: Fall) -> dict[Item, str]:
    """Each item that is out, and how it was in it; what is certain goes before what is not."""
    kits = list(Kit.objects.filter(item__in=items))
    kits += [fall.particulars.rescue_kit] if fall.particulars.rescue_kit else []
    used = of_kits(kits)
    named = [item for item in items if item not in used]
    parts: dict[Item, str] = {}
    for part, found in (
        ("load-path", named),
        ("rescue-kit", used),
        ("in-doubt", _had_unless_whole(named, fall)),
        ("in-doubt", _anchors_in_doubt(named, fall.zone)),
        ("same-line", _had_by(fall.others_on_line, fall.happened_at)),
    ):
        for item in found:
            parts.setdefault(item, part)
    return parts


def _had_unless_whole(named: Sequence[Item], fall: Fall) -> list[Item]:
    """All that the wearer had, where what was named is no whole path."""
    classes = {item.product.equipment_class for item in named}
    if fall.wearer is None or (classes & WORN and classes & LINKS):
        return []
    return _had_by([fall.wearer], fall.happened_at)


def _had_by(people: Iterable[Person], at: datetime) -> list[Item]:
    """On issue to them now, or then: wherever it went since, unless it was handed back before."""
    had = list(people)
    kinds = Movement.Kind
    handed_back = Movement.objects.filter(
        item=OuterRef("item"), kind=kinds.RETURNED, at__gte=OuterRef("at"), at__lt=at
    )
    went_out = Movement.objects.filter(kind=kinds.ISSUED, person__in=had, at__lte=at)
    back = Movement.objects.filter(kind=kinds.RETURNED, person__in=had, at__gte=at)
    then = went_out.filter(~Exists(handed_back)).values("item")
    return list(
        Item.objects.filter(Q(holder__in=had) | Q(pk__in=then) | Q(pk__in=back.values("item")))
    )


def _anchors_in_doubt(named: Sequence[Item], zone: Zone | None) -> list[Item]:
    """Every anchor of the zone, where none is named."""
    if zone is None or any(item.product.kind.is_anchor for item in named):
        return []
    return list(Item.objects.filter(zone=zone, product__equipment_class__in=ANCHORS))
