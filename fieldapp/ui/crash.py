"""The last guard: an error nobody foresaw is written to a file, and one calm sentence is shown.

The app does not go on after it: a record is not made by a program that is no longer sure of itself.
Nothing that was typed or read stands in the file, only where in the program it happened.
"""

from __future__ import annotations

import traceback
from collections.abc import Callable
from pathlib import Path

from kivy.base import ExceptionHandler, ExceptionManager
from kivy.logger import Logger

from fieldapp.ui.moments import to_the_second
from fieldapp.ui.session import Session


class LastGuard(ExceptionHandler):
    """Shows the stop screen for the first unforeseen error, and ends the app at a second one."""

    def __init__(self, session: Session, show: Callable[[str], None]) -> None:
        super().__init__()
        self._session = session
        self._show = show
        self._struck = False

    def handle_exception(self, problem: BaseException) -> int:
        if self._struck or not isinstance(problem, Exception):
            return int(ExceptionManager.RAISE)
        self._struck = True
        Logger.error("Basenote: %s", type(problem).__name__)
        self._show(crash_file(self._session, problem))
        return int(ExceptionManager.PASS)


def crash_file(session: Session, problem: BaseException) -> str:
    """Write where it happened beside the project folder, and give the file's name; empty without room."""
    now = session.clock.now("UTC")
    path: Path = session.folder.resolve().parent / f"basenote-stopped-{now:%Y%m%d-%H%M%S}.txt"
    places = "".join(traceback.format_tb(problem.__traceback__))
    saved = session.saved or "nothing yet"
    text = f"{to_the_second(now)} UTC, last saved {saved}\n{places}{type(problem).__qualname__}\n"
    try:
        path.write_text(text, "utf-8")
    except OSError:
        return ""
    return path.name
