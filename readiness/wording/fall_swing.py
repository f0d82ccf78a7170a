"""The swing of a fall in words, and the zone in which it goes no farther than the employer allows."""

from __future__ import annotations

from collections.abc import Iterable

from django.utils.translation import gettext as _

from readiness.rules.sums.fall_row import Row
from readiness.rules.sums.fall_swing import Swung, Zone
from readiness.rules.sums.swing_zone import Stretch
from readiness.rules.sums.units import STEP_FT, available, feet, required
from readiness.wording.lengths import Unit, length_words, speed_words, there_words
from readiness.wording.words import listed
from register.wording import shown_number


def swing_lines(swung: Swung | None, unit: Unit) -> Iterable[str]:
    """Angle, drop and speed; what is struck is told by the picture's own list too."""
    if swung is None:
        return
    found = swung.swing
    facts = {
        "angle": shown_number(round(found.angle_deg, 1)),
        "drop": length_words(found.drop_m, unit),
        "speed": speed_words(found.speed_m_s, unit),
    }
    yield _("Swing through %(angle)s°: drop %(drop)s, %(speed)s at the lowest point.") % facts
    if found.word == "too-far":
        yield _("The angle is past the employer’s limit: come closer to plumb.")
    if found.word == "look":
        yield _("The angle is within the employer’s limit, but large enough to look again.")
    for one in swung.strikes:
        name = one.name or _("something")
        if one.what == "line":
            yield _("The line meets %(name)s: these figures do not hold then.") % {"name": name}
        else:
            at = speed_words(one.speed_m_s, unit)
            yield _("It strikes %(name)s at %(speed)s.") % {"name": name, "speed": at}


def zone_lines(zone: Zone, unit: Unit) -> Iterable[str]:
    """How far from plumb, why no farther, on lower levels, along a row; then what it leaves out."""
    yield _radius(zone, unit)
    if zone.radius_m:
        yield _why(zone)
    for deeper, level in enumerate(zone.levels):
        if deeper:
            facts = {
                "deeper": length_words(deeper, unit),
                "radius": there_words(level.radius_m, unit),
            }
            yield _("%(deeper)s lower down: within %(radius)s.") % facts
    if zone.aside_m:
        facts = {"aside": length_words(zone.aside_m, unit)}
        if zone.holds_work:
            yield _("The work as put in, %(aside)s aside, lies within it.") % facts
        else:
            yield _("The work as put in, %(aside)s aside, lies outside it.") % facts
    if zone.row is not None:
        yield _along(zone.row, zone.gaps, unit)
    yield _(
        "The zone is that of a plain pendulum, nothing taken off for friction. What stands in any other "
        "direction than the one put in was not looked at."
    )


def _radius(zone: Zone, unit: Unit) -> str:
    facts = {
        "radius": there_words(zone.radius_m, unit),
        "most": shown_number(zone.most_deg),
    }
    if not zone.radius_m:
        return _("There is no zone to either side in which a swing stays within the limits.")
    return (
        _(
            "Within %(radius)s of plumb below the anchor a fall swings no farther than the employer’s "
            "%(most)s° and no lower than there is room, on these figures."
        )
        % facts
    )


def _why(zone: Zone) -> str:
    if zone.limit == "strike":
        name = zone.struck or _("something")
        return _("Farther out the swing strikes %(name)s.") % {"name": name}
    if zone.limit == "room":
        return _("Farther out the drop of the swing takes more than the room there is.")
    return _("Farther out the angle is past the employer’s limit.")


def _along(row: Row, gaps: tuple[Stretch, ...], unit: Unit) -> str:
    facts = {"from": length_words(row.work.from_m, unit), "to": length_words(row.work.to_m, unit)}
    if not gaps:
        return _("Along the row the work from %(from)s to %(to)s lies within it.") % facts
    facts["gaps"] = listed([_stretch(gap, unit) for gap in gaps])
    return _("Of the work from %(from)s to %(to)s this lies outside: %(gaps)s.") % facts


def _stretch(gap: Stretch, unit: Unit) -> str:
    """What lies outside is told a little too long, never too short."""
    if unit == "ft":
        start, end = available(feet(gap.from_m), STEP_FT), required(feet(gap.to_m), STEP_FT)
    else:
        start, end = available(gap.from_m), required(gap.to_m)
    told = {"from": shown_number(start), "to": shown_number(end), "unit": unit}
    return _("%(from)s to %(to)s %(unit)s") % told
