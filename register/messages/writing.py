"""A message as a mail: its headers, and beneath it how to leave messages of its kind."""

from __future__ import annotations

from django.conf import settings
from django.core import signing
from django.core.mail import EmailMessage
from django.utils import translation
from django.utils.translation import gettext as _

from register.links import link_to
from register.models import Message, Postbox, User
from register.rules.letters import one_line, paragraph
from register.rules.message_kinds import KINDS

LEAVING = signing.Signer(salt="leave messages of a kind")
CONFIRMING = signing.TimestampSigner(salt="confirm an address")
CONFIRM_WITHIN = 3 * 24 * 60 * 60  # seconds


def mail_of(message: Message, box: Postbox) -> EmailMessage:
    """The letter to this address.

    One-click leaving (RFC 8058) is offered only over HTTPS, as its section 3.1 wants; the link for
    people is always there. The Message-ID is the message's own for ever: sent twice, it shows.
    """
    headers = {
        "Message-ID": f"<{message.pk}@{settings.PUBLIC_HOST}>",
        "Auto-Submitted": "auto-generated",  # RFC 3834: no answering machine answers
    }
    text = message.text
    if message.kind in KINDS:
        leave = link_to("register:unsubscribe", leaving_token(message.user, message.kind))
        headers["List-Unsubscribe"] = f"<{leave}>"
        if settings.SECURE:
            headers["List-Unsubscribe-Post"] = "List-Unsubscribe=One-Click"
        text += _footer(message, box, leave)
    return EmailMessage(
        one_line(message.subject), text, settings.MAIL_FROM, [box.address], headers=headers
    )


def _footer(message: Message, box: Postbox, leave: str) -> str:
    with translation.override(box.language or settings.LANGUAGE_CODE):
        said = _(
            "A record and planning aid: it certifies nothing. Look at the equipment in front of you."
        )
        why = _("You get this because of your role, or because you hold equipment.")
        stop = _("To get no more messages of this kind (%(kind)s):") % {"kind": message.kind_name}
    return "\n".join(["", "-- ", paragraph(said), paragraph(why), paragraph(stop), leave, ""])


def leaving_token(user: User, kind: str) -> str:
    """Signed, so that nobody can leave for another; good for ever, as old letters are kept."""
    return LEAVING.sign(f"{user.pk}.{kind}").replace(":", "~")


def leaving_in(token: str) -> tuple[int, str] | None:
    """The user and the kind that the token names; None for one that we did not sign."""
    try:
        user, _dot, kind = LEAVING.unsign(token.replace("~", ":")).partition(".")
    except signing.BadSignature:
        return None
    return (int(user), kind) if kind in KINDS and user.isdecimal() else None


def confirming_token(user: User, address: str) -> str:
    return signing.b64_encode(CONFIRMING.sign(f"{user.pk} {address}").encode()).decode()


def confirmed_in(token: str, user: User) -> str | None:
    """The address that this user's token of the last days names."""
    try:
        told = CONFIRMING.unsign(
            signing.b64_decode(token.encode()).decode(), max_age=CONFIRM_WITHIN
        )
    except (signing.BadSignature, ValueError):
        return None
    pk, _blank, address = told.partition(" ")
    return address if pk == str(user.pk) else None
