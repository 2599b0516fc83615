"""One worker for everything that may take time; what comes back arrives on the screen's thread.

Work runs in the order in which it was asked for.  A known problem goes to ``refused`` as it is; anything
else is raised on the screen's thread, where the last guard stands (`fieldapp.ui.crash`).
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Final, TypeVar

from kivy.clock import Clock

T = TypeVar("T")
KEPT_S: Final = 0.001
"""How long a worker may keep the interpreter from the screen that asks for it; Python's own is 5 ms.

A frame gives the interpreter away several times, and waits for it as often.
"""


def known_problems() -> tuple[type[Exception], ...]:
    """Every problem that has a sentence for people; loaded when the first one comes up."""
    from fieldapp.desk.looking import NotOpen
    from fieldapp.desk.problems import PROBLEMS

    return (*PROBLEMS, NotOpen)


class Jobs:
    """The worker.  ``close`` waits for what was begun."""

    def __init__(self) -> None:
        # for good, not while something is made: two workers could each put back what the other had set
        sys.setswitchinterval(KEPT_S)
        self._pool = ThreadPoolExecutor(1, "desk")
        self._closed = False

    def run(
        self, work: Callable[[], T], done: Callable[[T], None], refused: Callable[[Exception], None]
    ) -> None:
        """Do ``work`` on the worker, then ``done`` or ``refused`` on the screen's thread.

        Once closed nothing is begun any more: nobody is there to be answered.
        """
        if self._closed:
            return

        def deliver(future: Future[T]) -> None:
            try:
                result = future.result()
            except known_problems() as problem:
                refused(problem)
            else:
                done(result)

        future = self._pool.submit(work)
        future.add_done_callback(lambda each: Clock.schedule_once(lambda _passed_s: deliver(each)))

    def close(self) -> None:
        """Finish what was begun and end the worker."""
        self._closed = True
        self._pool.shutdown(wait=True)
