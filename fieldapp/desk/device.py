"""The name of this device in every journal it writes.

It is kept outside the project folders, so that a copied folder continues on another device as another
device: two devices that wrote one chain would fork it.
"""

from __future__ import annotations

from pathlib import Path

from platformdirs import user_config_path
from uuid6 import uuid7


def this_device() -> str:
    """The name of this device, made and kept at the first call: ``device 3f2a9c1b``."""
    path = user_config_path("basenote", appauthor=False) / "device.txt"
    if path.exists():
        return path.read_text("utf-8").strip()
    return _make(path)


def _make(path: Path) -> str:
    name = f"device {uuid7().hex[-8:]}"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(name + "\n", "utf-8")
    return name
