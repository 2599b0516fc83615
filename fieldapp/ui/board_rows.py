"""The rows of the board in the order in which shafts need attention.  Pure; knows no window.

First come releases that have lapsed, then what needs re-work, then the soonest clock, then the name; what has
its concrete in comes last, once that has finished.  A row says the standing, never the release in its place.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from fieldapp.desk.board import Board, BoardRow
from fieldapp.desk.clock import zone_named
from fieldapp.ui.moments import day, day_and_time, hours_minutes, left
from fieldapp.ui.words import common
from fieldapp.ui.words.tongue import tr

SHAPES: Final = {
    "clean": "met",
    "reduced": "not met",
    "rework": "not met",
    "not creditable": "not met",
    "not shown": "not shown",
}
NEEDS_A_HAND: Final = "needs a hand"
ALL: Final = "all"
RELEASED: Final = "released"
CONCRETE_IN: Final = "concrete in"
NOT_SHOWN: Final = "not shown"
CHOICES: Final = (NEEDS_A_HAND, ALL, RELEASED, CONCRETE_IN, NOT_SHOWN)

FILED: Final = "filed"
POURING: Final = "Release"  # the stage of a shaft whose concrete has started and not finished
RELEASE_UNTIL: Final = "release_until"
_LAPSED, _REWORK, _OPEN, _TO_DECIDE, _DONE = range(5)
_URGENT: Final = ("rework", "not creditable")
_NO_CLOCK: Final = float("inf")
_PARTS: Final = re.compile(r"\d+|\D+")
_NOT_IN_A_NAME: Final = re.compile(r"[\W_]+")


@dataclass(frozen=True, slots=True)
class Listed:
    """A shaft on the board: its place in the order, the choices it belongs to, and what its row shows."""

    rank: tuple[int, float, tuple[tuple[int, str], ...]]
    choices: frozenset[str]
    sought: str
    data: dict[str, str]

    @property
    def needs_a_hand(self) -> bool:
        """Whether somebody has still something to do for it."""
        return NEEDS_A_HAND in self.choices


@dataclass(frozen=True, slots=True)
class _Now:
    """A row of the board with its moments in the zone of the project."""

    row: BoardRow
    as_of: datetime
    at: datetime
    until: datetime | None
    soonest: tuple[str, datetime] | None

    @property
    def runs(self) -> bool:
        """Whether a release holds now."""
        open_hole = not self.row.concrete_in
        return open_hole and self.row.release == RELEASED and self.until is not None and self.at < self.until

    @property
    def lapsed(self) -> bool:
        """Whether a release has lapsed, by what was recorded or by the passing of its time."""
        if self.row.concrete_in:
            return False
        return self.row.release == "lapsed" or (self.row.release == RELEASED and not self.runs)


def listed(board: Board, now: datetime | None) -> tuple[Listed, ...]:
    """The shafts of a board, the most urgent first; ``now`` None holds each against its latest entry."""
    found = [_listed(_now(each, board.time_zone, now)) for each in board.rows]
    return tuple(sorted(found, key=lambda each: each.rank))


def chosen(rows: Iterable[Listed], choice: str, sought: str) -> list[dict[str, str]]:
    """What the rows of a choice show whose shafts have the sought letters in their name, in any spelling."""
    wanted = plain_name(sought)
    return [each.data for each in rows if choice in each.choices and wanted in each.sought]


def counts(rows: Iterable[Listed]) -> dict[str, int]:
    """How many shafts each choice has."""
    found = dict.fromkeys(CHOICES, 0)
    for each in rows:
        for choice in each.choices:
            found[choice] += 1
    return found


def plain_name(text: str) -> str:
    """A name as it is sought: ``P1-2``, ``p1 2`` and ``p12`` are alike."""
    return _NOT_IN_A_NAME.sub("", text).casefold()


def _now(row: BoardRow, zone: str, now: datetime | None) -> _Now:
    as_of = _moment(row.as_of, zone)
    until = _moment(row.release_until, zone) if row.release_until else None
    clocks = [(name, _moment(at, zone)) for name, at in row.clocks]
    found = _Now(row, as_of, now or as_of, until, None)
    if found.runs and until is not None:
        clocks.insert(0, (RELEASE_UNTIL, until))
    soonest = min(clocks, key=lambda each: each[1], default=None)
    return _Now(row, as_of, found.at, until, soonest)


def _listed(now: _Now) -> Listed:
    row = now.row
    group = _group(now)
    late, caption, clock = _clock(now)
    data = {
        "shaft": row.shaft,
        "stage": tr(row.stage),
        "shown": SHAPES.get(row.standing, "not shown"),
        "word": tr(row.standing),
        "next_text": common.step(row.next_step),
        "late": "due" if late else "",
        "clock_caption": caption,
        "clock": clock,
    }
    order = (now.soonest[1] - now.at).total_seconds() if now.soonest else _NO_CLOCK
    return Listed((group, order, _by_name(row.shaft)), _choices(now, group), plain_name(row.shaft), data)


def _group(now: _Now) -> int:
    row = now.row
    if row.concrete_in and row.stage == POURING:
        return _OPEN
    if row.concrete_in:
        return _DONE if row.standing == "clean" or row.stage == FILED else _TO_DECIDE
    if now.lapsed:
        return _LAPSED
    return _OPEN if row.standing in SHAPES and row.standing not in _URGENT else _REWORK


def _choices(now: _Now, group: int) -> frozenset[str]:
    found = {ALL}
    if group != _DONE:
        found.add(NEEDS_A_HAND)
    if now.runs:
        found.add(RELEASED)
    if now.row.concrete_in:
        found.add(CONCRETE_IN)
    if SHAPES.get(now.row.standing, NOT_SHOWN) == NOT_SHOWN:
        found.add(NOT_SHOWN)
    return frozenset(found)


def _clock(now: _Now) -> tuple[bool, str, str]:
    """Whether the time is over, the caption and the clock: what is left, or since when it is over."""
    row, since = now.row, tr(common.AS_OF, time=day(now.as_of))
    if row.concrete_in:
        started = (
            datetime.fromisoformat(row.concrete_at).astimezone(now.as_of.tzinfo) if row.concrete_at else None
        )
        second = day(started) if started is not None else since
        return False, f"{tr(common.CONCRETE_IN)}\n{second}", hours_minutes(started or now.as_of)
    if now.lapsed:
        at = now.until or now.as_of
        return True, f"{tr(common.RELEASE_STATES['lapsed'])}\n{day(at)}", hours_minutes(at)
    late, caption, clock = (False, since, hours_minutes(now.as_of))
    if now.soonest is not None:
        late, caption, clock = _running(now, *now.soonest)
    if row.release in common.RELEASE_STATES and not now.runs:  # a hold is said whatever clock runs beside it
        caption = f"{tr(common.RELEASE_STATES[row.release])}\n{caption}"
    return late, caption, clock


def _running(now: _Now, name: str, moment: datetime) -> tuple[bool, str, str]:
    if now.at <= moment:
        return False, tr(common.CLOCKS[name], time=_short(moment, now.at)), left(moment - now.at)
    caption = tr(common.CLOCKS_OVER[name])
    today = moment.date() == now.at.date()
    return True, caption if today else f"{caption}\n{day(moment)}", hours_minutes(moment)


def _by_name(name: str) -> tuple[tuple[int, str], ...]:
    """P2 before P10."""
    return tuple((int(each), "") if each.isdigit() else (-1, each) for each in _PARTS.findall(name))


def _short(moment: datetime, at: datetime) -> str:
    return hours_minutes(moment) if moment.date() == at.date() else day_and_time(moment)


def _moment(text: str, zone: str) -> datetime:
    moment = datetime.fromisoformat(text)
    return moment.astimezone(zone_named(zone)) if zone else moment
