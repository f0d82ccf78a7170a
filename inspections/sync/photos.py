"""A photograph that a phone took without signal; it comes apart from the event that names it."""

from __future__ import annotations

import hashlib

from django.db import transaction
from django.utils.translation import gettext as _

from inspections.models import SentPhoto
from inspections.sync.taking_in import Sender, try_waiting
from register.actions.documents import keep_document
from register.models import Document, Stamp
from register.refusal import Refusal
from register.rules.photos import NotAPhoto, plain_photo

MOST_BYTES = 10 * 1024 * 1024


def take_photo(content: bytes, *, sha256: str, sender: Sender) -> SentPhoto:
    """Keep it under the hash of what the phone holds; what waited for it is done."""
    if hashlib.sha256(content).hexdigest() != sha256.lower():
        raise Refusal("photo-differs", _("The photograph did not arrive whole: send it again."))
    kept = SentPhoto.objects.filter(sha256=sha256.lower()).first() or _kept(content, sha256, sender)
    try_waiting(sender)
    return kept


@transaction.atomic
def _kept(content: bytes, sha256: str, sender: Sender) -> SentPhoto:
    try:
        plain = plain_photo(content)
    except NotAPhoto as refused:
        raise Refusal(refused.code, _("This is no photograph that can be kept.")) from refused
    stamp = Stamp(by=sender.user, at=sender.received_at, device=f"phone {sender.device}".strip())
    kind = Document.Kind.PHOTO
    document = keep_document(plain, name=f"{sha256[:16]}.jpg", kind=kind, stamp=stamp)
    particulars = {"document": document, "by": sender.user, "received_at": sender.received_at}
    return SentPhoto.objects.get_or_create(sha256=sha256.lower(), defaults=particulars)[0]
