"""Interval lines of one file against each other: doubles, and lines that shorten nothing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from inspections.rules.schemes import Line
from inspections.rules.spelling import instead


def line_faults(lines: Sequence[Line]) -> Iterator[tuple[int, str]]:
    """The place of each line that is wrong beside the others, and what to write instead."""
    first: dict[tuple[frozenset[str], frozenset[str], str], int] = {}
    names = {line.name: line for line in lines if line.name}
    for at, line in enumerate(lines):
        about = (line.classes, line.uses, line.kind)
        if about in first:
            yield (
                at,
                (
                    f"the same classes, uses and kind as intervals[{first[about]}]: keep the shorter of"
                    " the two and name both sources in it"
                ),
            )
        first.setdefault(about, at)
        if line.name and names[line.name] is not line:
            yield at, f"the name {line.name!r} stands twice; give this line another"
        if line.shortens:
            yield from ((at, said) for said in _shortening_faults(line, names))


def _shortening_faults(line: Line, names: dict[str, Line]) -> Iterator[str]:
    longer = names.get(line.shortens)
    if longer is None:
        yield f"shortens {instead(line.shortens, tuple(names) or ('a named line',))}"
        return
    if line.kind != longer.kind:
        yield f"shortens {line.shortens!r}, which is about another kind: {longer.kind}"
    if not (line.classes <= longer.classes and line.uses <= longer.uses):
        yield f"shortens {line.shortens!r} for classes or uses which that line does not name"
    if line.interval.months >= longer.interval.months:
        yield (
            f"{line.interval.months} months do not shorten the {longer.interval.months} months of"
            f" {line.shortens!r}: write less, or leave 'shortens' out"
        )
