"""The process that `bench_start` starts: ``empty``, ``first`` frame of a project, or all its ``pages``.

The second argument is the moment (of `time.monotonic`) at which it was started, the third a project folder.
What it saw goes to its last line as JSON.
"""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path
from typing import Any

from fieldapp.ui.app import open_app, prepare

prepare()

from kivy.app import App  # noqa: E402 - Kivy reads its settings when it is loaded
from kivy.clock import Clock  # noqa: E402
from kivy.core.window import Window  # noqa: E402
from kivy.uix.widget import Widget  # noqa: E402

what, began_s = sys.argv[1], float(sys.argv[2])
told: dict[str, Any] = {}


class Empty(App):
    """A window with nothing in it."""

    def build(self):
        return Widget()


def flipped(*_):
    """The first frame is on the screen."""
    Window.unbind(on_flip=flipped)
    told["frame_s"], told["processor_s"] = time.monotonic() - began_s, time.process_time()
    app = App.get_running_app()
    if what != "empty":
        board = app.root.current_screen
        told["shafts"] = len(board._board.rows)
        told["alive"] = len(board.middle.rows.table.rows.layout_manager.children)
        told["heavy"] = "numpy" in sys.modules
    if what == "pages":
        Clock.schedule_interval(when_ready, 0.05)
    else:
        app.stop()


def when_ready(*_):
    """The worker has opened the project; the board is read anew before its next answer."""
    session = App.get_running_app().session
    if session.trouble:
        sys.exit(session.trouble)
    if session.ready:
        Clock.unschedule(when_ready)
        told["ready_s"] = time.monotonic() - began_s
        session.jobs.run(lambda: None, lambda _: Clock.schedule_once(turn), lambda _: None)


def turn(*_):
    """All rows, page after page by the key, then half a row a frame."""
    from tests.bench.frames import frame

    def passed():
        found = frame()
        return found.work_s, found.drawing_s

    app = App.get_running_app()
    rows = app.root.current_screen.middle.rows
    rows.choice = "all"
    told["opening_all"] = [passed() for _ in range(5)]
    table, view = rows.table, rows.table.rows
    turned, scrolled, turns = [], [], 0
    while view.scroll_y > 0 and turns < len(table.data):
        table.keys.children[0].dispatch("on_release")
        turned += [passed() for _ in range(3)]
        turns += 1
    view.scroll_y = 1
    frame()
    half_a_row = view.layout_manager.height / len(table.data) / 2
    for _ in range(300):
        view.scroll_y = max(0.0, view.scroll_y - half_a_row / (view.layout_manager.height - view.height))
        scrolled.append(passed())
    told["turned"], told["scrolled"], told["turns"], told["rows"] = turned, scrolled, turns, len(table.data)
    app.stop()


Window.bind(on_flip=flipped)
if what == "empty":
    Empty().run()
else:
    open_app(Path(sys.argv[3]), None)
sys.stdout.write(json.dumps(told) + "\n")
