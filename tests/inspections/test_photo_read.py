"""A photograph of a tag is read on the server, and nothing of it is kept."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import pytest
import qrcode
from django.core.cache import cache
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from PIL import Image

from inspections.views import photo_read
from register.models import Document, Item, User
from register.rules.photographed_tags import NoOneTag, text_in
from tests.factories import ItemFactory

TAG = "HTTP://LOCALHOST:8000/T/H7K2PD3/2345678923"


def code(text: str) -> Image.Image:
    drawn: Image.Image = qrcode.make(text, box_size=4).convert("RGB")
    return drawn


def photograph(*codes: Image.Image, turned: int = 0) -> bytes:
    """A picture with these codes side by side."""
    picture = Image.new("RGB", (300 * max(len(codes), 1), 300), "gray")
    for n, each in enumerate(codes):
        picture.paste(each, (300 * n + 40, 40))
    kept = BytesIO()
    picture.rotate(turned, expand=True).save(kept, "JPEG", quality=60)
    return kept.getvalue()


@pytest.fixture
def giveable(item: Item) -> str:
    """The address on the tag of an item: its code is one that is given out."""
    return f"HTTP://LOCALHOST:8000/T/{item.code}/{item.tags.get().secret}"


@pytest.mark.parametrize("turned", [0, 90, 180, 30])
def test_a_code_is_read_however_the_photograph_is_turned(turned: int) -> None:
    assert text_in(photograph(code(TAG), turned=turned)) == TAG


@pytest.mark.django_db
def test_a_tag_is_taken_before_another_code_beside_it(giveable: str) -> None:
    other = code("batch 4711")
    for pair in ((other, code(giveable)), (code(giveable), other)):
        assert text_in(photograph(*pair)) == giveable


@pytest.mark.django_db
def test_of_two_tags_none_is_taken(item: Item, giveable: str) -> None:
    another = f"HTTP://LOCALHOST:8000/T/{ItemFactory(site=item.site).code}"
    with pytest.raises(NoOneTag) as refused:
        text_in(photograph(code(giveable), code(another)))
    assert refused.value.code == "several-tags"


@pytest.mark.django_db
def test_the_same_tag_twice_in_one_photograph_is_one(giveable: str) -> None:
    assert text_in(photograph(code(giveable), code(giveable))) == giveable


# --- the address


@pytest.fixture
def phone(petra: User) -> Client:
    client = Client()
    client.force_login(petra)
    return client


def answer(phone: Client, content: bytes | None) -> tuple[int, dict[str, Any]]:
    files = {} if content is None else {"photo": SimpleUploadedFile("tag.jpg", content)}
    got = phone.post(reverse("inspections:photo-read"), files)
    return got.status_code, got.json()


def test_the_text_is_answered_and_the_photograph_not_kept(phone: Client) -> None:
    assert answer(phone, photograph(code(TAG))) == (200, {"text": TAG})
    assert not Document.objects.exists()


@pytest.mark.parametrize(
    ("content", "status", "problem"),
    [
        (photograph(), 200, "nothing-read"),
        (b"no photograph", 200, "not-a-photo"),
        (photograph(code(TAG))[:400], 200, "damaged"),
        (None, 400, "photo-missing"),
    ],
)
def test_what_cannot_be_read_is_told_in_a_sentence(
    phone: Client, content: bytes | None, status: int, problem: str
) -> None:
    got, told = answer(phone, content)
    assert (got, told["text"], told["code"]) == (status, "", problem)
    assert told["sentence"].endswith(".")


def test_a_picture_of_too_many_pixels_is_not_unpacked(phone: Client) -> None:
    kept = BytesIO()
    Image.new("1", (20_000, 9_000)).save(kept, "PNG")
    assert answer(phone, kept.getvalue())[1]["code"] == "too-many-pixels"


def test_a_file_of_too_many_bytes_is_not_read(
    phone: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(photo_read, "MOST_BYTES", 100)
    status, told = answer(phone, photograph(code(TAG)))
    assert (status, told["code"]) == (413, "too-large")


def test_one_user_may_have_only_so_many_read_within_the_hour(
    phone: Client, oyelaran: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(photo_read, "AN_HOUR", 2)
    cache.clear()
    content = photograph(code(TAG))
    assert [answer(phone, content)[0] for _ in range(3)] == [200, 200, 429]
    phone.force_login(oyelaran)
    assert answer(phone, content)[0] == 200


@pytest.mark.django_db
def test_who_is_signed_out_is_told_so_in_json() -> None:
    assert answer(Client(), photograph(code(TAG)))[0] == 401
