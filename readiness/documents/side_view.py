"""A side view as it is asked for: an <svg> with its words, or a drawing for a PDF.

The drawing library is loaded when the first picture is asked for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.rules.sums.side_view import Scene
from readiness.wording.lengths import Unit
from readiness.wording.side_view import scene_lines, scene_title
from register.lettering import embed_letters

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing


def picture(scene: Scene, unit: Unit = "m") -> Drawing:
    """For a PDF: 480 points wide (an A4 page within its margins), at most 560 high."""
    from readiness.documents.side_view_drawing import side_view_drawing

    embed_letters()
    return side_view_drawing(scene, unit)


def picture_svg(scene: Scene, name: str, unit: Unit = "m") -> str:
    """For a page; `name` makes its ids unique there. The list of `scene_lines` stands beneath it."""
    from readiness.documents.side_view_svg import side_view_svg

    return side_view_svg(picture(scene, unit), name, scene_title(scene), scene_lines(scene, unit))
