"""What headings, and words within a file, were once said to mean; the last answer stands."""

from __future__ import annotations

from collections.abc import Mapping

from inspections.models import RememberedColumn

_LONGEST = 200


def remembered_words(kind: str) -> dict[str, str]:
    """Heading or word, as normalised, to what it means in files of the kind."""
    rows = RememberedColumn.objects.filter(kind=kind)
    return dict(rows.values_list("heading", "field"))


def remember_words(kind: str, said: Mapping[str, str]) -> None:
    rows = [
        RememberedColumn(kind=kind, heading=heading, field=slug)
        for heading, slug in said.items()
        if len(heading) <= _LONGEST
    ]
    RememberedColumn.objects.bulk_create(
        rows, update_conflicts=True, unique_fields=["kind", "heading"], update_fields=["field"]
    )
