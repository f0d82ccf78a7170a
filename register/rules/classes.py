"""The classes of equipment, a line each; a new kind of equipment is a new line here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from register.rules.texts import gettext_noop

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
    _Class(slug="harness", name=gettext_noop("Harness"), standards=("EN 361", "EN 813"), material="textile", reject_after_arrest=True, minutes_to_inspect=4),
    _Class(slug="rescue-harness", name=gettext_noop("Rescue harness"), standards=("EN 1497",), material="textile", reject_after_arrest=True, lifts_persons=True, minutes_to_inspect=4),
    _Class(slug="rescue-loop", name=gettext_noop("Rescue loop"), standards=("EN 1498",), material="textile", reject_after_arrest=True, lifts_persons=True, minutes_to_inspect=2),
    _Class(slug="positioning-lanyard", name=gettext_noop("Work positioning belt or lanyard"), standards=("EN 358",), material="textile", reject_after_arrest=True, minutes_to_inspect=2),
    _Class(slug="lanyard", name=gettext_noop("Lanyard without absorber"), standards=("EN 354",), material="textile", reject_after_arrest=True, minutes_to_inspect=2),
    _Class(slug="energy-absorbing-lanyard", name=gettext_noop("Energy-absorbing lanyard"), standards=("EN 355",), material="textile", reject_after_arrest=True, minutes_to_inspect=2),
    _Class(slug="sling", name=gettext_noop("Anchor sling"), standards=("EN 354", "EN 795"), material="textile", reject_after_arrest=True, minutes_to_inspect=2),
    _Class(slug="connector", name=gettext_noop("Connector"), standards=("EN 362",), material="metal", minutes_to_inspect=1),
    _Class(slug="retractable", name=gettext_noop("Retractable fall arrester"), standards=("EN 360",), material="mechanical", minutes_to_inspect=8),
    _Class(slug="guided-arrester", name=gettext_noop("Guided fall arrester"), standards=("EN 353-1", "EN 353-2"), material="mechanical", minutes_to_inspect=8),
    _Class(slug="rope", name=gettext_noop("Low-stretch rope"), standards=("EN 1891",), material="textile", reject_after_arrest=True, minutes_to_inspect=20),
    _Class(slug="anchor", name=gettext_noop("Anchor device"), standards=("EN 795", "CEN/TS 16415"), material="metal", is_anchor=True, installed=True, minutes_to_inspect=15),
    _Class(slug="horizontal-lifeline", name=gettext_noop("Horizontal lifeline"), standards=("EN 795",), material="mixed", is_anchor=True, installed=True, minutes_to_inspect=45),
    _Class(slug="tripod", name=gettext_noop("Tripod or davit"), standards=("EN 795",), material="metal", lifts_persons=True, is_anchor=True, minutes_to_inspect=20),
    _Class(slug="rope-adjuster", name=gettext_noop("Rope-access descender, ascender or back-up"), standards=("EN 12841",), material="mechanical", lifts_persons=True),
    _Class(slug="descender", name=gettext_noop("Descender device for rescue"), standards=("EN 341",), material="mechanical", lifts_persons=True, minutes_to_inspect=25),
    _Class(slug="lifting-device", name=gettext_noop("Rescue lifting device"), standards=("EN 1496",), material="mechanical", lifts_persons=True, minutes_to_inspect=25),
    _Class(slug="pulley", name=gettext_noop("Pulley"), standards=("EN 12278",), material="mechanical", lifts_persons=True, minutes_to_inspect=5),
    _Class(slug="stretcher", name=gettext_noop("Stretcher"), standards=("EN 1865",), material="mixed", lifts_persons=True, minutes_to_inspect=20),
    _Class(slug="tool", name=gettext_noop("Cut-away tool, edge protector or pole"), standards=(), material="mixed", minutes_to_inspect=5),
    _Class(slug="helmet", name=gettext_noop("Helmet"), standards=("EN 397", "EN 12492"), material="mixed", reject_after_arrest=True, minutes_to_inspect=5),
    _Class(slug="rescue-kit", name=gettext_noop("Rescue kit"), standards=(), material="mixed", lifts_persons=True, is_rescue_kit=True, minutes_to_inspect=45),
)
# fmt: on

CLASS_CHOICES: tuple[tuple[str, str], ...] = tuple((one.slug, one.name) for one in CLASSES.values())

# How hard the equipment is worn; the slugs that schemes and items use.
USE_CLASSES: dict[str, str] = {
    "light": gettext_noop("Light use"),
    "normal": gettext_noop("Normal use"),
    "arduous": gettext_noop("Arduous use"),
    "rescue": gettext_noop("Rescue only, kept sealed"),
    "training": gettext_noop("Training"),
}
USE_CLASS_CHOICES: tuple[tuple[str, str], ...] = tuple(USE_CLASSES.items())
