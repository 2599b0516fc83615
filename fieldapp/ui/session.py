"""One person's work on one project: the worker that owns the journal, who holds the tablet, what was saved.

The screens ask through here and nowhere else.  A question runs on the worker with the open project in
hand; the screen's thread never waits for it.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import ExitStack
from datetime import datetime
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING, Final, TypeVar

from kivy.clock import Clock as Frames
from kivy.event import EventDispatcher
from kivy.properties import BooleanProperty, StringProperty

from fieldapp.desk.board import Board, board
from fieldapp.desk.clock import Clock, SystemClock
from fieldapp.ui.jobs import Jobs
from fieldapp.ui.moments import to_the_second
from fieldapp.ui.settings import Preferences
from fieldapp.ui.words.tongue import told

if TYPE_CHECKING:
    from fieldapp.desk.trust.key_holder import KeyHolder
    from fieldapp.desk.trust.roster import UnlockedKey
    from fieldapp.desk.workplace import Workplace
    from fieldapp.record.entry import Entry

T = TypeVar("T")
LAST: Final = "last"


class Session(EventDispatcher):
    """Begin with ``start`` after the first frame, end with ``close``.

    ``preferences`` are the settings of this device; until the app gives it others, those of a new device.
    """

    person = StringProperty("")
    saved = StringProperty("")
    """Time of day of the last thing that was made durable, to the second."""
    key_of = StringProperty("")
    """Whose key is unlocked here; empty while none is."""
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
        self.preferences = Preferences()
        self.jobs = Jobs()
        self._open_things = ExitStack()
        self._place: Workplace | None = None
        self._worked_on: set[str] = set()
        self._holder: KeyHolder | None = None
        self._idling = Frames.create_trigger(self._look_at_key, 1.0, interval=True)
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
            from fieldapp.desk.own_clock import present

            return present(place)
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

    def turn_to(self, folder: Path) -> None:
        """Close the project in hand, if there is one, and open another; its screens are to be built anew."""
        self.lock()
        self.ready, self.person, self.saved = False, "", ""
        self.folder, self.as_of = folder, None
        self._worked_on.clear()
        self.jobs.run(self._leave, lambda _: None, lambda _: None)
        self.start()

    def hold_key(self, key: UnlockedKey) -> None:
        """Keep a key that was unlocked just now, until its time is over, nobody touches, or it is locked."""
        from fieldapp.desk.trust.key_holder import KeyHolder
        from fieldapp.desk.trust.key_time import key_minutes

        self._holder = KeyHolder(key_minutes() * 60.0)
        self._holder.hold(key, monotonic())
        self.key_of = key.certificate.name
        self._idling()

    def key(self) -> UnlockedKey:
        """The key that is unlocked.  Raises Locked."""
        from fieldapp.desk.trust.key_holder import KeyHolder

        try:
            return (self._holder or KeyHolder()).key(monotonic())
        finally:
            self._look_at_key()

    def touched(self) -> None:
        """Somebody is at work."""
        if self._holder is not None:
            self._holder.touched(monotonic())

    def lock(self) -> None:
        """Drop the key: when asked, when the app is left, when another person or project is taken up."""
        if self._holder is not None:
            self._holder.lock()
        self._look_at_key()

    def close(self) -> None:
        """Close the journal on the worker, then end it.  A second call does nothing."""
        if self._closed:
            return
        self._closed = True
        self.lock()
        self.jobs.run(self._open_things.close, lambda _: None, lambda _: None)
        self.jobs.close()
        self._place = None

    def _look_at_key(self, *_: object) -> None:
        if self._holder is None or self._holder.left_s(monotonic()) <= 0:
            self._holder = None
            self._idling.cancel()
            self.key_of = ""

    def _leave(self) -> None:
        self._place = None
        self._open_things.close()

    def _at_work(self) -> Workplace:
        if self._place is None:
            from fieldapp.desk.entry_forms import fluid_form  # noqa: F401 - warmed up here, as the next two
            from fieldapp.desk.rounds import form  # noqa: F401
            from fieldapp.desk.shaft import view  # noqa: F401
            from fieldapp.desk.workplace import open_project

            opened = open_project(self.folder, self.clock, self.device)
            self._place = self._open_things.enter_context(opened)
            self._place.record()
        return self._place

    def _opened(self, _place: Workplace) -> None:
        self.ready = True

    def _not_opened(self, problem: Exception) -> None:
        self.trouble = told(problem)
