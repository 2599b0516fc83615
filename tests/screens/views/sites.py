"""Projects that a view needs beside the sample ones: where somebody decides, with keys, on its own device."""

from __future__ import annotations

import os
import shutil
import tempfile
import time
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Callable

    from fieldapp.ui.jobs import Jobs
    from tests.screens.decision_journey import Sample
    from tests.screens.journey import Journey

LONGEST_S: Final = 60.0


@cache
def made_here() -> Path:
    """A folder of this run; its device knows nothing of the projects of the one who runs it."""
    folder = tempfile.TemporaryDirectory(prefix="basenote-views-")
    _kept.append(folder)
    os.environ["XDG_CONFIG_HOME"] = str(Path(folder.name) / "device")
    return Path(folder.name)


_kept: list[tempfile.TemporaryDirectory[str]] = []


@cache
def _whole(sample: Sample) -> Path:
    from tests.screens.decision_journey import decision_project

    return decision_project(made_here() / sample[0], sample)


def fresh(name: str) -> Path:
    """An empty place for one view."""
    folder = made_here() / "now" / name
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    return folder


def decide_on(on: Journey, sample: Sample, person: str) -> Path:
    """The app on a project where the decisions begin, in the hand of this person."""
    whole = _whole(sample)
    folder = Path(shutil.copytree(whole, fresh("site") / "project"))
    take(on, folder, sample[2], person)
    return folder


def take(on: Journey, folder: Path, moment: object, person: str) -> None:
    """Turn the app to another project, at another moment."""
    from fieldapp.ui.screens.projects import take_up

    on.session.clock.moment = moment
    take_up(on.session, on.walk, folder)
    on.hand.until(lambda: on.session.ready or bool(on.session.trouble), 60)
    on.session.person = person
    on.wait()


def occupy(on: Journey, jobs: Jobs, then: Callable[[], None] = lambda: None) -> None:
    """Keep a worker busy for as long as the window shows this screen, so that its progress can be seen."""
    screen, end = on.screen, time.monotonic() + LONGEST_S

    def wait() -> None:
        while screen.get_parent_window() is not None and time.monotonic() < end:
            time.sleep(0.02)
        then()

    jobs.run(wait, lambda _: None, print)
