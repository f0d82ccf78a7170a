"""The words of one look on the phone: the verdict, the points, what is wrong, what a kit holds."""

from __future__ import annotations

from collections.abc import Callable

from django.utils.translation import gettext_noop

from inspections.rules.verdict import DEFECT_CLASSES

WORDS: dict[str, str | Callable[[int], str]] = {
    **{f"grade-{slug}": name for slug, name in DEFECT_CLASSES.items()},
    "look-none": gettext_noop("It cannot be looked at here"),
    "scan-first": gettext_noop(
        "It passes only in the hand: scan or type its tag in the round first."
    ),
    "kit-of": gettext_noop("kit %(kit)s"),
    "no-serial": gettext_noop("none on record"),
    "fact-if-passed": gettext_noop("If it passes"),
    "good-until-if-passed": gettext_noop("good until %(day)s"),
    "wrong": gettext_noop("Something is wrong: out now"),
    "pass": gettext_noop("PASS"),
    "every-point": gettext_noop("every point looked at, all good"),
    "contents-first": gettext_noop("go through the contents first"),
    "measure-first": gettext_noop("measure first"),
    "next": gettext_noop("Next: it stays out"),
    "look-final": gettext_noop("It is out for good and cannot pass: put it aside."),
    "look-out": gettext_noop(
        "It is out of use: your pass is kept, a person decides, and until then it stays out."
    ),
    "look-no-date": gettext_noop(
        "No date is known that a pass of this kind (%(kind)s) would move for it."
    ),
    "not-counting-no-inspector": gettext_noop(
        "Your look will not count: your login is linked to no person in the register."
    ),
    "no-inspector": gettext_noop(
        "Your login is linked to no person, so nobody could sign this round. Ask an administrator to link"
        " it; bad news is taken all the same."
    ),
    "not-counting-kind-moves-nothing": gettext_noop(
        "Your pass moves no date: this kind of look moves none, whoever does it."
    ),
    "not-counting-not-authorised": gettext_noop(
        "Your look will not count: you are not authorised for %(name)s (%(kind)s) today. A fail takes it"
        " out all the same."
    ),
    "not-counting-holds-the-item": gettext_noop(
        "Your look will not count: it is on issue to you, and nobody passes their own."
    ),
    "points": gettext_noop("What to look at"),
    "maker-first": gettext_noop("The maker’s instructions go first."),
    "not-ok": gettext_noop("Not OK: an observation"),
    "not-ok-out": gettext_noop("Not OK: out now"),
    "other-verdict": gettext_noop("Another verdict, or not this item"),
    "refer-out": gettext_noop("Refer: out now, for the maker or an engineer"),
    "serial-differs": gettext_noop("Serial differs: out now, identity in doubt"),
    "pass-with-figures": gettext_noop("Pass, with a note"),
    # what belongs to a verdict
    "finding-of": gettext_noop("%(verdict)s: %(item)s"),
    "save": gettext_noop("Keep it"),
    "save-pass": gettext_noop("Keep the pass"),
    "not-kept": gettext_noop(
        "NOT KEPT: this phone could not write it down (%(why)s). Keep the item from being used, and write"
        " it on paper."
    ),
    "was-in-the-hand": gettext_noop(
        "%(item)s was looked at in this round, so it was there. Nothing is changed."
    ),
    "note": gettext_noop("Note"),
    "label-shows": gettext_noop("What the label and the item show"),
    "label-unsaid": gettext_noop("Say what the label shows."),
    "good-until-day": gettext_noop("Good until"),
    "good-until-help": gettext_noop("Only where that is sooner than the next due day."),
    "only-for": gettext_noop("Only for"),
    "only-for-help": gettext_noop("The one use it is left for, such as: restraint."),
    "conditions-unsaid": gettext_noop(
        "Give the observation, the shorter day or the one use; without any it is a pass."
    ),
    "state-all-good": gettext_noop("All points looked at, all good"),
    "state-rest-good": gettext_noop("All other points looked at, good"),
    "unstated": gettext_noop("Say that all points were looked at: tick it, or fail the item."),
    # what was measured
    "not-applicable": gettext_noop("Does not apply"),
    "limit-least": gettext_noop("at least %(n)s %(unit)s"),
    "limit-most": gettext_noop("at most %(n)s %(unit)s"),
    "limit-under": gettext_noop("under %(n)s %(unit)s"),
    "not-a-number": gettext_noop("A figure is no number: write it like 9.5."),
    "misfit-outside-limits": gettext_noop(
        "Measured outside the limit: %(points)s. It cannot pass: fail or refer it."
    ),
    "misfit-point-takes-it-out": gettext_noop(
        "Not OK: %(points)s. The checklist takes the item out for that: fail it or refer it."
    ),
    "misfit-not-a-plain-pass": gettext_noop(
        "Not OK: %(points)s. Give another verdict: pass with conditions, refer or fail."
    ),
    "misfit-unmeasured": gettext_noop(
        "Not measured: %(points)s. Measure it, or say that it does not apply."
    ),
    # what is wrong
    "defect": gettext_noop("What is wrong, %(n)d"),
    "defect-what": gettext_noop("What is wrong"),
    "defect-grade": gettext_noop("How bad"),
    "defect-by": gettext_noop("Could become a danger by"),
    "defect-by-help": gettext_noop("Only for B: the item is out from the day after."),
    "defect-place": gettext_noop("Where on the item"),
    "defect-further": gettext_noop("Point of the checklist, what was done"),
    "defect-point": gettext_noop("Point of the checklist"),
    "defect-no-point": gettext_noop("None of these"),
    "defect-action": gettext_noop("What was done"),
    "defect-photo": gettext_noop("Photograph"),
    "defect-photo-help": gettext_noop("Place and time are taken out of it; leave people out."),
    "defect-photo-kept": gettext_noop("The photograph, %(n)d kB"),
    "photo-unreadable": gettext_noop("This file is no photograph. Take it again."),
    "defect-more": gettext_noop("Another defect"),
    "defect-missing": gettext_noop("Say what is wrong. It is out already."),
    "defect-unsaid": gettext_noop("Say what is wrong."),
    "defect-ungraded": gettext_noop("Choose how bad it is: A, B or C."),
    "defect-without-day": gettext_noop("Give the day by which this could become a danger."),
    "defect-day-passed": gettext_noop("This day has passed: what is a danger now is class A."),
    "pass-with-danger": gettext_noop("What is a danger now cannot pass: fail it, or refer it."),
    # what a kit holds
    "contents": gettext_noop("Contents, each by its serial"),
    "card-lacks": gettext_noop("Its card lacks: %(roles)s."),
    "left-shut": gettext_noop("Left shut: the seal %(seal)s is whole"),
    "piece-ticked": gettext_noop("%(code)s is on the card: ticked."),
    "piece-strange": gettext_noop("%(code)s is not on the card of this kit."),
    "new-seal": gettext_noop("Number of the new seal"),
    "new-seal-help": gettext_noop("Only where the bag was opened."),
    "contents-not-ticked": gettext_noop(
        "Not every piece is ticked. Hold each, compare its serial; what is not there fails the kit."
    ),
    "contents-was-opened": gettext_noop(
        "This look opens the kit: tick each piece against the card and close it with a new seal."
    ),
}
