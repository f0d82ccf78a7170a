"""A photograph is kept without its place, upright, and never larger than it need be."""

from __future__ import annotations

from io import BytesIO

import pytest
from PIL import Image

from register.rules.photos import NotAPhoto, plain_photo

PLACE, ORIENTATION = 0x8825, 0x0112


def taken(size: tuple[int, int] = (40, 20), kind: str = "JPEG") -> bytes:
    """A picture as a phone writes it: lying on its side, with the place it was taken at."""
    picture, exif = Image.new("RGB", size, "white"), Image.Exif()
    exif[ORIENTATION] = 6
    exif.get_ifd(PLACE)[1] = "N"
    exif.get_ifd(PLACE)[2] = (54.0, 30.0, 12.0)
    kept = BytesIO()
    picture.save(kept, kind, exif=exif)
    return kept.getvalue()


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_the_place_is_left_behind_and_the_picture_stands_upright(kind: str) -> None:
    given = taken(kind=kind)
    assert Image.open(BytesIO(given)).getexif().get_ifd(PLACE)
    with Image.open(BytesIO(plain_photo(given))) as kept:
        assert (kept.format, kept.size) == ("JPEG", (20, 40))
        assert dict(kept.getexif()) == {}


def test_a_large_picture_is_made_smaller() -> None:
    with Image.open(BytesIO(plain_photo(taken((4000, 1000))))) as kept:
        assert kept.size == (500, 2000)


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "not-a-photo"),
        (b"no photograph at all", "not-a-photo"),
        (b"GIF89a" + bytes(40), "not-a-photo"),
        (taken((400, 400))[:200], "damaged"),
    ],
)
def test_what_is_no_whole_photograph_is_refused(content: bytes, code: str) -> None:
    with pytest.raises(NotAPhoto) as refused:
        plain_photo(content)
    assert refused.value.code == code


def test_a_picture_of_too_many_pixels_is_refused_before_it_is_unpacked() -> None:
    kept = BytesIO()
    Image.new("1", (20_000, 9_000)).save(kept, "PNG")
    assert len(kept.getvalue()) < 100_000
    with pytest.raises(NotAPhoto) as refused:
        plain_photo(kept.getvalue())
    assert refused.value.code == "too-many-pixels"
