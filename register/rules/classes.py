"""The classes of equipment, a line each; a new kind of equipment is a new line here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Material = Literal["textile", "metal", "mechanical", "mixed"]


@dataclass(frozen=True, slots=True, kw_only=True)
class EquipmentClass:
    """What every item of the class shares until its product says otherwise.

    reject_after_arrest: never used again once it arrested a fall (makers' and EN 365 practice for
    textiles and absorbers). lifts_persons: lifts or lowers a person as its normal use, so that the
    law on lifting equipment applies. installed: safe only as fixed, so that its clocks start with
    the inspection of the installation, not with acceptance in stores. minutes_to_inspect: a
    detailed inspection, common practice, no source; for planning a round only.
    """

    slug: str
    name: str
    standards: tuple[str, ...]
    material: Material
    reject_after_arrest: bool = False
    lifts_persons: bool = False
    is_anchor: bool = False
    installed: bool = False
    is_rescue_kit: bool = False
    minutes_to_inspect: int = 10


def _by_slug(*classes: EquipmentClass) -> dict[str, EquipmentClass]:
    return {one.slug: one for one in classes}


_Class = EquipmentClass

# fmt: off
CLASSES: dict[str, EquipmentClass] = _by_slug(
    _Class(slug="harness", name="Harness", standards=("EN 361", "EN 813"), material="textile", reject_after_arrest=True, minutes_to_inspect=4),
    _Class(slug="rescue-harness", name="Rescue harness", standards=("EN 1497",), material="textile", reject_after_arrest=True, lifts_persons=True, minutes_to_inspect=4),
    _Class(slug="rescue-loop", name="Rescue loop", standards=("EN 1498",), material="textile", reject_after_arrest=True, lifts_persons=True, minutes_to_inspect=2),
    _Class(slug="positioning-lanyard", name="Work positioning belt or lanyard", standards=("EN 358",), material="textile", reject_after_arrest=True, minutes_to_inspect=2),
    _Class(slug="lanyard", name="Lanyard without absorber", standards=("EN 354",), material="textile", reject_after_arrest=True, minutes_to_inspect=2),
    _Class(slug="energy-absorbing-lanyard", name="Energy-absorbing lanyard", standards=("EN 355",), material="textile", reject_after_arrest=True, minutes_to_inspect=2),
    _Class(slug="sling", name="Anchor sling", standards=("EN 354", "EN 795"), material="textile", reject_after_arrest=True, minutes_to_inspect=2),
    _Class(slug="connector", name="Connector", standards=("EN 362",), material="metal", minutes_to_inspect=1),
    _Class(slug="retractable", name="Retractable fall arrester", standards=("EN 360",), material="mechanical", minutes_to_inspect=8),
    _Class(slug="guided-arrester", name="Guided fall arrester", standards=("EN 353-1", "EN 353-2"), material="mechanical", minutes_to_inspect=8),
    _Class(slug="rope", name="Low-stretch rope", standards=("EN 1891",), material="textile", reject_after_arrest=True, minutes_to_inspect=20),
    _Class(slug="anchor", name="Anchor device", standards=("EN 795", "CEN/TS 16415"), material="metal", is_anchor=True, installed=True, minutes_to_inspect=15),
    _Class(slug="horizontal-lifeline", name="Horizontal lifeline", standards=("EN 795",), material="mixed", is_anchor=True, installed=True, minutes_to_inspect=45),
    _Class(slug="tripod", name="Tripod or davit", standards=("EN 795",), material="metal", lifts_persons=True, is_anchor=True, minutes_to_inspect=20),
    _Class(slug="rope-adjuster", name="Rope-access descender, ascender or back-up", standards=("EN 12841",), material="mechanical", lifts_persons=True),
    _Class(slug="descender", name="Descender device for rescue", standards=("EN 341",), material="mechanical", lifts_persons=True, minutes_to_inspect=25),
    _Class(slug="lifting-device", name="Rescue lifting device", standards=("EN 1496",), material="mechanical", lifts_persons=True, minutes_to_inspect=25),
    _Class(slug="pulley", name="Pulley", standards=("EN 12278",), material="mechanical", lifts_persons=True, minutes_to_inspect=5),
    _Class(slug="stretcher", name="Stretcher", standards=("EN 1865",), material="mixed", lifts_persons=True, minutes_to_inspect=20),
    _Class(slug="tool", name="Cut-away tool, edge protector or pole", standards=(), material="mixed", minutes_to_inspect=5),
    _Class(slug="helmet", name="Helmet", standards=("EN 397", "EN 12492"), material="mixed", reject_after_arrest=True, minutes_to_inspect=5),
    _Class(slug="rescue-kit", name="Rescue kit", standards=(), material="mixed", lifts_persons=True, is_rescue_kit=True, minutes_to_inspect=45),
)
# fmt: on

CLASS_CHOICES: tuple[tuple[str, str], ...] = tuple((one.slug, one.name) for one in CLASSES.values())

# How hard the equipment is worn; the slugs that schemes and items use.
USE_CLASSES: dict[str, str] = {
    "light": "Light use",
    "normal": "Normal use",
    "arduous": "Arduous use",
    "rescue": "Rescue only, kept sealed",
    "training": "Training",
}
USE_CLASS_CHOICES: tuple[tuple[str, str], ...] = tuple(USE_CLASSES.items())
