"""The surroundings of an app in a process of its own, without a display."""

from __future__ import annotations

import os


def environment() -> dict[str, str]:
    """That of this run, with an offscreen window of the app's own settings."""
    ours = {name: text for name, text in os.environ.items() if not name.startswith(("KCFG_", "PYTEST_"))}
    return ours | {
        "SDL_VIDEODRIVER": "offscreen",
        "DISPLAY": ":offscreen",
        "KCFG_GRAPHICS_MULTISAMPLES": "0",
        "KCFG_GRAPHICS_MAXFPS": "0",
    }
