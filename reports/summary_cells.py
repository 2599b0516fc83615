"""Cells of long tables."""

from __future__ import annotations

from typing import Any

from reportlab.lib.styles import ParagraphStyle

from reports.style import CAPTION, CELL, Passage, words


def cell(text: str, style: ParagraphStyle = CELL) -> Passage:
    """Plain text as a cell."""
    return words(text, style)


def marked_cell(text: str, style: ParagraphStyle = CELL) -> Passage:
    """Paragraph markup as a cell."""
    return Passage(text, style)


def head(*names: str) -> list[Any]:
    """The head row of a table."""
    return [cell(name, CAPTION) for name in names]
