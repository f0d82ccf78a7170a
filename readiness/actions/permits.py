"""Signing a permit to work on a kept answer of cover, and ending it."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from readiness.facts.promised import read_promises, stated_between
from readiness.models import CoverCheck, Permit
from readiness.rules.relied import Promise, broken
from register.actions.locking import locked_site
from register.models import Site, Stamp, record
from register.refusal import Refusal


@transaction.atomic
def sign_permit(check: CoverCheck, *, stamp: Stamp) -> Permit:
    """The task keeps the kit, people and anchor of the check for its hours, in order of signing.

    Two who sign at once for one site come one after the other, and the second sees the first.
    """
    site = locked_site(check.site)
    check = CoverCheck.objects.select_related("task").get(pk=check.pk)
    _refuse_unless_signable(check, site, stamp)
    promise = _one_promise(check)
    _refuse_taken(promise, site)
    permit = Permit.objects.create(
        cover_check=check,
        site=site,
        task=check.task,
        reference=check.permit_reference,
        begins_at=check.begins_at,
        ends_at=check.ends_at,
        kit=promise.kit,
        people=list(promise.people),
        anchor=promise.anchor,
        signed_by=stamp.by,
        signed_at=stamp.at,
    )
    facts = {"reference": permit.reference, "check": check.reference, "kit": permit.kit}
    pinned = {"people": list(promise.people), "anchor": promise.anchor}
    record("sign-permit", {permit: {**facts, **pinned}}, stamp=stamp, sites=[site])
    return permit


def _refuse_unless_signable(check: CoverCheck, site: Site, stamp: Stamp) -> None:
    if not check.permit_reference:
        raise Refusal("no-reference", _("Keep a check with the reference of the permit first."))
    if Permit.objects.filter(cover_check=check).exists():
        raise Refusal(
            "signed-already",
            _("The permit on check %(check)s is signed already.") % {"check": check},
        )
    if check.ends_at <= stamp.at:
        raise Refusal(
            "time-over",
            _("The time of check %(check)s is over. Keep a new one.") % {"check": check},
        )
    statement = stated_between(site, check.begins_at, check.ends_at, stamp.at)
    promised = read_promises(check.promised)
    if check.untrue_at or broken(check.task.code, promised, statement, stamp.at):
        raise Refusal(
            "no-longer-true",
            _("Check %(check)s no longer holds. Keep a new one first.") % {"check": check},
        )


def _one_promise(check: CoverCheck) -> Promise:
    """A permit names one kit and one crew: where hands change within the hours, it takes two."""
    promised = read_promises(check.promised)
    if len({(one.kit, one.people, one.anchor) for one in promised}) != 1:
        raise Refusal(
            "hands-change",
            _(
                "Another kit, crew or anchor serves in a part of these hours. Keep a check for each"
                " part."
            ),
        )
    return promised[0]


def _refuse_taken(promise: Promise, site: Site) -> None:
    """What one permit keeps no other can have in the same hours."""
    others = Permit.objects.since(promise.begins).filter(site=site, begins_at__lt=promise.ends)
    for other in others.select_related("task"):
        if other.kit == promise.kit or {*other.people} & {*promise.people}:
            raise Refusal(
                "kept-by-another",
                _("Permit %(other)s for %(task)s keeps the same kit or people in these hours.")
                % {"other": other, "task": other.task.code},
            )


@transaction.atomic
def close_permit(permit: Permit, *, stamp: Stamp) -> Permit:
    """The work is done and the permit handed back: what it kept is free again."""
    return _ended("close-permit", permit, "", stamp)


@transaction.atomic
def cancel_permit(permit: Permit, *, because: str, stamp: Stamp) -> Permit:
    """The permit is taken back before its work is done."""
    if not because.strip():
        raise Refusal("no-reason", _("Say why the permit is cancelled."))
    return _ended("cancel-permit", permit, because.strip(), stamp)


def _ended(verb: str, permit: Permit, because: str, stamp: Stamp) -> Permit:
    permit = Permit.objects.select_for_update(of=("self",)).select_related("site").get(pk=permit.pk)
    if permit.ended_at is not None:
        raise Refusal(
            "ended-already", _("Permit %(permit)s was ended before.") % {"permit": permit}
        )
    permit.ended_at, permit.ended_by, permit.cancelled_because = stamp.at, stamp.by, because
    permit.save(update_fields=["ended_at", "ended_by", "cancelled_because"])
    notes = {"because": because}
    record(
        verb,
        {permit: {"reference": permit.reference}},
        stamp=stamp,
        notes=notes,
        sites=[permit.site],
    )
    return permit
