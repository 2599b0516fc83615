"""Where a page of rows begins and ends, so that none is cut by the edge of its place.  Pure; in pixels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

NEAR_PX: Final = 1.5
"""Two edges this near to one another are one."""
LEAST_SHARE: Final = 0.5
"""A page filled less than this is filled with a part of the next row instead: better cut than empty."""
PART: Final = 0.8
"""A row that is higher than its place is passed by this share of the place at a time."""

Row = tuple[float, float]
"""Upper and lower edge, measured down from the top of the content."""


@dataclass(frozen=True, slots=True)
class Paging:
    """Rows from the top down, the height of all that holds them, and the room for a page."""

    rows: Sequence[Row]
    total: float
    room: float

    @property
    def last(self) -> float:
        """Where the last page begins: the first row from which the end is in view."""
        whole = [top for top, _ in self.rows if self.total - top <= self.room + NEAR_PX]
        filled = bool(whole) and self.total - whole[0] >= LEAST_SHARE * self.room
        return max(0.0, whole[0] if filled else self.total - self.room)

    def page(self, start: float) -> tuple[float, float]:
        """Where a page begins that is asked for from ``start`` on, and how high it is."""
        start = max(0.0, min(start, self.last))
        if start >= self.last - NEAR_PX:
            return self.last, min(self.room, self.total - self.last)
        tops = [top for top, _ in self.rows if abs(top - start) <= NEAR_PX]
        if not tops and start > NEAR_PX:  # moved by a finger, or inside of a high row
            return start, min(self.room, self.total - start)
        end = max((low for _, low in self.rows if low - start <= self.room + NEAR_PX), default=0.0)
        return start, end - start if end - start >= LEAST_SHARE * self.room else self.room

    def whole(self, start: float) -> float:
        """The upper edge of the row that ``start`` is inside of; within a row too high for a page, itself."""
        for top, low in self.rows:
            if top - NEAR_PX <= start < low - NEAR_PX:
                return top if low - top <= self.room else start
        return start

    def begins_whole(self, start: float) -> bool:
        """Whether a page from ``start`` on begins with a whole row, or is the last one."""
        return start >= self.last - NEAR_PX or any(abs(top - start) <= NEAR_PX for top, _ in self.rows)

    def after(self, start: float) -> float:
        """Where the page after this one begins: at the first row that is not wholly in view."""
        start, high = self.page(start)
        for top, low in self.rows:
            if low > start + high + NEAR_PX:
                return min(self.last, top if top > start + NEAR_PX else start + PART * self.room)
        return self.last

    def before(self, start: float) -> float:
        """Where the page before this one begins."""
        start, _ = self.page(start)
        above = [top for top, _ in self.rows if top < start - NEAR_PX]
        whole = [top for top in above if start - top <= self.room + NEAR_PX]
        if whole:
            return whole[0]
        return max(0.0, above[-1] if above else 0.0, start - PART * self.room)

    def showing(self, start: float, row: Row) -> float:
        """Where a page begins that has this row in view, as near to ``start`` as pages go."""
        start, high = self.page(start)
        if start - NEAR_PX <= row[0] and row[1] <= start + high + NEAR_PX:
            return start
        at = 0.0
        while at < self.last and row[1] > sum(self.page(at)) + NEAR_PX:
            at = max(self.after(at), at + 1.0)
        return at
