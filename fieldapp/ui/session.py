"""One person's work on one project: the worker that owns the journal, who holds the tablet, what was saved.

The screens ask through here and nowhere else.  A question runs on the worker with the open project in
hand; the screen's thread never waits for it.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import ExitStack
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final, TypeVar

from kivy.event import EventDispatcher
from kivy.properties import BooleanProperty, StringProperty

from fieldapp.desk.board import Board, board
from fieldapp.desk.clock import Clock, SystemClock
from fieldapp.ui.jobs import Jobs
from fieldapp.ui.moments import to_the_second

if TYPE_CHECKING:
    from fieldapp.desk.workplace import Workplace
    from fieldapp.record.entry import Entry

T = TypeVar("T")
LAST: Final = "last"


class Session(EventDispatcher):
    """Begin with ``start`` after the first frame, end with ``close``."""

    person = StringProperty("")
    saved = StringProperty("")
    """Time of day of the last thing that was made durable, to the second."""
    ready = BooleanProperty(False)
    trouble = StringProperty("")
    """Why the project could not be opened, as a sentence; empty while nothing is wrong."""

    def __init__(
        self, folder: Path, as_of: str | None = None, clock: Clock | None = None, device: str = ""
    ) -> None:
        super().__init__()
        self.folder = folder
        self.as_of = as_of
        self.clock = clock or SystemClock()
        self.device = device
        self.jobs = Jobs()
        self._open_things = ExitStack()
        self._place: Workplace | None = None
        self._worked_on: set[str] = set()
        self._closed = False

    def board(self) -> Board:
        """The board from the read tables; needs nothing heavy.  Raises a StoreProblem."""
        return board(self.folder)

    def board_moment(self, of: Board) -> datetime | None:
        """The moment that the board is held against; None: each shaft's latest entry."""
        if self.as_of == LAST:
            return None
        return datetime.fromisoformat(self.as_of) if self.as_of else self.clock.now(of.time_zone or "UTC")

    def start(self) -> None:
        """Load what is heavy and open the project, on the worker."""
        self.trouble = ""
        self.jobs.run(self._at_work, self._opened, self._not_opened)

    def ask(
        self,
        question: Callable[[Workplace], T],
        done: Callable[[T], None],
        refused: Callable[[Exception], None],
    ) -> None:
        """Put a question to the desk; the answer comes to ``done``, a problem to ``refused``."""
        self.jobs.run(lambda: question(self._at_work()), done, refused)

    def moment(self, place: Workplace, shaft: str) -> datetime | None:
        """The moment at which a shaft is shown: as asked at the start, or now once it was worked on."""
        if shaft in self._worked_on or self.as_of is None:
            return place.now()
        if self.as_of == LAST:
            return None
        return datetime.fromisoformat(self.as_of)

    def recorded(self, entry: Entry) -> None:
        """An entry is durable: say so, and show its shaft as of now from here on."""
        if entry.shaft:
            self._worked_on.add(entry.shaft)
        self.kept(entry.draft.recorded_at)

    def kept(self, moment: datetime) -> None:
        """Something is on disk since this moment."""
        self.saved = to_the_second(moment)

    def close(self) -> None:
        """Close the journal on the worker, then end it.  A second call does nothing."""
        if self._closed:
            return
        self._closed = True
        self.jobs.run(self._open_things.close, lambda _: None, lambda _: None)
        self.jobs.close()
        self._place = None

    def _at_work(self) -> Workplace:
        if self._place is None:
            from fieldapp.desk import fluid_form, round_form, shaft_view  # noqa: F401 - warmed up here
            from fieldapp.desk.workplace import open_project

            opened = open_project(self.folder, self.clock, self.device)
            self._place = self._open_things.enter_context(opened)
            self._place.record()
        return self._place

    def _opened(self, _place: Workplace) -> None:
        self.ready = True

    def _not_opened(self, problem: Exception) -> None:
        self.trouble = str(problem)
