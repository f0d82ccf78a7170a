"""A camera made of drawings: QR codes as a phone would see them, played to Chromium as its camera."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

import qrcode
from PIL import Image, ImageChops, ImageDraw, ImageFilter

from tests.browser.conftest import CHROMIUM, FLAGS

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

SIZE = (1280, 720)
FRAMES_A_SECOND = 30  # at which Chromium plays a film of JPEGs, over and over
WALL = 118
LIGHT, DARK = 205, 52


def scene(
    text: str | None, *, wide: int = 330, middle: tuple[int, int] = (640, 360)
) -> Image.Image:
    """A grey wall, and before it a tag with this QR code, a little turned."""
    picture = wall()
    if text is not None:
        hang(picture, tag(text, wide).rotate(7, Image.Resampling.BICUBIC, expand=True), middle)
    return picture


def worn(text: str) -> Image.Image:
    """A tag that has been at work: turned, bent away, scratched, faded and out of focus."""
    card = tag(text, 330)
    marks = ImageDraw.Draw(card)
    for scratch in ((70, 165, 240, 140), (120, 236, 235, 205)):
        marks.line(scratch, fill=(LIGHT, 255), width=3)
    marks.ellipse((200, 150, 218, 168), fill=(DARK, 255))  # a drop of paint
    bent = (1, 0.10, -20, 0.05, 1, -10, 0.0002, 0.0004)
    card = card.transform((390, 390), Image.Transform.PERSPECTIVE, bent, Image.Resampling.BICUBIC)
    picture = wall()
    hang(picture, card.rotate(24, Image.Resampling.BICUBIC, expand=True), (640, 360))
    faded = Image.blend(picture, Image.new("L", SIZE, WALL), 0.35)
    return with_noise(faded.filter(ImageFilter.GaussianBlur(1.2)), 16)


def wall() -> Image.Image:
    return with_noise(Image.new("L", SIZE, WALL), 8)


def tag(text: str, wide: int) -> Image.Image:
    """The card alone: grey on grey, with its own outline as alpha."""
    code = qrcode.QRCode(border=4, error_correction=qrcode.ERROR_CORRECT_Q)
    code.add_data(text)
    drawn = code.make_image().convert("L").resize((wide, wide), Image.Resampling.LANCZOS)
    card = Image.new("LA", (wide, wide))
    card.paste(drawn.point(lambda level: DARK + level * (LIGHT - DARK) // 255))
    card.putalpha(255)
    return card


def hang(picture: Image.Image, card: Image.Image, middle: tuple[int, int]) -> None:
    corner = (middle[0] - card.width // 2, middle[1] - card.height // 2)
    picture.paste(card.getchannel("L"), corner, card.getchannel("A"))


def with_noise(picture: Image.Image, strength: float) -> Image.Image:
    return ImageChops.add(picture, Image.effect_noise(SIZE, strength), scale=1, offset=-128)


def film(scenes: Iterable[Image.Image], to: Path, *, seconds: float = 1.0) -> Path:
    """The scenes one after another, each for so long, without a gap between them."""
    with to.open("wb") as kept:
        for each in scenes:
            frame = BytesIO()
            each.convert("RGB").save(frame, "JPEG", quality=80)
            kept.write(frame.getvalue() * round(seconds * FRAMES_A_SECOND))
    return to


@contextmanager
def filming(chromium: Browser, of: Path, *, refused: bool = False, **screen: Any) -> Iterator[Page]:
    """A page of a browser whose camera plays this film, and which can reach no other machine."""
    camera = [
        "--use-fake-device-for-media-stream",
        f"--use-fake-ui-for-media-stream{'=deny' if refused else ''}",
        f"--use-file-for-fake-video-capture={of}",
        "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE localhost",
    ]
    launched = chromium.browser_type.launch(executable_path=str(CHROMIUM), args=[*FLAGS, *camera])
    try:
        yield launched.new_context(**screen).new_page()
    finally:
        launched.close()
