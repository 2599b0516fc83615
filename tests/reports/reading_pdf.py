"""Reads a PDF back as a person would: its text, page by page, without line breaks."""

from __future__ import annotations

from io import BytesIO

import pypdfium2
from pypdf import PdfReader


def pages_of(pdf: bytes) -> list[str]:
    """Text of every page, all white space as single blanks."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return [" ".join(page.get_textpage().get_text_range().split()) for page in document]
    finally:
        document.close()


def text_of(pdf: bytes) -> str:
    return " ".join(pages_of(pdf))


def reader(pdf: bytes) -> PdfReader:
    return PdfReader(BytesIO(pdf))
