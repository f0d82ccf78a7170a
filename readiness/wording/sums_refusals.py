"""Why a planning sum gives no answer, and what to do: one sentence a code."""

from __future__ import annotations

from collections.abc import Mapping

from django.utils.translation import gettext_noop

from readiness.wording.sums_fields import RESCUE_REFUSALS

REFUSALS: Mapping[str, str] = {
    "missing": gettext_noop("Not known: %(what)s. Give it%(range)s."),
    "not-a-number": gettext_noop("Not a figure: %(what)s. Give it%(range)s."),
    "out-of-range": gettext_noop(
        "%(value)s is outside what this sum holds for: %(what)s%(range)s."
    ),
    "not-known": gettext_noop("Nothing is kept here of this: %(what)s. Choose another."),
    "out-of-reach": gettext_noop(
        "The lanyard does not reach the anchor from here. Look at the heights and the length: "
        "%(what)s%(range)s."
    ),
    "below-the-attachment": gettext_noop(
        "This retractable may not hang that low. Put it higher, or take one made for it: "
        "%(what)s%(range)s."
    ),
    "not-edge-rated": gettext_noop(
        "This product is not marked for a fall over an edge. Move the anchor, or take one that is."
    ),
    "maker-figure-needed": gettext_noop(
        "Only the maker can give the arrest distance for this use. Take it from the instructions."
    ),
    "outside-product": gettext_noop(
        "The product is not made for %(value)s: %(what)s%(range)s. Take another product."
    ),
    "over-free-fall-limit": gettext_noop(
        "The free fall would be %(value)s; the product stops%(range)s. Raise the anchor, or take a "
        "shorter lanyard."
    ),
    "over-force-limit": gettext_noop(
        "The fall would be stopped with %(value)s%(range)s. Take an absorber with a smaller force, or"
        " work in restraint."
    ),
    "force-needed-on-line": gettext_noop(
        "On a lifeline the body falls on while the line gives, farther than this absorber was tested "
        "for. Take from its maker: %(what)s."
    ),
    "extension-too-short": gettext_noop(
        "No absorber stops this fall so soon within a person’s limit: %(what)s%(range)s. Read the"
        " maker’s figure again, and give the average force beside it."
    ),
    "bottoms-out": gettext_noop(
        "The absorber would be used up before it stops the fall: %(what)s%(range)s. Nothing can be "
        "promised then. Shorten the fall, or take another absorber."
    ),
    "cannot-stop": gettext_noop(
        "A force no greater than the weight stops nobody: %(what)s%(range)s."
    ),
    "wire-rope": gettext_noop(
        "This sum is for textile lines. Wire rope hardly stretches: something else would give way "
        "first. Never fall on it without an absorber."
    ),
    "no-absorber": gettext_noop(
        "A lanyard without an absorber stops nobody softly enough: there is only a warning of it, and "
        "no sum. Take one with an absorber, or a retractable."
    ),
    "swings-too-far": gettext_noop(
        "Swings farther than you allow: %(value)s%(range)s. Work closer to plumb below the anchor, or "
        "move the anchor."
    ),
    "work-outside-zone": gettext_noop(
        "Part of the work along the row lies where a fall swings farther than you allow. Add an anchor, "
        "or shorten the work."
    ),
    "too-few-anchors": gettext_noop(
        "Too few places along the row: %(what)s%(range)s. A rail or a line has two ends."
    ),
    "anchor-too-weak": gettext_noop(
        "The anchor is rated %(value)s, and it needs more: %(what)s%(range)s. Take another anchor."
    ),
    "swing-strikes": gettext_noop(
        "The swing strikes %(name)s. Move the anchor or the work, so that nothing stands in its way."
    ),
    "under-twice-the-weight": gettext_noop(
        "Even a fall of nothing on a line pulls twice the weight: %(what)s%(range)s."
    ),
    "too-steep": gettext_noop(
        "The line is so soft that it would hang steeper than 45 degrees. This sum does not hold; "
        "ask whoever designed the lifeline."
    ),
    "not-known-for-so-many": gettext_noop(
        "No figure is kept for so many people: %(what)s%(range)s. Ask whoever designed the anchor."
    ),
    "outside-chart": gettext_noop(
        "The product's chart has no figure for this: %(what)s%(range)s. Ask the maker."
    ),
    "no-edge": gettext_noop(
        "Nothing to fall from is drawn. Draw at least one edge that is not guarded, or a fragile area."
    ),
    "too-few-corners": gettext_noop("Too few corners: %(what)s. Give it all its corners."),
    "not-convex": gettext_noop(
        "This shape has a dent: %(what)s. Draw it as several shapes without one."
    ),
    "not-a-class": gettext_noop(
        "There is no such class: %(what)s. Read it from the device's label."
    ),
    "chart-has-no-figure": gettext_noop(
        "The product's chart has no figure here. Look into the instructions, or ask the maker."
    ),
    **RESCUE_REFUSALS,
}
