"""All tables as one workbook (XLSX), a sheet each; texts are written as texts, so none is a formula."""

from __future__ import annotations

import io
from collections.abc import Iterable
from typing import TYPE_CHECKING, Final

from fieldapp.exchange.tables.table import Cell, Filled
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said

if TYPE_CHECKING:
    from xlsxwriter.worksheet import Worksheet

MOST_ROWS: Final = 1_048_575  # of a sheet, without its header (ISO/IEC 29500 as every reader has it)
_LONGEST_NAME: Final = 31
_LONGEST_TEXT: Final = 32_767
_WIDEST: Final = 60


def workbook_bytes(tables: Iterable[Filled]) -> bytes:
    """The tables that have rows, a sheet each, with a first sheet that names them.

    Raises Impossible without XlsxWriter, or for a table of more rows than a sheet holds.
    """
    try:
        import xlsxwriter  # noqa: PLC0415 - optional
    except ImportError:
        how = said("the extra 'xlsx'; install it where Basenote lies: .venv/bin/pip install '.[xlsx]'")
        raise Impossible("workbook", said("no library for XLSX"), how) from None
    out = io.BytesIO()
    filled = [each for each in tables if each.rows]
    with xlsxwriter.Workbook(out, {"in_memory": True, "strings_to_numbers": False}) as book:
        names = dict(zip((each.table.name for each in filled), _sheet_names(filled), strict=True))
        first = book.add_worksheet("contents")
        for line, each in enumerate(filled):
            first.write_string(line, 0, names[each.table.name])
            first.write_string(line, 1, each.table.says)
            first.write_number(line, 2, len(each.rows))
        first.set_column(0, 1, _WIDEST / 2)
        bold = book.add_format({"bold": True})
        for each in filled:
            if len(each.rows) > MOST_ROWS:
                raise Impossible(each.table.name, str(len(each.rows)), said("at most {n} rows", n=MOST_ROWS))
            sheet = book.add_worksheet(names[each.table.name])
            for place, column in enumerate(each.table.columns):
                sheet.write_string(0, place, column.name, bold)
                sheet.write_comment(0, place, column.says)
            sheet.freeze_panes(1, 1)
            sheet.autofilter(0, 0, len(each.rows), len(each.table.columns) - 1)
            for line, row in enumerate(each.rows, 1):
                for place, column in enumerate(each.table.columns):
                    _write(sheet, line, place, row.get(column.name))
    return out.getvalue()


def _write(sheet: Worksheet, line: int, place: int, cell: Cell) -> None:
    if cell is None:
        return
    if isinstance(cell, bool):
        sheet.write_boolean(line, place, cell)
    elif isinstance(cell, int | float):
        sheet.write_number(line, place, cell)
    else:
        sheet.write_string(line, place, cell[:_LONGEST_TEXT])


def _sheet_names(filled: list[Filled]) -> list[str]:
    """Names within the length of a sheet's, none twice."""
    found: list[str] = []
    for each in filled:
        name = each.table.name[:_LONGEST_NAME]
        number = 2
        while name in found:
            name = f"{each.table.name[: _LONGEST_NAME - 2]}_{number}"
            number += 1
        found.append(name)
    return found
