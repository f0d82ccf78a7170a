"""The contents card of a rescue kit: what is in the bag, what it can do, and whether it may be used."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from inspections import record
from inspections.rules.verdict import Verdict
from inspections.wording import verdict_sentence
from readiness.models import KitAbility, family_name
from readiness.rules.windows import midnight
from register.documents.content import (
    Block,
    Caution,
    Content,
    Heading,
    Identity,
    Row,
    Statement,
    Table,
    ToWrite,
)
from register.documents.kinds import Kind
from register.models import Item, Kit, KitPart, Site
from register.wording import shown_day, shown_number

_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class KitRead:
    """A kit with its parts in their order and the verdict on each piece, by the item's key."""

    kit: Kit
    parts: tuple[KitPart, ...]
    verdicts: dict[int, Verdict]
    ability: KitAbility | None

    @property
    def verdict(self) -> Verdict:
        return self.verdicts[self.kit.item_id]


def read_kit(kit: Kit, at: datetime) -> KitRead:
    parts = tuple(kit.parts.select_related("item__product", "item__site"))
    item = Item.objects.with_product().get(pk=kit.item_id)
    kit.item = item
    verdicts = record.verdicts_at([item, *(part.item for part in parts if part.item)], at)
    return KitRead(kit, parts, verdicts, KitAbility.objects.filter(kit=kit).first())


def _find(ids: Sequence[str]) -> Kit | None:
    return Kit.objects.select_related("item__site", "item__zone").filter(pk=ids[0]).first()


def _site(kit: Kit) -> Site:
    site: Site = kit.item.site
    return site


def content_of(kit: Kit, at: datetime) -> Content:
    """Good until the day after the kit's last good day begins; not usable, it says so first."""
    read = read_kit(kit, at)
    said = {"kit": kit.name, "version": kit.contents_version}
    usable = read.verdict.usable
    return Content(
        title=_("Contents card, kit %(kit)s") % said,
        about=_("Rescue kit %(kit)s, contents version %(version)s") % said,
        blocks=tuple(_blocks(read)),
        good_until_at=_good_until(read) if usable else None,
    )


def _good_until(read: KitRead) -> datetime | None:
    through = read.verdict.through
    zone = ZoneInfo(read.kit.item.site.time_zone)
    return midnight(through + _DAY, zone) if through else None


def _blocks(read: KitRead) -> Iterator[Block]:
    sentence = verdict_sentence(read.verdict)
    if not read.verdict.usable:
        yield Statement(_("DO NOT USE"), (sentence, _("It covers nobody.")), forbids=True)
    yield Identity(tuple(_identity(read, sentence)))
    yield Heading(_("What is in it"))
    heads = (_("No."), _("Part"), _("Tag"), _("Product"), _("Serial"), _("Use"))
    rows = tuple(_row(number, part, read) for number, part in enumerate(read.parts, 1))
    yield Table(heads, rows, (0.6, 2.6, 1.6, 3, 2, 3))
    yield Caution(
        _(
            "Opened, with a part missing or with the seal broken or other than on this card, it covers"
            " nobody: stop the tasks that rely on it, and tell the supervisor."
        )
    )
    yield Heading(_("Opened"))
    yield ToWrite((_("Day and hour"), _("By whom"), _("Why: rescue, drill, inspection")))


def _identity(read: KitRead, sentence: str) -> Iterator[tuple[str, str]]:
    kit, item = read.kit, read.kit.item
    unknown = _("not recorded")
    spot = (item.zone.name if item.zone else "", item.place, item.site.name)
    yield _("Tag"), item.shown_code
    yield _("Hangs at"), ", ".join(part for part in spot if part)
    yield _("Use"), sentence
    if kit.seal_intact:
        on = shown_day(kit.sealed_on) if kit.sealed_on else unknown
        yield _("Seal"), _("%(seal)s, closed on %(day)s") % {"seal": kit.seal_number, "day": on}
    else:
        yield _("Seal"), _("not sealed")
    if read.ability is None:
        yield _("What it does"), unknown
        return
    yield from _able(read.ability)


def _able(ability: KitAbility) -> Iterator[tuple[str, str]]:
    does = {
        _("lowers"): ability.lowers,
        _("raises"): ability.raises,
        _("attaches out of reach"): ability.attaches_remotely,
    }
    family = family_name(ability.family, ability.family)
    words = [word for word, able in does.items() if able]
    yield _("Trained on"), family
    yield _("What it does"), ", ".join(words) or _("nothing is recorded")
    loads = {"least": ability.min_load_kg, "most": ability.max_load_kg}
    yield _("Rated load"), _("%(least)s to %(most)s kg") % loads
    height = shown_number(ability.max_height_m)
    yield _("Greatest height"), _("%(height)s m") % {"height": height}


def _row(number: int, part: KitPart, read: KitRead) -> Row:
    role = part.role if part.required else _("%(part)s (optional)") % {"part": part.role}
    item = part.item
    if item is None:
        missing = _("MISSING") if part.required else _("not there")
        return Row((str(number), role, missing, "", "", ""), strong=part.required)
    verdict = read.verdicts[item.pk]
    product, use = str(item.product), verdict_sentence(verdict)
    cells = (str(number), role, item.shown_code, product, item.serial, use)
    return Row(cells, strong=not verdict.usable)


def facts_of(kit: Kit, at: datetime) -> dict[str, object]:
    read = read_kit(kit, at)
    item, ability = kit.item, read.ability
    return {
        "contents": [
            kit.contents_version,
            *(
                [part.role, part.required, part.item.code if part.item else ""]
                for part in read.parts
            ),
        ],
        "pieces": [
            [part.item.serial, str(part.item.product), *_judged(read.verdicts[part.item.pk])]
            for part in read.parts
            if part.item
        ],
        "kit": [item.code, *_judged(read.verdict)],
        "seal": [kit.seal_number, kit.seal_intact, _iso(kit.sealed_on)],
        "place": [item.site.code, item.zone.name if item.zone else "", item.place],
        "ability": _ability_facts(ability) if ability else [],
    }


def _judged(verdict: Verdict) -> list[object]:
    return [verdict.usable, verdict.code, _iso(verdict.through)]


def _iso(day: object) -> str:
    return day.isoformat() if hasattr(day, "isoformat") else ""


def _ability_facts(ability: KitAbility) -> list[object]:
    told = ("family", "lowers", "raises", "attaches_remotely", "max_load_kg", "min_load_kg")
    return [*(getattr(ability, name) for name in told), str(ability.max_height_m)]


def _rows(kit: Kit) -> Sequence[Kit]:
    return [kit]


KIT_CARD = Kind(
    slug="kit-card",
    name=gettext_noop("Contents card of a rescue kit"),
    parts={
        "contents": gettext_noop("the contents"),
        "pieces": gettext_noop("a piece in it"),
        "kit": gettext_noop("whether it may be used"),
        "seal": gettext_noop("the seal"),
        "place": gettext_noop("where it hangs"),
        "ability": gettext_noop("what it does"),
    },
    find=_find,
    rows=_rows,
    site=_site,
    content=content_of,
    facts=facts_of,
)
