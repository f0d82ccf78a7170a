"""A photograph of a tag, read here for a phone whose browser cannot; it is not kept."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from inspections.phone_words.scanning import WORDS
from register.access import answers_json
from register.rules.photographed_tags import NoOneTag, text_in
from register.rules.photos import NotAPhoto
from register.throttling import once_more

MOST_BYTES = 10 * 1024 * 1024
AN_HOUR = 300  # photographs that one user may have read

_SAYS = {
    **{code: WORDS[f"photo-{code}"] for code in ("nothing-read", "several-tags", "not-a-photo")},
    "damaged": gettext_noop(
        "The photograph did not arrive whole. Send it again, or type the code."
    ),
    "too-many-pixels": gettext_noop(
        "The photograph has too many pixels. Take a smaller one, or type the code."
    ),
}


@answers_json("sync.send")
@never_cache
@require_POST
def photo_read(request: HttpRequest) -> HttpResponse:
    """The text in the file ``photo``: {text}, which is empty where a code and sentence say why."""
    sent = request.FILES.get("photo")
    if sent is None:
        return _unread("photo-missing", _("There is no photograph in what was sent."), 400)
    if (sent.size or 0) > MOST_BYTES:
        return _unread("too-large", _("The photograph is too large."), 413)
    if not once_more(f"photo-read-{request.user.pk}", AN_HOUR):
        too_often = _("Too many photographs were read within the hour: type the code.")
        return _unread("too-often", too_often, 429)
    try:
        return JsonResponse({"text": text_in(sent.read())})
    except (NoOneTag, NotAPhoto) as reason:
        return _unread(reason.code, _(str(_SAYS[reason.code])), 200)


def _unread(code: str, sentence: str, status: int) -> JsonResponse:
    return JsonResponse({"text": "", "code": code, "sentence": sentence}, status=status)
