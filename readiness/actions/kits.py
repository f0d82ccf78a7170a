"""What a rescue kit can do, as its instructions say."""

from __future__ import annotations

from collections.abc import Sequence

from django.db import transaction
from django.utils.translation import gettext as _

from readiness.actions.checking import refuse_other_site, refuse_unless_valid
from readiness.models import KitAbility
from register.models import Kit, Shift, Stamp, record
from register.refusal import Refusal


@transaction.atomic
def rate_kit(ability: KitAbility, *, locked_on: Sequence[Shift] = (), stamp: Stamp) -> KitAbility:
    """Keep what the kit does and its limits; on the shifts `locked_on` nobody can get at it."""
    kit = Kit.objects.select_for_update().get(pk=ability.kit_id)
    if not ability.functions:
        raise Refusal(
            "does-nothing", _("Say what %(kit)s does: it lowers, raises, or both.") % {"kit": kit}
        )
    if ability.min_load_kg > ability.max_load_kg:
        raise Refusal("loads-crossed", _("The least load is greater than the greatest."))
    refuse_other_site(locked_on, kit.site_id)
    if ability.pk is None and KitAbility.objects.filter(kit=kit).exists():
        raise Refusal(
            "rated-already",
            _("%(kit)s was rated meanwhile. Open it again to change that.") % {"kit": kit},
        )
    refuse_unless_valid(ability)
    ability.save()
    ability.locked_shifts.set(locked_on)
    facts = {
        "family": ability.family,
        "functions": list(ability.functions),
        "max_load_kg": ability.max_load_kg,
        "min_load_kg": ability.min_load_kg,
        "max_height_m": str(ability.max_height_m),
        "descent_energy_j": str(ability.descent_energy_j) if ability.descent_energy_j else None,
        "locked_on": sorted(shift.name for shift in locked_on),
        "key": f"{ability.key_from:%H:%M}-{ability.key_until:%H:%M}" if ability.key_from else None,
    }
    record("rate-kit", {kit: facts}, stamp=stamp, sites=[kit.site_id])
    return ability
