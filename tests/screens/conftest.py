"""A real window for the tests of the tablet: offscreen when there is no display."""

from __future__ import annotations

import gc
import os
import tempfile
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.support.driver import Driver

os.environ.update(
    KIVY_NO_ARGS="1",  # else Kivy reads the arguments of pytest
    KIVY_NO_FILELOG="1",
    KIVY_NO_CONSOLELOG="1",
    KIVY_USE_DEFAULTCONFIG="1",
)
os.environ.setdefault("KIVY_HOME", tempfile.mkdtemp(prefix="basenote-kivy-"))
if not os.environ.get("DISPLAY"):
    os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")


@pytest.fixture(scope="session")
def window() -> Iterator[Driver]:
    """The one window of the run."""
    from kivy.config import Config

    Config.set("graphics", "width", "1280")
    Config.set("graphics", "height", "1280")  # offscreen keeps its first surface: large enough for both ways
    Config.set("graphics", "multisamples", "0")  # a software renderer pays for each sample
    Config.set("graphics", "maxfps", "0")  # a frame follows a frame, without waiting for the next sixtieth
    from kivy.base import EventLoop  # only now: the clock reads its frame rate when it is imported

    EventLoop.ensure_window()
    EventLoop.start()

    from tests.support.driver import Driver

    yield Driver()
    EventLoop.close()


@pytest.fixture
def hand(window: Driver) -> Iterator[Driver]:
    """A driver at 1280 x 800, noon, text scale 1, in an empty window; left so afterwards."""
    from fieldapp.ui.widgets.theme import theme
    from tests.support.driver import LANDSCAPE

    def reset() -> None:
        window.clear()
        if (theme.scheme, theme.text_scale) != ("noon", 1.0):
            gc.collect()  # widgets of this test would still follow every change of the theme
            theme.scheme, theme.text_scale = "noon", 1.0

    window.resize(LANDSCAPE)
    yield window
    reset()
