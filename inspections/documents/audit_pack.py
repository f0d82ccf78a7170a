"""The audit pack of a site as at any day: tables, records of all pieces or of a drawn sample, hashes."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.as_known import AsKnown, as_known
from inspections.documents.known_record import AS_KNOWN
from inspections.documents.site_then import items_then
from inspections.models import Inspection
from inspections.wording import verdict_sentence
from register.documents.batch import ZIP
from register.documents.bundles import Bundle
from register.documents.issuing import issue, moment_words
from register.errands import Made, Step
from register.exports.columns import Table, code, day, moment, text, yes_no
from register.models import Entry, Errand, Item, Site, Stamp
from register.refusal import Refusal
from register.wording import condition_name, shown_day

SAMPLES = (0, 10, 25, 50)
EVERY = -1
"""How many records are printed; each is a PDF with its seal, four or five a second."""


@dataclass(frozen=True, slots=True)
class Known:
    """One piece as it was known at the moment, and the head its chain had then."""

    item: Item
    then: AsKnown
    head: str

    @property
    def last(self) -> Inspection | None:
        return max(self.then.known, key=lambda one: one.performed_on, default=None)


@dataclass(frozen=True, slots=True)
class Record:
    """One inspection in a table of many pieces."""

    item: Item
    inspection: Inspection


def ends_at(site: Site, on: date, now: datetime) -> datetime:
    """The last moment of the site's day, and of today: now."""
    zone = ZoneInfo(site.time_zone)
    last = datetime.combine(on + timedelta(days=1), time(), tzinfo=zone)
    return min(last - timedelta(microseconds=1), now)


def given_for(on: date, sample: int, *, size: str) -> dict[str, object]:
    return {"on": on.isoformat(), "sample": sample, "size": size}


def words_of(given: Mapping[str, Any]) -> str:
    on = date.fromisoformat(given["on"])
    return _("Audit pack as at %(day)s") % {"day": shown_day(on)}


def make_pack(errand: Errand, step: Step, stamp_at: Callable[[], Stamp]) -> Made:
    """Refuses ('nothing-there') where no piece was at the site."""
    site, on = errand.sites.get(), date.fromisoformat(errand.given["on"])
    at = ends_at(site, on, stamp_at().at)
    items = items_then(site, at)
    if not items:
        told = _("On %(day)s no piece of equipment was on record at %(site)s.")
        raise Refusal("nothing-there", told % {"day": shown_day(on), "site": site})
    seed = f"{site.code} {on.isoformat()}"
    chosen = drawn(items, errand.given["sample"], seed)
    total = len(items) + len(chosen)
    known = []
    for done, item in enumerate(items):
        step(done, total, _("reading the records"))
        known.append(Known(item, as_known(item, at), _head(item, at)))
    bundle = Bundle()
    _tables(bundle, known)
    for done, item in enumerate(chosen, len(items)):
        step(done, total, _("printing the records"))
        name, file = _printed(errand, item, at, stamp_at())
        bundle.add(f"records/{item.shown_code}-{name}", file)
    numbers = (len(known), len(chosen))
    bundle.add("READ-ME.txt", "\n".join([*_read_me(site, at, numbers, seed), ""]).encode())
    return Made(f"audit-{site.code}-{on.isoformat()}.zip", ZIP, bundle.closed())


def _printed(errand: Errand, item: Item, at: datetime, stamp: Stamp) -> tuple[str, bytes]:
    known = errand.language in dict(settings.LANGUAGES)
    language = errand.language if known else settings.LANGUAGE_CODE
    size = errand.given["size"]
    made = issue(AS_KNOWN, item, stamp=stamp, language=language, size=size, as_at=at)
    return made.name, made.file


def drawn(items: Sequence[Item], sample: int, seed: str) -> list[Item]:
    """All of them, none, or so many drawn by a seed that stands in the pack: whoever draws again from
    the same pieces draws the same."""
    if sample == EVERY or sample >= len(items):
        return list(items)
    return sorted(random.Random(seed).sample(list(items), sample), key=lambda item: item.code)  # noqa: S311


def _head(item: Item, at: datetime) -> str:
    chain = Entry.objects.filter(thing_kind="item", thing_id=str(item.pk), act__at__lte=at)
    last = chain.order_by("-seq").values_list("hash", flat=True).first()
    return last or ""


def _tables(bundle: Bundle, known: Sequence[Known]) -> None:
    before = [Record(one.item, row) for one in known for row in one.then.known]
    later = [Record(one.item, row) for one in known for row in one.then.later]
    bundle.add_table("equipment.csv", Table(_("Equipment"), _EQUIPMENT, known, ()))
    bundle.add_table("inspections.csv", Table(_("Inspections"), _INSPECTIONS, before, ()))
    bundle.add_table("learned-later.csv", Table(_("Learned later"), _INSPECTIONS, later, ()))


_EQUIPMENT = (
    code("tag", gettext_lazy("Tag"), "item.code"),
    text("class", gettext_lazy("Class"), "item.product.kind_name"),
    text("product", gettext_lazy("Product"), lambda one: str(one.item.product)),
    code("serial", gettext_lazy("Serial"), "item.serial"),
    text(
        "condition",
        gettext_lazy("Condition then"),
        lambda one: condition_name(one.then.condition) if one.then.condition else None,
    ),
    yes_no("usable", gettext_lazy("Could be used"), "then.verdict.usable"),
    text("use", gettext_lazy("Use then"), lambda one: verdict_sentence(one.then.verdict)),
    day("through", gettext_lazy("Last good day"), "then.verdict.through"),
    day("last_on", gettext_lazy("Last inspection"), "last.performed_on"),
    text(
        "last_kind",
        gettext_lazy("Its kind"),
        lambda one: one.last.get_kind_display() if one.last else None,
    ),
    text(
        "last_verdict",
        gettext_lazy("Its verdict"),
        lambda one: one.last.get_verdict_display() if one.last else None,
    ),
    code("chain", gettext_lazy("Head of its chain then"), "head"),
)
_INSPECTIONS = (
    code("tag", gettext_lazy("Tag"), "item.code"),
    code("record", gettext_lazy("Record"), lambda one: str(one.inspection.pk)),
    day("performed_on", gettext_lazy("Performed"), "inspection.performed_on"),
    text("kind", gettext_lazy("Kind"), lambda one: one.inspection.get_kind_display()),
    text("verdict", gettext_lazy("Verdict"), lambda one: one.inspection.get_verdict_display()),
    text(
        "inspector",
        gettext_lazy("Inspector"),
        lambda one: str(one.inspection.inspector) if one.inspection.inspector else None,
    ),
    yes_no("counts", gettext_lazy("Moves the dates"), "inspection.counts"),
    moment("recorded_at", gettext_lazy("Recorded"), "inspection.recorded_at"),
)


def _read_me(site: Site, at: datetime, numbers: tuple[int, int], seed: str) -> Iterator[str]:
    pieces, records = numbers
    where = {"site": site, "moment": moment_words(at, site)}
    yield _("%(site)s, as known at %(moment)s") % where
    yield ""
    counts = {"pieces": pieces, "records": records}
    yield _("Pieces on record there: %(pieces)d. Records printed: %(records)d.") % counts
    if 0 < records < pieces:
        told = _("The sample was drawn by Python’s random.sample with the seed “%(seed)s”.")
        yield told % {"seed": seed}
    yield ""
    yield _(
        "equipment.csv tells each piece as it was known then; inspections.csv the records that stood"
        " then; learned-later.csv those that were made since. What is empty is not known."
    )
    yield _(
        "Which pieces were there is read from their arrivals; a piece in a kit goes where its kit"
        " goes, and which kit it is in is read as of today. Product and intervals are today’s."
    )
    yield _("SHA256SUMS holds the hash of each file: sha256sum -c SHA256SUMS compares them.")
    yield _("It tells the register, not the things: being on record does not mean fit.")
