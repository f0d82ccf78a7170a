"""What the register already holds, as the plan needs it; the shell fills it in one go."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date

from register.intake.keys import ItemKey, ProductKey, near_key, tag_key
from register.intake.rows import Particulars
from register.rules.lifespan import DateSpan


@dataclass(frozen=True, slots=True)
class Known:
    """items: particulars by key. tags: who has a mark, for ever, also of items long gone.

    near: key by near key. classes: class slug by product. zero_serials: for products with serials
    that begin with 0, the longest such serial.
    """

    items: Mapping[ItemKey, Particulars] = field(default_factory=dict)
    tags: Mapping[str, ItemKey] = field(default_factory=dict)
    near: Mapping[ItemKey, ItemKey] = field(default_factory=dict)
    classes: Mapping[ProductKey, str] = field(default_factory=dict)
    zero_serials: Mapping[ProductKey, str] = field(default_factory=dict)


NOTHING_KNOWN = Known()


def known_from(
    items: Iterable[tuple[ItemKey, Particulars]],
    tags: Mapping[str, ItemKey] | None = None,
    classes: Mapping[ProductKey, str] | None = None,
) -> Known:
    """`items` is gone through once, so it may be a query's iterator.

    `tags`: marks beyond those in the particulars (labels replaced), by `tag_key`. `classes`:
    products of the catalogue, also those without items.
    """
    by_key = dict(items)
    of_tags = {tag_key(one.tag): key for key, one in by_key.items() if one.tag}
    zeros: dict[ProductKey, str] = {}
    for key in by_key:
        if key.serial.startswith("0"):
            product = ProductKey(key.maker, key.product)
            zeros[product] = max(zeros.get(product, ""), key.serial, key=len)
    return Known(
        items=by_key,
        tags=of_tags | dict(tags or {}),
        near={near_key(key): key for key in by_key},
        classes=classes
        or {ProductKey(k.maker, k.product): p.class_slug for k, p in by_key.items()},
        zero_serials=zeros,
    )


def differing(found: Particulars, held: Particulars) -> tuple[str, ...]:
    """Names of the particulars the line states and the register holds otherwise.

    What the line leaves blank is no difference, nor is an inspection the register has a later one
    of: the workbook is old by then.
    """
    names = []
    for name, stated, kept in zip(Particulars._fields, found, held, strict=True):
        if _is_blank(stated) or _same(stated, kept):
            continue
        if name == "last_inspected_on" and _is_older(stated, kept):
            continue
        names.append(name)
    return tuple(names)


def _is_blank(stated: object) -> bool:
    return not stated or (isinstance(stated, DateSpan) and stated.first is None)


def _same(stated: object, kept: object) -> bool:
    if isinstance(stated, str) and isinstance(kept, str):
        return tag_key(stated) == tag_key(kept)
    return stated == kept


def _is_older(stated: object, kept: object) -> bool:
    return isinstance(stated, date) and isinstance(kept, date) and stated < kept
