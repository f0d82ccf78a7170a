"""Five questions before anyone relies on being caught, and the answers of last time used again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from readiness.rules.needs import exceeds
from readiness.rules.situation import Restraint
from readiness.rules.sums.hierarchy import in_words, needed
from register.models import ActNote
from register.wording import shown_day

QUESTIONS: Final = {
    "avoid": "ground",
    "safe-place": "safe_place",
    "collective": "collective",
    "restraint": "restraint",
    "why-arrest": "arrest",
}
"""The box of each question of `readiness.rules.sums.hierarchy`."""


def questions_of(system: str, restraint: Restraint | None, allowance_m: float) -> tuple[str, ...]:
    """The boxes that a task must fill in; restraint that is not proven is arrest."""
    proven = restraint is not None and _is_proven(restraint, allowance_m)
    return tuple(QUESTIONS[one] for one in needed(system, proven_restraint=proven))


def _is_proven(restraint: Restraint, allowance_m: float) -> bool:
    reach, gives, edge = restraint.reach_m, restraint.deflection_m, restraint.edge_m
    if reach is None or gives is None or edge is None:
        return False
    return not exceeds(reach + gives + allowance_m, edge)


class InsteadForm(forms.Form):
    """Each of the boxes `asked` is answered in words, or by the answer of last time, used again."""

    ground = forms.CharField(
        label=gettext_lazy("1. Can it be done from the ground, or not at all?")
    )
    safe_place = forms.CharField(
        label=gettext_lazy("2. Is there a safe place to work from already?")
    )
    collective = forms.CharField(label=gettext_lazy("3. Why no guard rail, platform or net?"))
    restraint = forms.CharField(
        label=gettext_lazy("4. Why not restraint?"),
        help_text=gettext_lazy(
            "Restraint is proven where reach + line deflection + the employer’s allowance stays"
            " short of the edge."
        ),
    )
    arrest = forms.CharField(
        label=gettext_lazy("5. Why arrest, and what limits the fall and its harm?")
    )
    reuse = forms.BooleanField(
        required=False,
        label=gettext_lazy("Use the answers of last time again where a box is left blank"),
    )

    def __init__(
        self,
        *args: Any,
        asked: Sequence[str] = tuple(QUESTIONS.values()),
        earlier: ActNote | None = None,
        proof: str = "",
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.asked, self.earlier = asked, _answers_of(earlier)
        reuses = bool(self.earlier and self.data.get("reuse"))
        for name in QUESTIONS.values():
            self.fields[name].required = name in asked and not reuses
        self.fields["restraint"].help_text = proof or self.fields["restraint"].help_text
        if self.earlier:
            self.fields["reuse"].help_text = _from_last_time(earlier)
        else:
            del self.fields["reuse"]

    def clean(self) -> dict[str, Any]:
        super().clean()
        for name in self.asked:
            answer = self.cleaned_data.get(name) or ""
            if not answer and self.cleaned_data.get("reuse"):
                answer = self.earlier.get(name, "")
            if not answer and not self.fields[name].required:
                self.add_error(name, _("There is no answer of last time: give one."))
            elif answer and not in_words(answer):
                self.add_error(name, _("Answer in a few words; this says nothing."))
        return self.cleaned_data

    @property
    def answers(self) -> str:
        """Question and answer, a line each, as the ledger keeps them with the author and the day."""
        told = {name: self._answer(name) for name in QUESTIONS.values()}
        return "\n".join(
            f"{self.fields[name].label} {words}" for name, words in told.items() if words
        )

    def _answer(self, name: str) -> str:
        said: str = self.cleaned_data.get(name) or ""
        if said or not self.cleaned_data.get("reuse"):
            return said
        return self.earlier.get(name, "")


def _answers_of(earlier: ActNote | None) -> Mapping[str, str]:
    """By box, the answers of last time, each with the day and the author it had when it was first
    given; none where they were not kept by question."""
    if earlier is None:
        return {}
    found = {}
    numbered = {f"{number}.": name for number, name in enumerate(QUESTIONS.values(), start=1)}
    for line in earlier.text.splitlines():
        name = numbered.get(line.split(" ", 1)[0])
        answer = line.partition("? ")[2]
        if name and answer:
            found[name] = answer if _is_dated(answer) else f"{answer} {_dated(earlier)}"
    return found


def _dated(earlier: ActNote) -> str:
    facts = {"day": shown_day(earlier.act.at.date()), "who": earlier.act.by or _("not recorded")}
    return _("[answered %(day)s by %(who)s, used again]") % facts


def _is_dated(answer: str) -> bool:
    return answer.endswith("]") and "[" in answer


def _from_last_time(earlier: ActNote | None) -> str:
    if earlier is None:
        return ""
    facts = {"day": shown_day(earlier.act.at.date()), "who": earlier.act.by or _("not recorded")}
    return _("Of %(day)s by %(who)s. Each keeps its day, and yours is put beside it.") % facts
