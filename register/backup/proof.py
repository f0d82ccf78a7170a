"""What a register answers at a moment: asked when a back-up is made, and again when it is put back."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from django.apps import apps

from register.actions.ledger import root_of_heads, verify_ledger
from register.rules.backup import Proof

Sample = Callable[[datetime], dict[str, str]]

OWN_APPS = ("register", "inspections", "readiness")
SAMPLE = 60  # things asked of each kind, spread evenly over all there are

_samples: dict[str, Sample] = {}


def enter_sample(section: str, sample: Sample) -> None:
    """Each app enters what it can be asked; its module ``proofs`` is found by itself."""
    _samples[section] = sample


def prove(at: datetime) -> Proof:
    """Rows of every table, the chains and their root, and the answers of each app's sample."""
    report = verify_ledger()
    ledger = {
        "chains": str(report.chains),
        "entries": str(report.entries),
        "misfits": "; ".join(map(str, report.misfits)) or "none",
        "root": root_of_heads()[1],
    }
    return {
        "counts": _counts(),
        "ledger": ledger,
        **{section: sample(at) for section, sample in sorted(_samples.items())},
    }


def spread(keys: list[int]) -> list[int]:
    """At most ``SAMPLE`` of them, evenly from the first to the last."""
    if len(keys) <= SAMPLE:
        return keys
    return [keys[at * (len(keys) - 1) // (SAMPLE - 1)] for at in range(SAMPLE)]


def _counts() -> dict[str, str]:
    models = (model for app in OWN_APPS for model in apps.get_app_config(app).get_models())
    return {model._meta.label: str(model._default_manager.count()) for model in models}  # noqa: SLF001
