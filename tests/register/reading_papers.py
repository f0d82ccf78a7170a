"""A PDF read back by a library that is not the one that wrote it."""

from __future__ import annotations

import re
from html import unescape
from io import BytesIO

from pypdf import PdfReader

from register.documents.content import Content


def pages_of(file: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(BytesIO(file)).pages]


def squeezed(text: str) -> str:
    """Without blanks, which stand wherever a line was broken."""
    return re.sub(r"\s", "", text)


def text_of_pdf(file: bytes) -> str:
    """All of its pages; what stands at the head and foot of each page is taken out between them."""
    return squeezed("\n".join(pages_of(file)))


def text_of_page(html: str) -> str:
    return squeezed(unescape(re.sub(r"<[^>]+>", "", html)))


def unsaid(content: Content, text: str) -> list[str]:
    """The texts of the content that the squeezed text lacks."""
    return [each for each in content.texts() if squeezed(each) not in text]
