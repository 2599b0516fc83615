"""The rows of the board in the order in which shafts need attention.  Pure; knows no window.

A row says the standing, never the release in its place: the clock column says until when a release holds.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from fieldapp.desk.board import Board, BoardRow
from fieldapp.desk.clock import zone_named
from fieldapp.ui.moments import day, day_and_time, hours_minutes, remaining
from fieldapp.ui.words import board as words
from fieldapp.ui.words import common
from fieldapp.ui.words.tongue import tr

SHAPES: Final = {
    "clean": "met",
    "reduced": "not met",
    "rework": "not met",
    "not creditable": "not met",
    "not shown": "not shown",
}
_CLOCK_RUNS: Final = 0
_OPEN: Final = {"rework": 1, "not shown": 2, "not creditable": 3, "clean": 4, "reduced": 5}
_FILLED: Final = {"not creditable": 6, "reduced": 7, "not shown": 8, "clean": 9}
_NO_HAND: Final = 9


@dataclass(frozen=True, slots=True)
class Listed:
    """A shaft on the board: its place in the order, and what its row shows."""

    rank: tuple[int, str, str]
    needs_a_hand: bool
    data: dict[str, str]


def listed(board: Board, now: datetime | None) -> tuple[Listed, ...]:
    """The shafts of a board, the most urgent first; ``now`` None holds each against its latest entry."""
    found = [_listed(each, board.time_zone, now) for each in board.rows]
    return tuple(sorted(found, key=lambda each: each.rank))


def _listed(row: BoardRow, zone: str, now: datetime | None) -> Listed:
    as_of = _moment(row.as_of, zone)
    at = now or as_of
    until = _moment(row.release_until, zone) if row.release_until else None
    runs = row.release == "released" and until is not None and at < until and not row.concrete_in
    rank = _CLOCK_RUNS if runs else (_FILLED if row.concrete_in else _OPEN).get(row.standing, _OPEN["rework"])
    caption, clock = _clock(row, as_of, at, until)
    data = {
        "shaft": row.shaft,
        "shown": SHAPES.get(row.standing, "not shown"),
        "word": tr(row.standing),
        "next_text": common.step(row.next_step),
        "clock_caption": caption,
        "clock": clock,
    }
    order = row.release_until if runs else _newest_first(as_of)
    return Listed((rank, order, row.shaft), rank != _NO_HAND, data)


def _newest_first(moment: datetime) -> str:
    return f"{10**11 - int(moment.timestamp()):012d}"


def _clock(row: BoardRow, as_of: datetime, at: datetime, until: datetime | None) -> tuple[str, str]:
    since = tr(common.AS_OF, time=day(as_of))
    if row.concrete_in:
        return f"{tr(common.CONCRETE_IN)}\n{since}", hours_minutes(as_of)
    if row.release == "released" and until is not None:
        if at < until:
            return tr(words.UNTIL, time=_short(until, at)), remaining(until - at)
        return f"{tr(common.RELEASE_STATES['lapsed'])}\n{day(until)}", hours_minutes(until)
    if row.release in common.RELEASE_STATES:
        return f"{tr(common.RELEASE_STATES[row.release])}\n{since}", hours_minutes(as_of)
    return since, hours_minutes(as_of)


def _short(moment: datetime, at: datetime) -> str:
    return hours_minutes(moment) if moment.date() == at.date() else day_and_time(moment)


def _moment(text: str, zone: str) -> datetime:
    moment = datetime.fromisoformat(text)
    return moment.astimezone(zone_named(zone)) if zone else moment
