"""Safety notices: entered, revised, withdrawn; what they mean is held in the same act."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from django.db import transaction
from django.utils.translation import gettext as _

from inspections.actions.telling_at_once import tell_of_notice
from inspections.conditions import refresh_due
from inspections.matching import found_by, matches_now, products_meant, rule_of
from inspections.models import Notice, NoticeMatch
from inspections.notice_wording import notice_kind_name, notice_problem
from inspections.rules.notice_kinds import NOTICE_KINDS, deadline_problem
from inspections.rules.notice_match import Match, Rule
from inspections.rules.serial_order import RangeProblem, sound
from register import clock
from register.intake.keys import name_key
from register.models import Item, Product, Site, Stamp, record
from register.refusal import Refusal
from register.wording import lower_first

AT_ONCE = 500
CARRIED = (
    *("acknowledged_at", "acknowledged_by", "acknowledged_how"),
    *("outcome", "closed_at", "closed_by", "closed_because", "inspection"),
)
SAME_TASK = ("kind", "instructions", "deadline_on")  # what was settled under it stays settled


@transaction.atomic
def issue_notice(notice: Notice, *, stamp: Stamp) -> Notice:
    """Enter a notice and hold all that it certainly or possibly means. ``notice`` is not yet saved."""
    if notice.revises is None:
        refuse_known(notice)
    _refuse_unsound(notice, stamp)
    rule = rule_of(notice)
    products = _settled_products(rule)
    notice.recorded_at, notice.recorded_by = stamp.at, stamp.by
    notice.full_clean()
    notice.save()
    found = {one.item_id: one.match for one in found_by(rule, products)}
    NoticeMatch.objects.bulk_create(_new_matches(notice, found, stamp), batch_size=AT_ONCE)
    _follow(notice, found)
    sites = _sites_of(found)
    record("issue-notice", {notice: _facts(notice, found)}, stamp=stamp, sites=sites)
    tell_of_notice(notice, [pk for pk, one in found.items() if one.is_meant], stamp=stamp)
    return notice


@transaction.atomic
def revise_notice(old: Notice, new: Notice, *, because: str, stamp: Stamp) -> Notice:
    """Another version takes the notice's place; both stay readable, the reason between them.

    What was settled stays settled where kind, special inspection and last day are the same; what
    somebody judged to be not meant is asked again, for the rule may mean it now.
    """
    old = Notice.objects.select_for_update().get(pk=old.pk)
    _refuse_closed(old)
    if not because.strip():
        raise Refusal("reason-missing", _("Say what has changed."))
    bound = _bound_by(old)
    new.issuer, new.reference = old.issuer, old.reference
    new.name_key, new.version = old.name_key, old.version + 1
    new.revises, new.revised_because = old, because
    new = issue_notice(new, stamp=stamp)
    if all(getattr(old, name) == getattr(new, name) for name in SAME_TASK):
        _carry_over(old, new)
    facts: Mapping[str, object] = {"revised_by": new.pk, "because": because}
    record("revise-notice", {old: facts}, stamp=stamp.again(), sites=_sites_of(bound))
    _refresh(bound)
    return new


@transaction.atomic
def withdraw_notice(notice: Notice, *, because: str, stamp: Stamp) -> Notice:
    """The issuer took it back, or it was entered in error: it holds nothing any more."""
    notice = Notice.objects.select_for_update().get(pk=notice.pk)
    _refuse_closed(notice)
    if not because.strip():
        raise Refusal("reason-missing", _("Say why the notice no longer holds, and who says so."))
    bound = _bound_by(notice)
    notice.withdrawn_at, notice.withdrawn_by = stamp.at, stamp.by
    notice.withdrawn_because = because
    notice.save(update_fields=["withdrawn_at", "withdrawn_by", "withdrawn_because"])
    facts = {"because": because}
    record("withdraw-notice", {notice: facts}, stamp=stamp, sites=_sites_of(bound))
    _refresh(bound)
    return notice


@transaction.atomic
def match_items(items: Sequence[Item], *, stamp: Stamp) -> list[NoticeMatch]:
    """Ask every notice in force about items that are new or of which something else is known now.

    Returns the matches that are new or have changed. Items need their product loaded.
    """
    changed: list[NoticeMatch] = []
    for notice in Notice.objects.in_force() if items else ():
        changed += _matched(notice, items, stamp)
    return changed


def _matched(notice: Notice, items: Sequence[Item], stamp: Stamp) -> list[NoticeMatch]:
    told = matches_now(notice, items)
    stored = {row.item_id: row for row in notice.matches.filter(item__in=told)}
    fresh = {pk: one for pk, one in told.items() if one.is_meant and pk not in stored}
    moved = [row for pk, row in stored.items() if _takes(row, told[pk])]
    rows = NoticeMatch.objects.bulk_create(_new_matches(notice, fresh, stamp), batch_size=AT_ONCE)
    names = ["certainty", "doubts", "outcome", "closed_because"]
    NoticeMatch.objects.bulk_update(moved, names, batch_size=AT_ONCE)
    if changed := [*rows, *moved]:
        again = {row.item_id: told[row.item_id] for row in changed}
        facts = _by_certainty(again)
        record("match-notice", {notice: facts}, stamp=stamp.again(), sites=_sites_of(again))
        _follow(notice, again)
        tell_of_notice(notice, [pk for pk, one in again.items() if one.is_meant], stamp=stamp)
    return changed


def _takes(row: NoticeMatch, told: Match) -> bool:
    """Whether the match is another than before; what somebody called 'not meant' is asked again."""
    before = row.judged
    row.certainty, row.doubts = told.certainty, [list(doubt) for doubt in told.doubts]
    if row.judged == before:
        return False
    if row.outcome == "not-ours" and told.is_meant:
        row.outcome, row.closed_because = "", ""
    return True


def _new_matches(notice: Notice, found: Mapping[int, Match], stamp: Stamp) -> Iterator[NoticeMatch]:
    for pk, told in found.items():
        doubts = [list(doubt) for doubt in told.doubts]
        common = {"certainty": told.certainty, "doubts": doubts, "matched_at": stamp.at}
        yield NoticeMatch(notice=notice, item_id=pk, **common)


def _carry_over(old: Notice, new: Notice) -> None:
    """What was settled and acknowledged under the version before."""
    before = {row.item_id: row for row in old.matches.exclude(outcome="not-ours")}
    rows = list(new.matches.filter(item__in=before))
    for row in rows:
        for name in CARRIED:
            setattr(row, name, getattr(before[row.item_id], name))
    NoticeMatch.objects.bulk_update(rows, CARRIED, batch_size=AT_ONCE)


def _settled_products(rule: Rule) -> list[Product]:
    """The products meant, locked so that pieces on their way in are in before they are looked for.

    On PostgreSQL an insert of an item shares a lock on its product, and waits for this one.
    """
    keys = [one.pk for one in products_meant(rule)]
    return list(Product.objects.select_for_update().filter(pk__in=keys).order_by("pk"))


def _follow(notice: Notice, items: Iterable[int]) -> None:
    """A last day of use is a clock: the stored due days follow."""
    if notice.deadline_on:
        _refresh(items)


def _refresh(items: Iterable[int]) -> None:
    for keys in _slices(items):
        refresh_due(list(Item.objects.filter(pk__in=keys).select_related("product")))


def _slices(items: Iterable[int]) -> Iterator[list[int]]:
    keys = list(items)
    yield from (keys[at : at + AT_ONCE] for at in range(0, len(keys), AT_ONCE))


def _bound_by(notice: Notice) -> list[int]:
    return list(notice.matches.values_list("item_id", flat=True))


def _sites_of(items: Iterable[int]) -> set[int]:
    """The sites at which the items are, and for those on their way the sites they go to."""
    sites: set[int | None] = set()
    for keys in _slices(items):
        pairs = Item.objects.filter(pk__in=keys).values_list("site", "bound_for").distinct()
        sites |= {pk for pair in pairs.order_by() for pk in pair}
    return {pk for pk in sites if pk}


def _facts(notice: Notice, found: Mapping[int, Match]) -> dict[str, object]:
    rule = ("products", "serials", "batches")
    days = ("made_from_on", "made_through_on", "sold_from_on", "sold_through_on", "deadline_on")
    return {
        **{name: getattr(notice, name) for name in ("issuer", "reference", "version", "kind")},
        **{name: getattr(notice, name) for name in rule},
        **{name: _iso(getattr(notice, name)) for name in (*days, "received_on")},
        **_by_certainty(found),
    }


def _by_certainty(found: Mapping[int, Match]) -> dict[str, object]:
    told: dict[str, list[int]] = {"certain": [], "possible": [], "none": []}
    for pk, one in sorted(found.items()):
        told[one.certainty].append(pk)
    return {f"items_{certainty}": keys for certainty, keys in told.items() if keys}


def _iso(day: object) -> str | None:
    return str(day) if day else None


def _refuse_closed(notice: Notice) -> None:
    if not notice.is_in_force:
        raise Refusal(
            "notice-closed",
            _("%(notice)s was withdrawn or revised before: load it anew.") % {"notice": notice},
        )


def refuse_known(notice: Notice) -> None:
    issuer, reference = name_key(notice.issuer), name_key(notice.reference)
    if not issuer or not reference:
        raise Refusal("reference-empty", notice_problem("reference-empty"))
    notice.name_key, notice.version = f"{issuer}/{reference}", 1
    if known := Notice.objects.filter(name_key=notice.name_key).first():
        raise Refusal("reference-known", notice_problem("reference-known", str(known)))


def _refuse_unsound(notice: Notice, stamp: Stamp) -> None:
    """A notice that would hold nothing, everything or the wrong pieces is refused."""
    code, line = problem_of(notice)
    if code:
        raise Refusal(code, notice_problem(code, line))
    first_site = Site.objects.order_by("pk").first()
    if first_site and notice.received_on > clock.day_at(first_site, stamp.at):
        raise Refusal("in-the-future", notice_problem("in-the-future"))


def problem_of(notice: Notice) -> tuple[str, str]:
    """The first thing wrong with it, as a code and the words it concerns; ('', '') for none."""
    rule = rule_of(notice)
    if rule.means_everything:
        return "rule-empty", ""
    try:
        for one in rule.serials:
            sound(one)
    except RangeProblem as problem:
        return problem.code, problem.line
    if misplaced := _misplaced_days(rule):
        return "days-reversed", misplaced
    if notice.deadline_on and notice.deadline_on < notice.received_on:
        return "before-received", ""
    return _deadline_problem(notice)


def _misplaced_days(rule: Rule) -> str:
    """What the days are of that end before they begin, or ''."""
    if rule.made_from_on and rule.made_through_on and rule.made_from_on > rule.made_through_on:
        return "manufacture"
    if rule.sold_from_on and rule.sold_through_on and rule.sold_from_on > rule.sold_through_on:
        return "sale"
    return ""


def _deadline_problem(notice: Notice) -> tuple[str, str]:
    if notice.kind not in NOTICE_KINDS:
        return "deadline-not-for-this-kind", notice.kind
    code = deadline_problem(notice.kind, given=bool(notice.deadline_on))
    return code, lower_first(notice_kind_name(notice.kind))
