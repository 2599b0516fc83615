"""The name of this device in every journal it writes.

It is kept outside the project folders, so that a copied folder continues on another device as another
device: two devices that wrote one chain would fork it.
"""

from __future__ import annotations

from pathlib import Path

from platformdirs import user_config_path
from uuid6 import uuid7

from fieldapp.record.entry import check_name
from fieldapp.record.reading import Impossible
from fieldapp.store.atomic_file import save_bytes


def this_device() -> str:
    """The name of this device, made and kept at the first call: ``device 3f2a9c1b``.

    A file that holds no name any more gets a new one: a new chain does no harm, a wrong one would.
    """
    path = user_config_path("basenote", appauthor=False) / "device.txt"
    try:
        name = path.read_text("utf-8").strip()
        check_name("device", name)
    except (FileNotFoundError, UnicodeDecodeError, Impossible):
        return _make(path)
    return name


def _make(path: Path) -> str:
    name = f"device {uuid7().hex[-8:]}"
    path.parent.mkdir(parents=True, exist_ok=True)
    save_bytes(path, f"{name}\n".encode())
    return name
