"""Which item, kit or site a call names, among those that its token reaches; 404 for all others."""

from __future__ import annotations

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from register.api.bearer import Caller
from register.api.calls import demand
from register.api.problems import Problem, not_found
from register.models import Item, Site
from register.rules import tags

LONGEST_TAG = 60


def items_of(caller: Caller) -> QuerySet[Item]:
    return Item.objects.visible_to(caller.user).with_product()


def item_of(caller: Caller, text: str) -> Item:
    """By any tag that it has or had, however it is written. A tag mistyped is told as such: that it
    cannot be one says nothing of what exists."""
    read = tags.read(text[:LONGEST_TAG])
    if read.problem == "mistyped":
        detail = _("“%(text)s” is mistyped: no tag reads like that.") % {"text": text[:20]}
        raise Problem("not-found", detail, code="tag-mistyped")
    code = read.code or text[:LONGEST_TAG]
    item = items_of(caller).filter(tags__code=code).first()
    if item is None:
        detail = _("No item at the sites of this token has this tag. Treat it as not to be used.")
        raise Problem("not-found", detail, code="tag-unknown")
    return item


def site_of(caller: Caller, code: str, need: str) -> Site:
    """404 where it is out of sight; 403 where nothing of the kind may be done there."""
    site = Site.objects.visible_to(caller.user).filter(code=code).first()
    if site is None:
        raise not_found(_("The token reaches no site of this code."))
    demand(caller, need, site.pk)
    return site
