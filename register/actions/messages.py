"""People are told: messages written with the act they tell of, and where each wants them.

A message is a row in the transaction of what it tells (or of the morning), so that neither is there
without the other. It is sent afterwards, by whoever empties the outbox.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import datetime
from functools import partial

from django.conf import settings
from django.db import transaction
from django.db.models import Q
from django.utils import translation
from django.utils.translation import gettext as _

from register.actions.signing_in import has_left
from register.links import link_to
from register.models import Grant, Message, MessageTerms, Postbox, Role, Stamp, User, record
from register.refusal import Refusal
from register.rules.letters import Letter, letter, paragraph
from register.rules.message_kinds import ARREST, CONFIRM, COVER, KINDS, NOTICE, TAG_STOP

RUNNING = frozenset({Role.SUPERVISOR, Role.MANAGER})

TOLD: Mapping[str, frozenset[Role]] = {
    ARREST: RUNNING | {Role.STORES, Role.COMPETENT},
    NOTICE: RUNNING | {Role.STORES},
    COVER: RUNNING,
    TAG_STOP: frozenset({Role.MANAGER, Role.STORES}),
}
"""Who is told at once, at the sites that it concerns; each may see it by the table of needs."""

Sites = frozenset[int]


def tell(
    kind: str,
    key: str,
    *,
    sites: Iterable[int],
    worded: Callable[[User, Sites], Letter],
    at: datetime,
    holders: Mapping[User, Sites] | None = None,
) -> None:
    """Tell it to all who hold a role for it at these sites, and to `holders`; to each once for ever.

    `worded` makes the letter for a reader, in their language, of those of the sites that are theirs.
    """
    readers = {**(holders or {}), **recipients(kind, frozenset(sites))}
    readers = {user: theirs for user, theirs in readers.items() if is_here(user, at)}
    each = {user: partial(worded, user, theirs) for user, theirs in readers.items()}
    write_to(each, kind, key, at)


def write_to(
    readers: Mapping[User, Callable[[], Letter]], kind: str, key: str, at: datetime
) -> list[Message]:
    """The rows, each in its reader's language; a fact told before is not told again."""
    boxes = Postbox.objects.in_bulk([user.pk for user in readers])
    rows = []
    for user, worded in readers.items():
        box = boxes.get(user.pk)
        with translation.override((box and box.language) or settings.LANGUAGE_CODE):
            said = worded()
        wanted = bool(settings.MAIL_ON and box and box.takes(kind))
        rows.append(
            Message(
                user=user,
                kind=kind,
                key=key,
                subject=said.subject,
                text=said.text,
                made_at=at,
                by_mail=wanted,
                next_try_at=at,
            )
        )
    return Message.objects.bulk_create(rows, batch_size=200, ignore_conflicts=True)


def recipients(kind: str, sites: Sites) -> dict[User, Sites]:
    """Open users by the sites, of these, at which they hold a role that is told."""
    held = Grant.objects.filter(role__in=TOLD[kind], user__is_active=True)
    there = held.filter(Q(site=None) | Q(site__in=sites)).select_related("user__person__home_site")
    found: dict[User, Sites] = {}
    for grant in there:
        theirs = sites if grant.site_id is None else frozenset({grant.site_id})
        found[grant.user] = found.get(grant.user, frozenset()) | theirs
    return found if sites else {}


def is_here(user: User, at: datetime) -> bool:
    """Whether the login is open and its person has not left."""
    return user.is_active and not (user.person and has_left(user.person, at))


@transaction.atomic
def ask_address(user: User, *, address: str, language: str, token: str, stamp: Stamp) -> Postbox:
    """Keep the address, unconfirmed, and write the letter with the link that confirms it."""
    if not settings.MAIL_ON:
        raise Refusal(
            "no-mail-server",
            _("No mail server is set up, so no letter can be sent. Ask the administrator."),
        )
    box = _box(user)
    box.address, box.language = address, language
    box.asked_at, box.confirmed_at = stamp.at, None
    box.save()
    record("ask-address", {box: {}}, stamp=stamp)
    link = link_to("register:address-confirm", asked=f"?token={token}")
    key = stamp.at.isoformat()
    write_to({user: lambda: _confirming(link)}, CONFIRM, key, stamp.at)
    return box


def _confirming(link: str) -> Letter:
    said = _(
        "Somebody, we hope you, gave this address for messages of the register. Open the link and"
        " sign in to confirm it. Until then nothing else is sent here. If it was not you, do nothing."
    )
    until = _("The link is good for three days.")
    return letter(_("Confirm your e-mail address"), [paragraph(said), link, until])


@transaction.atomic
def confirm_address(user: User, *, address: str, stamp: Stamp) -> Postbox:
    """From now on letters go there; the link of an address that was changed since is refused."""
    box = _box(user)
    if not box.address or box.address != address:
        raise Refusal("another-address", _("You have given another address since. Use its letter."))
    if box.confirmed_at is None:
        box.confirmed_at = stamp.at
        box.save(update_fields=["confirmed_at"])
        record("confirm-address", {box: {}}, stamp=stamp)
    return box


@transaction.atomic
def remove_address(user: User, *, stamp: Stamp) -> Postbox:
    """Nothing is sent any more; messages stay on the page."""
    box = _box(user)
    box.address, box.confirmed_at = "", None
    box.save(update_fields=["address", "confirmed_at"])
    record("remove-address", {box: {}}, stamp=stamp)
    return box


@transaction.atomic
def choose_kinds(user: User, *, left: Iterable[str], language: str, stamp: Stamp) -> Postbox:
    """Which kinds the user is not written to about, and in which language the others are."""
    box = _box(user)
    box.left, box.language = sorted(set(left) & set(KINDS)), language
    box.save(update_fields=["left", "language"])
    record("choose-messages", {box: {"left": box.left}}, stamp=stamp)
    return box


@transaction.atomic
def leave_kind(user: User, kind: str, *, stamp: Stamp) -> Postbox:
    """Be written to about this no more."""
    box = _box(user)
    if kind not in box.left:
        box.left = sorted({*box.left, kind})
        box.save(update_fields=["left"])
        record("leave-messages", {box: {"kind": kind}}, stamp=stamp)
    return box


@transaction.atomic
def try_again(message: Message, *, stamp: Stamp) -> Message:
    """Let a message that was given up be sent after all."""
    message = Message.objects.select_for_update().get(pk=message.pk)
    if message.given_up_at is None:
        raise Refusal("not-given-up", _("This message is not given up."))
    message.given_up_at, message.tries, message.next_try_at = None, 0, stamp.at
    message.save(update_fields=["given_up_at", "tries", "next_try_at"])
    record("try-message-again", {message: {}}, stamp=stamp)
    return message


def _box(user: User) -> Postbox:
    Postbox.objects.get_or_create(user=user)
    return Postbox.objects.select_for_update().get(pk=user.pk)


@transaction.atomic
def set_terms(*, morning_hour: int, stamp: Stamp) -> MessageTerms:
    """At what hour the morning's messages are made, at every site by its own clock."""
    MessageTerms.objects.get_or_create(pk=1)
    terms = MessageTerms.objects.select_for_update().get(pk=1)
    terms.morning_hour = morning_hour
    terms.full_clean()
    terms.save(update_fields=["morning_hour"])
    record("set-message-hour", {terms: {"hour": morning_hour}}, stamp=stamp)
    return terms
