"""Photographs made plain: re-encoded as JPEG, upright, not too large, without a word about where.

What a phone writes beside the picture (place, time, device, thumbnail) is left behind.
"""

from __future__ import annotations

from io import BytesIO

from PIL import Image, ImageOps, UnidentifiedImageError

TAKEN = ("JPEG", "PNG")
MOST_PIXELS = 60_000_000
LONGEST_SIDE = 2000
QUALITY = 85


class NotAPhoto(ValueError):
    """The bytes are no photograph we take: 'not-a-photo', 'damaged' or 'too-many-pixels'."""

    def __init__(self, code: str) -> None:
        super().__init__(code)
        self.code = code


def plain_photo(content: bytes) -> bytes:
    """The picture as a JPEG of at most 2,000 pixels a side, with no metadata (NotAPhoto else)."""
    upright = upright_picture(content)
    bare = Image.new("RGB", upright.size)
    bare.paste(upright)
    kept = BytesIO()
    bare.save(kept, "JPEG", quality=QUALITY)
    return kept.getvalue()


def upright_picture(content: bytes) -> Image.Image:
    """The picture unpacked, upright, at most 2,000 pixels a side (NotAPhoto else)."""
    try:
        with Image.open(BytesIO(content), formats=TAKEN) as picture:
            if picture.width * picture.height > MOST_PIXELS:
                raise NotAPhoto("too-many-pixels")
            picture.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
            return ImageOps.exif_transpose(picture).convert("RGB")
    except UnidentifiedImageError as refused:
        raise NotAPhoto("not-a-photo") from refused
    except Image.DecompressionBombError as refused:
        raise NotAPhoto("too-many-pixels") from refused
    except (OSError, SyntaxError, ValueError) as refused:
        if isinstance(refused, NotAPhoto):
            raise
        raise NotAPhoto("damaged") from refused
