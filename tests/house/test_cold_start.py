"""The first frame needs Kivy and the standard library; what is heavy comes after it, on the worker.

The app itself is started in a process of its own, because what is loaded once stays loaded.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from fieldapp.desk.office import begin_project
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import open_project

HOUSE = Path(__file__).parents[2]
HEAVY = ("numpy", "reportlab", "pyhanko", "cryptography", "sqlite_utils")
BUDGET_S = 10.0  # a guard against a slip, not a measurement: the machine may be busy

START = """
import json, sys, time
begun = time.monotonic()
from pathlib import Path
from fieldapp.ui.app import prepare
prepare()
from fieldapp.ui.session import Session
from fieldapp.ui.tablet import Tablet
from kivy.clock import Clock
from kivy.core.window import Window

heavy = sys.argv[2].split(",")
told = {"at_import": [name for name in heavy if name in sys.modules]}
session = Session(Path(sys.argv[1]), "last", device="tablet test")
tablet = Tablet(session)

def first_frame(*_):
    Window.unbind(on_flip=first_frame)
    table = tablet.root.current_screen.middle.ids.table
    told["at_first_frame"] = [name for name in heavy if name in sys.modules]
    told["first_frame_s"] = time.monotonic() - begun
    told["rows"] = [each["shaft"] for each in table.data]
    told["ready"] = session.ready

def when_ready(*_):
    if session.ready or session.trouble or time.monotonic() - begun > 60:
        told["trouble"] = session.trouble
        told["afterwards"] = [name for name in heavy if name in sys.modules]
        told["escape_ends"] = tablet.root.key(Window, 27) is not True
        tablet.stop()

# the handler that was bound last is called first, so this one sees the frame before the worker begins
tablet.bind(on_start=lambda *_: (Window.bind(on_flip=first_frame), Clock.schedule_interval(when_ready, 0.05)))
tablet.run()
print(json.dumps(told))
"""


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> dict[str, object]:
    made = tmp_path_factory.mktemp("cold")
    folder = made / "larkwater"
    begin_project(folder)
    logs = [HOUSE / "sample_logs" / "larkwater" / name for name in ("project.log", "P2-1.log")]
    with open_project(folder, device="tablet test") as place:
        add_logs(place, read_logs(logs))
    (made / "kivy").mkdir()
    environment = {**os.environ, "KIVY_HOME": str(made / "kivy")}
    if not environment.get("DISPLAY"):
        environment["SDL_VIDEODRIVER"] = "offscreen"
    done = subprocess.run(
        [sys.executable, "-c", START, str(folder), ",".join(HEAVY)],
        cwd=HOUSE, env=environment, capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return dict(json.loads(done.stdout.splitlines()[-1]))


def test_nothing_heavy_is_loaded_before_the_first_frame(told):
    assert told["at_import"] == []
    assert told["at_first_frame"] == []


def test_the_first_frame_shows_every_shaft_before_the_project_is_open(told):
    assert "P2-1" in told["rows"]
    assert len(told["rows"]) == 10
    assert told["ready"] is False
    assert told["first_frame_s"] < BUDGET_S


def test_the_worker_opens_the_project_after_the_first_frame(told):
    assert told["trouble"] == ""
    assert "numpy" in told["afterwards"]


def test_escape_does_not_end_the_app(told):
    assert told["escape_ends"] is False


def test_the_command_line_loads_no_window_to_show_its_help():
    code = "import sys; from fieldapp.cli import parser; parser(); print('kivy' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], cwd=HOUSE, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
