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
    # Settings of Kivy itself, here because test modules load it while they are collected.
    KCFG_GRAPHICS_MULTISAMPLES="0",  # a software renderer pays for each sample
    KCFG_GRAPHICS_MAXFPS="0",  # a frame follows a frame, without waiting for the next sixtieth
)
# Offscreen keeps its first surface: large enough for both ways.  A run of pictures asks for a larger one.
os.environ.setdefault("KCFG_GRAPHICS_WIDTH", "1280")
os.environ.setdefault("KCFG_GRAPHICS_HEIGHT", "1280")
os.environ.setdefault("KIVY_HOME", tempfile.mkdtemp(prefix="basenote-kivy-"))
if not os.environ.get("DISPLAY"):
    os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")


@pytest.fixture(scope="session")
def window() -> Iterator[Driver]:
    """The one window of the run."""
    from kivy.base import EventLoop

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
