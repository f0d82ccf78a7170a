"""The employer's limits of rescue cover; none of them is law."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from readiness.models import CoverPolicy
from register.models import Site, Stamp, record
from register.refusal import Refusal

MOST_SWING_DEG = 60
ONE_ROW = 1  # two who save the first limits at once meet here
LIMITS = (
    "alarm_minutes",
    "share_within_minutes",
    "first_aid_within_minutes",
    "plan_review_months",
    "drill_months",
    "restraint_allowance_m",
    "rescuer_kg",
    "swing_look_deg",
    "swing_most_deg",
)


@transaction.atomic
def change_policy(policy: CoverPolicy, *, stamp: Stamp) -> CoverPolicy:
    """Keep the limits; every site's cover is judged by them from the next look on."""
    if policy.restraint_allowance_m < 0:
        raise Refusal("allowance-below-zero", _("The allowance before an edge is 0 m or more."))
    if not (policy.plan_review_months and policy.drill_months):
        raise Refusal("no-interval", _("Plans are reviewed and drilled: one month or more each."))
    if not 0 < policy.swing_look_deg <= policy.swing_most_deg <= MOST_SWING_DEG:
        raise Refusal(
            "swing-angles",
            _("The angles of a swing are from 1° to 60°, the one to look again at the smaller."),
        )
    policy.full_clean()
    policy.pk = CoverPolicy.objects.select_for_update().get_or_create(pk=ONE_ROW)[0].pk
    policy.save(force_update=True)
    facts: dict[str, object] = {name: str(getattr(policy, name)) for name in LIMITS}
    record("change-policy", {policy: facts}, stamp=stamp, sites=Site.objects.all())
    return policy
