"""The tag in a photograph: what its QR code says, where one and only one can be told."""

from __future__ import annotations

import zxingcpp

from register.rules.photos import upright_picture
from register.rules.tags import read


class NoOneTag(ValueError):
    """The photograph shows not one tag: 'nothing-read' or 'several-tags'."""

    def __init__(self, code: str) -> None:
        super().__init__(code)
        self.code = code


def text_in(content: bytes) -> str:
    """What the QR code in a photograph says (NotAPhoto or NoOneTag else).

    Other codes beside a tag are passed over. Of two tags neither is taken: which of them was meant
    cannot be known, and the other one may be the one that is in the hand.
    """
    picture = upright_picture(content)
    found = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
    texts = list(dict.fromkeys(each.text for each in found if each.text))
    if not texts:
        raise NoOneTag("nothing-read")
    tags = {code: text for text in texts if (code := read(text).code)}
    if len(tags) > 1:
        raise NoOneTag("several-tags")
    told: str = next(iter(tags.values()), texts[0])
    return told
