"""The sheet of every kind that a person may type or amend by a form; the others have their own screens."""

from __future__ import annotations

from typing import Final

from fieldapp.desk.entry_forms import base_sheets, concrete_sheets, fluid_sheets, hole_sheets, office_sheets
from fieldapp.desk.entry_forms.sheet import Sheet
from fieldapp.desk.looking import NotOpen
from fieldapp.record.said import said

SHEETS: Final[dict[str, Sheet]] = {
    each.kind: each
    for each in (
        *hole_sheets.SHEETS,
        *fluid_sheets.SHEETS,
        *base_sheets.SHEETS,
        *concrete_sheets.SHEETS,
        *office_sheets.SHEETS,
    )
}


def sheet_of(kind: str) -> Sheet:
    """The sheet of a kind.  Raises NotOpen for a kind that has its own screen."""
    if kind not in SHEETS:
        raise NotOpen(said("A {kind} has its own screen: it is not made by a form.", kind=kind))
    return SHEETS[kind]
