"""Opens the tablet app on a project folder, or on the projects that this device knows.

The order of start matters:

1. the environment: Kivy takes no command line, writes no log file, keeps its own settings in our folder;
2. on Windows, DPI awareness before any window, else everything is scaled like a picture;
3. Kivy's settings: escape never ends the app, a second finger is no second mouse button, each pixel is
   drawn once; its usual clock, which rests between frames (the one that wakes for every answer never does);
4. only then the modules that open a window (`fieldapp.ui.tablet`);
5. the settings of this device, before the first word is shown;
6. after the first frame the worker loads numpy, the store and the rules, and opens the journal.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fieldapp.ui.session import Session

WIDTH, HEIGHT = 1280, 800
SMALLEST_WIDTH, SMALLEST_HEIGHT = 640, 640


def open_app(folder: Path | None, as_of: str | None) -> None:
    """Show the project in a folder until the window is closed, or without one the projects known here.

    ``as_of`` is None for the present moment, ``last`` for each shaft's latest entry, or an ISO time with
    offset.  Raises Impossible for another text.
    """
    if as_of not in {None, "last"}:
        from fieldapp.record.codec import read_time

        read_time(str(as_of), "as-of")
    prepare()
    from fieldapp.ui.session import Session
    from fieldapp.ui.settings import Preferences, settings_file
    from fieldapp.ui.tablet import Tablet

    session = Session(folder or Path.home() / "Basenote", as_of)
    session.preferences = Preferences(settings_file())
    session.preferences.apply()
    session.bind(ready=_remember)
    Tablet(session, "board" if folder else "projects").run()


def _remember(session: Session, ready: bool) -> None:
    """Put the project that was opened at the head of those known here; a list that cannot be kept is lost."""
    if ready:
        from fieldapp.desk.projects.known import remember_project

        folder, clock = session.folder, session.clock
        session.jobs.run(lambda: remember_project(folder, clock), lambda _: None, lambda _: None)


def prepare() -> None:
    """Steps 1 to 3 of the start."""
    _set_environment()
    _be_aware_of_dots()
    from kivy.config import Config

    Config.set("kivy", "exit_on_escape", "0")
    Config.set("graphics", "multisamples", "0")  # lines are smooth without; two samples double every frame
    Config.set("graphics", "width", str(WIDTH))
    Config.set("graphics", "height", str(HEIGHT))
    Config.set("graphics", "minimum_width", str(SMALLEST_WIDTH))
    Config.set("graphics", "minimum_height", str(SMALLEST_HEIGHT))
    Config.set("input", "mouse", "mouse,multitouch_on_demand")


def _set_environment() -> None:
    from platformdirs import user_config_path

    for name in ("KIVY_NO_ARGS", "KIVY_NO_FILELOG", "KIVY_USE_DEFAULTCONFIG"):
        os.environ.setdefault(name, "1")
    os.environ.setdefault("KIVY_LOG_MODE", "PYTHON")  # else it takes stderr, and problems go unseen
    if "KIVY_HOME" not in os.environ:
        home = user_config_path("basenote", appauthor=False) / "kivy"
        try:
            home.mkdir(parents=True, exist_ok=True)
        except OSError:
            import tempfile

            # a full or read-only disk is told on the screen, and for that Kivy needs some folder
            home = Path(tempfile.mkdtemp(prefix="basenote-kivy-"))
        os.environ["KIVY_HOME"] = str(home)


def _be_aware_of_dots() -> None:
    if sys.platform == "win32":
        import ctypes

        with suppress(AttributeError, OSError):
            ctypes.windll.shcore.SetProcessDpiAwareness(2)
