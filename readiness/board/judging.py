"""The cover rule, with the one thing more that a register must ask: who is exposed."""

from __future__ import annotations

from dataclasses import replace

from readiness.rules.cover import Answer, answers
from readiness.rules.situation import Situation, Task

EXPOSED_UNKNOWN = "exposed"
"""Key of what is missing where nobody is named as exposed."""


def judged(situation: Situation) -> dict[str, Answer]:
    """One answer for each task that runs on the day.

    A task on which nobody is named as exposed is not assessed: any of its rescuers may be the one
    who hangs. It still competes for kits and people, so that others do not gain by its silence.
    """
    tasks = {task.id: task for task in situation.tasks}
    return {task: _asked(answer, tasks[task]) for task, answer in answers(situation).items()}


def _asked(answer: Answer, task: Task) -> Answer:
    if task.exposed or answer.state == "no-rescue-cover-needed":
        return answer
    missing = (*answer.missing, EXPOSED_UNKNOWN)
    if answer.covered:
        return Answer("not-assessed", missing=missing, treated_as_arrest=answer.treated_as_arrest)
    return replace(answer, missing=missing)
