"""What makes two lines the same item, and what makes them suspiciously alike."""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from typing import NamedTuple

from register.rules.serials import serial_key

# Marks that are mistaken for each other on a worn label; common practice, no source.
LOOK_ALIKE = str.maketrans("OIL", "011")


class ProductKey(NamedTuple):
    """Maker and product, each as compared."""

    maker: str
    product: str


class ItemKey(NamedTuple):
    """(maker, product, serial), each as compared; unique in the register."""

    maker: str
    product: str
    serial: str


@lru_cache(maxsize=5000)
def name_key(name: str) -> str:
    """'Orrin & Tull Ltd.' and 'ORRIN & TULL LTD' are one maker: only letters and digits count."""
    plain = unicodedata.normalize("NFKC", name).casefold()
    return "".join(mark for mark in plain if mark.isalnum())


def product_key(maker: str, product: str) -> ProductKey:
    return ProductKey(name_key(maker), name_key(product))


def item_key(maker: str, product: str, serial: str) -> ItemKey:
    return ItemKey(name_key(maker), name_key(product), serial_key(serial))


def near_key(key: ItemKey) -> ItemKey:
    """The same for serials one misreading apart: O and 0, I, L and 1, zeros at the front."""
    serial = key.serial.translate(LOOK_ALIKE).lstrip("0")
    return ItemKey(key.maker, key.product, serial)


def tag_key(tag: str) -> str:
    """An own mark as compared, by the same rule as a serial."""
    return serial_key(tag)
