"""What to look for on each class of equipment: the usual defects, part by part.

Common practice, no source: a reminder at the bench. The maker's instructions say what counts.
"""

from __future__ import annotations

from register.rules.classes import CLASSES

Cues = tuple[tuple[str, tuple[str, ...]], ...]

_WEBBING = (
    *("cut or nick at an edge", "local abrasion", "fuzz", "hard shiny spot", "burn or spatter"),
    *(
        "stiff",
        "faded or powdery",
        "chemical stain",
        "mould",
        "paint",
        "knot",
        "stretched",
        "altered",
    ),
)
_STITCHING = ("cut", "pulled", "missing", "worn", "discoloured")
_ABSORBER = ("cover opened", "pull-out showing", "torn", "taped over")
_HARDWARE = (
    *("gate does not close or lock", "hook throat opened", "distorted", "cracked", "corroded"),
    *("pitted", "burr", "worn past the maker's limit", "weak spring", "loose rivet"),
)
_RETRACTABLE = (
    *("does not lock on a tug", "slow or no retraction", "cable kinked or wires broken"),
    *("web cut", "housing cracked", "screw missing", "indicator shows", "damp inside"),
)
_ROPE = (
    *("sheath damaged", "core soft or lumpy", "hard shiny spot", "shorter than on record"),
    *("end not stopped", "tail missing"),
)
_DEVICE = (
    "does not hold",
    "wrong speed",
    "handle damaged",
    "ratchet slips",
    "dirt or water inside",
)
_ANCHOR = (
    *("loose", "corroded", "base cracked", "sealant gone", "bent", "signs of load"),
    *("plate missing", "structure altered"),
)
_KIT = (
    *("seal broken", "seal does not secure", "part missing", "wrong part", "wrong order"),
    *("bag torn", "instructions missing", "cutter blunt"),
)
_SHELL = ("cracked", "dented", "faded or chalky", "strap or buckle damaged", "paint or stickers")
_LABEL = ("illegible", "missing", "contradicts the register")

_TEXTILE: Cues = (("Webbing", _WEBBING), ("Stitching", _STITCHING), ("Hardware", _HARDWARE))
_OWN: dict[str, Cues] = {
    "energy-absorbing-lanyard": (*_TEXTILE, ("Absorber", _ABSORBER)),
    "retractable": (("Device", _RETRACTABLE), ("Hardware", _HARDWARE)),
    "rope": (("Rope", _ROPE),),
    "helmet": (("Shell", _SHELL),),
    "rescue-kit": (("Kit", _KIT),),
}
_BY_MATERIAL: dict[str, Cues] = {
    "textile": _TEXTILE,
    "metal": (("Hardware", _HARDWARE),),
    "mechanical": (("Device", _DEVICE), ("Hardware", _HARDWARE)),
    "mixed": (("Hardware", _HARDWARE),),
}


def cues_for(class_slug: str) -> Cues:
    """Each part of an item of the class with its usual defects; the label always comes last."""
    one = CLASSES[class_slug]
    anchor = (("Anchor", _ANCHOR),) if one.is_anchor else ()
    own = _OWN.get(class_slug, _BY_MATERIAL[one.material])
    return (*anchor, *own, ("Label", _LABEL))
