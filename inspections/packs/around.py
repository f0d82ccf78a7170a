"""What goes with the items in a pack: checklists, notices, the user's own rights, rounds, people."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from inspections.actions.arresting import ANCHORS, LINKS, WORN
from inspections.checklist_wording import worded
from inspections.checklists import checklist_for
from inspections.models import Authorisation, NoticeMatch, Round, RoundLine
from inspections.packs.items import Days
from inspections.rules.checklists import content_of, hash_of
from register.models import Item, Person, Site, Tag, User, Zone

DUE_WITHIN_DAYS = 42


def about(items: Sequence[Item]) -> dict[str, object]:
    """What the items need beside themselves."""
    return {
        "products": products(items),
        "old_tags": old_tags(items),
        "checklists": checklists(items),
        "notices": notices(items),
    }


def checklists(items: Iterable[Item]) -> dict[str, object]:
    """Each version once, in the reader's language under the hash of its file, and which class goes by which."""
    slugs = sorted({item.product.equipment_class for item in items})
    found = {slug: checklist_for(slug) for slug in slugs}
    return {
        "of_class": {slug: hash_of(one) for slug, one in found.items()},
        "by_hash": {hash_of(one): content_of(worded(one)) for one in found.values()},
    }


def notices(items: Sequence[Item]) -> list[dict[str, object]]:
    """The notices in force that mean something here and are not settled for it."""
    codes = {item.pk: item.code for item in items}
    rows = NoticeMatch.objects.to_settle().filter(item__in=codes).select_related("notice")
    told: dict[int, dict[str, object]] = {}
    for row in rows.order_by("notice", "item"):
        notice = row.notice
        deadline = notice.deadline_on.isoformat() if notice.deadline_on else None
        particulars = {
            "id": notice.pk,
            "name": str(notice),
            "kind": notice.kind,
            "text": notice.text,
            "instructions": notice.instructions,
            "deadline": deadline,
            "items": [],
        }
        lines = told.setdefault(notice.pk, particulars)["items"]
        assert isinstance(lines, list)  # noqa: S101 - made just above
        lines.append([codes[row.item_id], row.certainty, row.acknowledged_at is not None])
    return list(told.values())


def authorisations(user: User, days: Days) -> list[dict[str, object]]:
    """What the user may inspect within the life of the pack; none where the login is no person's."""
    if user.person_id is None:
        return []
    rows = Authorisation.objects.filter(
        person=user.person_id, through_on__gte=days.first, from_on__lte=days.last
    )
    return [
        {
            "classes": row.classes,
            "kinds": row.kinds,
            "from": row.from_on.isoformat(),
            "through": row.through_on.isoformat(),
        }
        for row in rows
    ]


def rounds(site: Site, user: User) -> list[dict[str, object]]:
    """The user's own open rounds there, with what they expected and how each line stands."""
    found = list(Round.objects.open().filter(site=site, inspector=user.person_id))
    lines: dict[object, list[list[object]]] = {one.pk: [] for one in found}
    rows = RoundLine.objects.filter(round__in=found).select_related("item", "inspection")
    for line in rows.order_by("pk"):
        lines[line.round_id].append(_line(line))
    return [
        {
            "id": str(one.pk),
            "kind": one.kind,
            "covers_periodic": one.covers_periodic,
            "chosen": one.chosen,
            "began_at": one.began_at.isoformat(),
            "lines": lines[one.pk],
        }
        for one in found
    ]


def _line(line: RoundLine) -> list[object]:
    """[tag, text, state, listed, look, at, verdict, whether the words of a first tap are missing]"""
    code = line.item.code if line.item else ""
    look = str(line.look) if line.look else None
    at = line.at.isoformat() if line.at else None
    verdict = line.stopped or (line.inspection.verdict if line.inspection else "")
    return [code, line.text, line.state, line.listed, look, at, verdict, bool(line.stopped)]


def products(items: Iterable[Item]) -> list[list[object]]:
    """What may be taken on in a round: [id, name, class] of each product that is here."""
    found = {item.product_id: item.product for item in items}
    rows = sorted(found.values(), key=lambda one: (str(one), one.pk))
    return [[one.pk, str(one), one.equipment_class] for one in rows]


def people(items: Iterable[Item], site: Site, days: Days) -> dict[int, str]:
    """The names needed to say who holds what and who hung there: holders, and who works here."""
    holders = {item.holder_id for item in items if item.holder_id}
    here = Person.objects.here_on(days.first)
    rows = here.filter(home_site=site) | here.filter(pk__in=holders)
    return dict(rows.order_by("name", "pk").values_list("pk", "name"))


def arrests(site: Site) -> dict[str, object]:
    """What an arrested fall puts out beside what is named: see ``record_arrest`` for the rule."""
    zones = Zone.objects.filter(site=site)
    return {
        "worn": sorted(WORN),
        "links": sorted(LINKS),
        "anchors": sorted(ANCHORS),
        "zones": dict(zones.values_list("code", "name")),
    }


def old_tags(items: Sequence[Item]) -> dict[str, str]:
    """Codes that were replaced by others, and the code their item has now."""
    codes = {item.pk: item.code for item in items}
    rows = Tag.objects.filter(item__in=codes).exclude(replaced_at=None)
    return {code: codes[item] for code, item in rows.values_list("code", "item_id")}
