"""The side view of a task on its sheet, where its sums are kept and still stand."""

from __future__ import annotations

from django.utils.translation import gettext as _

from readiness.documents.fall_pictures import fall_scenes
from readiness.documents.side_view import picture, picture_svg
from readiness.documents.wall_facts import WallTask
from readiness.rules.sums.fall import fall_answer
from readiness.rules.sums.units import available, required
from readiness.rules.sums.values import Refused
from register.documents.content import Picture
from register.wording import shown_number


def fall_picture(task: WallTask) -> Picture | None:
    """None where there are no sums, or they no longer stand."""
    if task.sums is None or None in (task.clearance.required_m, task.clearance.available_m):
        return None
    try:
        answer = fall_answer(task.sums.figures, task.policy)
    except Refused:
        return None
    anchor = task.sums.anchor
    scene = fall_scenes(answer, anchor.shown_code if anchor else "")[0]
    return Picture(
        drawn=lambda: picture(scene),
        markup=lambda: picture_svg(scene, f"fall-{task.row.code}"),
        caption=_caption(task),
    )


def _caption(task: WallTask) -> str:
    figures = {
        "needed": shown_number(required(task.clearance.required_m or 0)),
        "there": shown_number(available(task.clearance.available_m or 0)),
    }
    told = _("Clearance needed %(needed)s m, there is %(there)s m. Do not measure in this drawing.")
    return told % figures
