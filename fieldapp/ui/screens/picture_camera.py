"""The camera of the device, where the platform gives one to us; everywhere else there is none.

It writes a file of its own into a folder that is removed once the picture is kept or given up.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import Any

from kivy.clock import Clock


def camera() -> Any | None:
    """The camera, or None where there is none."""
    try:
        return import_module("plyer").camera
    except (ImportError, AttributeError):
        return None


def take(made: Any, taken: Callable[[Path | None], None]) -> bool:
    """Let the device take a picture; ``taken`` gets its file on the screen's thread, or None.

    False when the platform has no way to do so after all.
    """
    path = Path(tempfile.mkdtemp(prefix="basenote-camera-")) / "picture.jpg"

    def came(_name: str) -> bool:
        Clock.schedule_once(lambda _passed_s: taken(path if path.is_file() else None))
        return False  # the file is ours to remove

    try:
        made.take_picture(filename=str(path), on_complete=came)
    except (NotImplementedError, OSError):
        forget(path)
        return False
    return True


def forget(path: Path) -> None:
    """Remove what the camera wrote."""
    if path.parent.name.startswith("basenote-camera-"):
        shutil.rmtree(path.parent, ignore_errors=True)
