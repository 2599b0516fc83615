"""Whether a window can be opened here; asked before Kivy is loaded, because loading it opens one."""

from __future__ import annotations

import os
import sys


def display_is_there() -> bool:
    """True on Windows, macOS and Android, and elsewhere when an X or Wayland display is named."""
    if sys.platform in {"win32", "darwin", "android"} or "ANDROID_ARGUMENT" in os.environ:
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
