"""Shaft logs: the kind of paper that the inspector signs off."""

from __future__ import annotations

from datetime import datetime

from fieldapp.desk.papers.forms import FORMS
from fieldapp.desk.papers.paper import Paper, Pen
from fieldapp.desk.papers.writing import Wanted, write_paper
from fieldapp.desk.workplace import Workplace
from fieldapp.record.words import PaperKind

__all__ = ["Paper", "Pen", "write_shaft_log"]


def write_shaft_log(
    place: Workplace, shaft_id: str, at: datetime, printed_by: str, pen: Pen | None = None
) -> Paper:
    """Write the log of a shaft, as `fieldapp.desk.papers.writing.write_paper` writes every kind."""
    return write_paper(place, Wanted(FORMS[PaperKind.SHAFT_LOG], shaft_id, at, printed_by), pen)
