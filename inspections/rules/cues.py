"""What to look for on each class of equipment: the usual defects, part by part.

Common practice, no source: a reminder at the bench. The maker's instructions say what counts.
"""

from __future__ import annotations

from register.rules.classes import CLASSES
from register.rules.texts import gettext_noop

Cues = tuple[tuple[str, tuple[str, ...]], ...]

_WEBBING = (
    *(
        gettext_noop("cut or nick at an edge"),
        gettext_noop("local abrasion"),
        gettext_noop("fuzz"),
        gettext_noop("hard shiny spot"),
        gettext_noop("burn or spatter"),
    ),
    *(
        gettext_noop("stiff"),
        gettext_noop("faded or powdery"),
        gettext_noop("chemical stain"),
        gettext_noop("mould"),
        gettext_noop("paint"),
        gettext_noop("knot"),
        gettext_noop("stretched"),
        gettext_noop("altered"),
    ),
)
_STITCHING = (
    gettext_noop("cut"),
    gettext_noop("pulled"),
    gettext_noop("missing"),
    gettext_noop("worn"),
    gettext_noop("discoloured"),
)
_ABSORBER = (
    gettext_noop("cover opened"),
    gettext_noop("pull-out showing"),
    gettext_noop("torn"),
    gettext_noop("taped over"),
)
_HARDWARE = (
    *(
        gettext_noop("gate does not close or lock"),
        gettext_noop("hook throat opened"),
        gettext_noop("distorted"),
        gettext_noop("cracked"),
        gettext_noop("corroded"),
    ),
    *(
        gettext_noop("pitted"),
        gettext_noop("burr"),
        gettext_noop("worn past the maker's limit"),
        gettext_noop("weak spring"),
        gettext_noop("loose rivet"),
    ),
)
_RETRACTABLE = (
    *(
        gettext_noop("does not lock on a tug"),
        gettext_noop("slow or no retraction"),
        gettext_noop("cable kinked or wires broken"),
    ),
    *(
        gettext_noop("web cut"),
        gettext_noop("housing cracked"),
        gettext_noop("screw missing"),
        gettext_noop("indicator shows"),
        gettext_noop("damp inside"),
    ),
)
_ROPE = (
    *(
        gettext_noop("sheath damaged"),
        gettext_noop("core soft or lumpy"),
        gettext_noop("hard shiny spot"),
        gettext_noop("shorter than on record"),
    ),
    *(gettext_noop("end not stopped"), gettext_noop("tail missing")),
)
_DEVICE = (
    gettext_noop("does not hold"),
    gettext_noop("wrong speed"),
    gettext_noop("handle damaged"),
    gettext_noop("ratchet slips"),
    gettext_noop("dirt or water inside"),
)
_ANCHOR = (
    *(
        gettext_noop("loose"),
        gettext_noop("corroded"),
        gettext_noop("base cracked"),
        gettext_noop("sealant gone"),
        gettext_noop("bent"),
        gettext_noop("signs of load"),
    ),
    *(gettext_noop("plate missing"), gettext_noop("structure altered")),
)
_KIT = (
    *(
        gettext_noop("seal broken"),
        gettext_noop("seal does not secure"),
        gettext_noop("part missing"),
        gettext_noop("wrong part"),
        gettext_noop("wrong order"),
    ),
    *(gettext_noop("bag torn"), gettext_noop("instructions missing"), gettext_noop("cutter blunt")),
)
_SHELL = (
    gettext_noop("cracked"),
    gettext_noop("dented"),
    gettext_noop("faded or chalky"),
    gettext_noop("strap or buckle damaged"),
    gettext_noop("paint or stickers"),
)
_LABEL = (
    gettext_noop("illegible"),
    gettext_noop("missing"),
    gettext_noop("contradicts the register"),
)

_TEXTILE: Cues = (
    (gettext_noop("Webbing"), _WEBBING),
    (gettext_noop("Stitching"), _STITCHING),
    (gettext_noop("Hardware"), _HARDWARE),
)
_OWN: dict[str, Cues] = {
    "energy-absorbing-lanyard": (*_TEXTILE, (gettext_noop("Absorber"), _ABSORBER)),
    "retractable": ((gettext_noop("Device"), _RETRACTABLE), (gettext_noop("Hardware"), _HARDWARE)),
    "rope": ((gettext_noop("Rope"), _ROPE),),
    "helmet": ((gettext_noop("Shell"), _SHELL),),
    "rescue-kit": ((gettext_noop("Kit"), _KIT),),
}
_BY_MATERIAL: dict[str, Cues] = {
    "textile": _TEXTILE,
    "metal": ((gettext_noop("Hardware"), _HARDWARE),),
    "mechanical": ((gettext_noop("Device"), _DEVICE), (gettext_noop("Hardware"), _HARDWARE)),
    "mixed": ((gettext_noop("Hardware"), _HARDWARE),),
}


def cues_for(class_slug: str) -> Cues:
    """Each part of an item of the class with its usual defects; the label always comes last."""
    one = CLASSES[class_slug]
    anchor = ((gettext_noop("Anchor"), _ANCHOR),) if one.is_anchor else ()
    own = _OWN.get(class_slug, _BY_MATERIAL[one.material])
    return (*anchor, *own, (gettext_noop("Label"), _LABEL))
