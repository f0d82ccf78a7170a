"""A kind of paper with every block in it, on a site: what the frame itself is tested with."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from register.documents.content import (
    Caution,
    Content,
    Heading,
    Identity,
    Row,
    Statement,
    Table,
    TearOff,
    ToWrite,
    Words,
)
from register.documents.kinds import Kind
from register.models import Site

LONG = "Poręcz na górnym pomoście przy włazie, łączniki do sprawdzenia; Ελληνικά; Кириллица. " * 3


def _find(ids: Sequence[str]) -> Site | None:
    return Site.objects.filter(pk=ids[0]).first()


def _content(site: Site, _at: datetime) -> Content:
    rows = [Row((f"{n}", f"Line {n} & <b>", LONG), under="beneath" * (n % 2)) for n in range(28)]
    return Content(
        title="Specimen",
        about=f"What is kept of {site.name}",
        blocks=(
            Statement("DO NOT USE", ("Not at all.", "Nowhere."), forbids=True),
            Identity((("Name", site.name), ("Address", site.address or "none"))),
            Heading("Its lines"),
            Words("Before they were struck"),
            Words("An older line", struck=True),
            Table(("No.", "What", "Why"), (*rows, Row(("x", "y", "z"), struck=True)), (1, 3, 6)),
            Caution("It certifies nothing."),
            TearOff("Keep this part."),
            ToWrite(("Name of the receiver", "Signature")),
        ),
    )


SPECIMEN = Kind(
    slug="specimen",
    name="Specimen",
    parts={"name": "its name", "address": "its address"},
    find=_find,
    rows=lambda site: [site],
    site=lambda site: site,
    content=_content,
    facts=lambda site, _at: {"name": site.name, "address": site.address},
    missing=lambda site, _at: [] if site.address else ["The site has no address."],
)
