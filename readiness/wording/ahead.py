"""What will be short in a week, in sentences."""

from __future__ import annotations

from django.utils.translation import gettext as _

from readiness.rules.look_ahead import Need
from readiness.wording.words import listed


def need_words(need: Need) -> str:
    """Such as 'Rescue kits: 3 tasks at once, 2 usable then: 1 short.'"""
    words: dict[str, object] = {"needed": need.needed, "there": need.there, "short": need.short}
    words["tasks"] = listed(need.tasks)
    return _SENTENCES[need.kind]() % words


def _kits() -> str:
    return _(
        "Rescue kits: %(needed)d tasks at once (%(tasks)s), %(there)d usable then by the dates "
        "recorded now, %(short)d short unless tasks can share."
    )


def _rescuers() -> str:
    return _(
        "Rescuers: the plans ask for %(needed)d at once (%(tasks)s), %(there)d in date and free on "
        "the rota, %(short)d short."
    )


def _first_aiders() -> str:
    return _("First aid: nobody in date and free on the rota while %(tasks)s goes on.")


def _anchors() -> str:
    return _("Rescue anchors: none usable then for %(tasks)s.")


def _plans() -> str:
    return _("Rescue plans: none that holds then for %(tasks)s.")


def _drills() -> str:
    return _("Drills: none in date then for %(tasks)s.")


def _facts() -> str:
    return _("Not known yet of %(tasks)s: who is exposed, or figures of the rescue.")


_SENTENCES = {
    "kits": _kits,
    "rescuers": _rescuers,
    "first-aiders": _first_aiders,
    "anchors": _anchors,
    "plans": _plans,
    "drills": _drills,
    "facts": _facts,
}
