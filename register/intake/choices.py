"""What somebody decided about one file: everything that is asked rather than guessed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """Answers for one file; each has a safe reading where nobody answered.

    on: the day of the import; a made date after it is a mistake.
    date_order: 'day-first', 'month-first' or '' (nobody said: the file must prove it).
    maker: for lines without a maker. site: for lines without a site or a telling sheet name.
    sites: text in the file, by `name_key`, -> the site's name or code in the register; None takes
    the texts as they are. classes: class or product text, by `name_key`, -> class slug.
    confirmed_serials: serials, by `serial_key`, somebody read off the label: not doubted again.
    left_out: names of sheets not to read.
    """

    on: date
    date_order: str = ""
    maker: str = ""
    site: str = ""
    sites: Mapping[str, str] | None = None
    classes: Mapping[str, str] = field(default_factory=dict)
    confirmed_serials: frozenset[str] = frozenset()
    left_out: frozenset[str] = frozenset()
