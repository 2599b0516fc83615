"""Reads a load test from a CSV file: curves with their units, and where the load cell stood.

A header line names each column and its unit, `base displacement (in),base load (kip)`; above it may
stand lines such as `load cell above base,4 ft`.  Every problem is told at once with file, line and
field, and nothing is half read.  A number in an unknown unit is refused, never guessed.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

from fieldapp.base.disk import DIAMETER
from fieldapp.base.measured_curve import CELL_HEIGHT, LOAD, MOVEMENT, LoadTest, MeasuredCurve
from fieldapp.exchange.plain_problem import Faults
from fieldapp.units import UNITS, NotANumber, OutOfRange, Range, read_si

MOST_CHARACTERS: Final = 2_000_000
MOST_LINES: Final = 10_000
MOST_IN_LINE: Final = 500
"""A cell is held against patterns whose time grows with the square of its length."""

BASE_MOVEMENT: Final = "base displacement"
BASE_LOAD: Final = "base load"
CELL_LOAD: Final = "cell load"
DOWNWARD: Final = "downward displacement"
UPWARD: Final = "upward displacement"
CELL_ABOVE_BASE: Final = "load cell above base"
BASE_DIAMETER: Final = "base diameter"

_ONE_WAY: Final = frozenset({BASE_MOVEMENT, BASE_LOAD})
_BOTH_WAYS: Final = frozenset({CELL_LOAD, DOWNWARD, UPWARD})
_DOWN_ONLY: Final = frozenset({CELL_LOAD, DOWNWARD})
_RANGES: Final = {
    BASE_MOVEMENT: MOVEMENT,
    DOWNWARD: MOVEMENT,
    UPWARD: MOVEMENT,
    BASE_LOAD: LOAD,
    CELL_LOAD: LOAD,
    CELL_ABOVE_BASE: CELL_HEIGHT,
    BASE_DIAMETER: DIAMETER,
}
_COLUMNS: Final = (BASE_MOVEMENT, BASE_LOAD, CELL_LOAD, DOWNWARD, UPWARD)
_SETS: Final = (
    f"'{BASE_MOVEMENT}' and '{BASE_LOAD}', or '{CELL_LOAD}' with '{DOWNWARD}' and, if read, '{UPWARD}'"
)
_COLUMN: Final = re.compile(r"(?P<name>[^()]*?)\s*\((?P<unit>[^()]*)\)")
_WITH_UNIT: Final = re.compile(r"(?P<number>-?\d[\d.,/ -]*?)\s*(?P<unit>[A-Za-z]+)")


@dataclass(frozen=True, slots=True)
class _Column:
    """A column by its number, name and unit."""

    place: int
    name: str
    unit: str


@dataclass(slots=True)
class _Sheet:
    """What has been read of a file so far."""

    faults: Faults
    columns: tuple[_Column, ...] = ()
    facts: dict[str, float] = field(default_factory=dict)
    rows: list[dict[str, float]] = field(default_factory=list)


def read_load_test_file(text: str, name: str) -> LoadTest:
    """A load test from the text of a CSV file.

    Columns (in any order, others are refused): ``base displacement`` and ``base load``; or ``cell load``
    with ``downward displacement`` and, if read, ``upward displacement``, both positive, for a
    bidirectional test.  Each has a length or force unit in brackets.  A displacement may be left blank,
    then that curve has no point there.  Above the header: ``load cell above base`` and
    ``base diameter``, each with its unit, and lines that begin with ``#``.  Columns are parted by
    comma, semicolon or tab; with semicolon or tab a decimal comma is read.

    Parameters
    ----------
    text
        The whole file, at most 2 million characters and 10 000 lines of 500 characters.
    name
        The file name, for the problems.

    Raises
    ------
    PlainLogRefused
        With every problem of the file: line, field, what was read, what was expected.
    """
    sheet = _Sheet(Faults(name))
    lines = text.removeprefix("\ufeff").splitlines()
    if len(text) > MOST_CHARACTERS or len(lines) > MOST_LINES:
        sheet.faults.add(0, "size", "a larger file", f"at most {MOST_LINES} lines")
        sheet.faults.refuse_if_any()
    for number, line in enumerate(lines, start=1):
        if len(line) > MOST_IN_LINE:
            sheet.faults.add(number, "line", line, f"at most {MOST_IN_LINE} characters in a line")
        elif line.strip(" \t,;") and not line.lstrip().startswith("#"):
            _take(sheet, number, _cells(sheet, number, line))
    if not sheet.columns and not sheet.faults.found:
        sheet.faults.add(0, "header", "nothing", f"a line naming {_SETS}, each with its unit in brackets")
    sheet.faults.refuse_if_any()
    return _test(sheet)


def _cells(sheet: _Sheet, number: int, line: str) -> list[str]:
    parted = next((mark for mark in ";\t" if mark in line), ",")
    try:
        return [cell.strip() for row in csv.reader([line], delimiter=parted) for cell in row]
    except csv.Error as refused:
        sheet.faults.add(number, "row", line, f"cells parted by '{parted}'; {refused}")
        return []


def _take(sheet: _Sheet, number: int, cells: list[str]) -> None:
    if not cells:
        return
    if sheet.columns:
        _take_row(sheet, number, cells)
    elif cells[0].lower() in (CELL_ABOVE_BASE, BASE_DIAMETER):
        _take_fact(sheet, number, cells)
    else:
        _take_header(sheet, number, cells)


def _take_fact(sheet: _Sheet, number: int, cells: list[str]) -> None:
    name = cells[0].lower()
    said = ", ".join(cells[1:])
    if name in sheet.facts:
        sheet.faults.add(number, name, said, "one line of it")
        return
    found = _WITH_UNIT.fullmatch(said)
    given = (found["number"].strip(), found["unit"]) if found else (said, "ft-in")
    length = given[1] in UNITS and UNITS[given[1]].dimension == "length"
    if not length or not (found or "'" in said):
        sheet.faults.add(number, name, said, "a length with its unit, like 4 ft or 1.2 m")
        return
    value = _value(sheet, number, name, given)
    if value is not None:
        sheet.facts[name] = value


def _take_header(sheet: _Sheet, number: int, cells: list[str]) -> None:
    before = len(sheet.faults.found)
    columns = [_column(sheet, number, place, cell) for place, cell in enumerate(cells)]
    known = tuple(each for each in columns if each is not None)
    names = [each.name for each in known]
    right = frozenset(names) in (_ONE_WAY, _BOTH_WAYS, _DOWN_ONLY) and len(names) == len(set(names))
    if len(sheet.faults.found) == before and not right:
        sheet.faults.add(number, "header", ", ".join(cells), _SETS)
    if len(sheet.faults.found) > before:
        sheet.faults.refuse_if_any()
    sheet.columns = known


def _column(sheet: _Sheet, number: int, place: int, cell: str) -> _Column | None:
    found = _COLUMN.fullmatch(cell)
    name = (found["name"] if found else cell).strip().lower()
    if name not in _COLUMNS:
        sheet.faults.add(number, f"column {place + 1}", cell, f"a column and its unit: {_SETS}")
        return None
    dimension = "force" if _RANGES[name] is LOAD else "length"
    symbols = [u.symbol for u in UNITS.values() if u.dimension == dimension and u.symbol != "ft-in"]
    if found is None or found["unit"] not in symbols:
        sheet.faults.add(number, name, cell, f"its unit in brackets, one of {', '.join(symbols)}")
        return None
    return _Column(place, name, found["unit"])


def _take_row(sheet: _Sheet, number: int, cells: list[str]) -> None:
    if len(cells) != len(sheet.columns):
        sheet.faults.add(number, "row", f"{len(cells)} cells", f"{len(sheet.columns)} as in the header")
        return
    row: dict[str, float] = {}
    for column in sheet.columns:
        cell = cells[column.place]
        if cell == "" and column.name in (DOWNWARD, UPWARD):
            continue
        value = _value(sheet, number, column.name, (cell, column.unit))
        if value is not None:
            row[column.name] = value
    sheet.rows.append(row)


def _value(sheet: _Sheet, number: int, name: str, given: tuple[str, str]) -> float | None:
    """SI value of a number in its unit, within the range of its column; None with a problem noted."""
    text, unit = given
    limits = _RANGES[name]
    read = text if unit == "ft-in" else f"{text} {unit}".strip()
    try:
        value = float(read_si(text, unit))
    except NotANumber as refused:
        sheet.faults.add(number, name, read, f"a number like 0.35; {refused}")
        return None
    return (
        value
        if _within(limits, value, lambda: sheet.faults.add(number, name, read, limits.allowed))
        else None
    )


def _within(limits: Range, value: float, otherwise: Callable[[], None]) -> bool:
    try:
        limits.check(value)
    except OutOfRange:
        otherwise()
        return False
    return True


def _test(sheet: _Sheet) -> LoadTest:
    one_way = any(column.name == BASE_LOAD for column in sheet.columns)
    movement, load = (BASE_MOVEMENT, BASE_LOAD) if one_way else (DOWNWARD, CELL_LOAD)
    base = _curve(sheet, movement, load)
    if base is None:
        sheet.faults.add(0, "rows", "nothing", f"at least one row with {movement} and {load}")
        sheet.faults.refuse_if_any()
        raise AssertionError("a file without a curve was not refused")
    upward = None if one_way else _curve(sheet, UPWARD, CELL_LOAD)
    return LoadTest(base, upward, sheet.facts.get(CELL_ABOVE_BASE), sheet.facts.get(BASE_DIAMETER))


def _curve(sheet: _Sheet, movement: str, load: str) -> MeasuredCurve | None:
    points = [(row[movement], row[load]) for row in sheet.rows if movement in row and load in row]
    if not points:
        return None
    return MeasuredCurve(tuple(w for w, _ in points), tuple(q for _, q in points))
