"""The name of this device in every journal it writes, and where the keys of device names are kept.

They are kept outside the project folders, so that a copied folder continues on another device as another
device: two devices that wrote one chain would fork it.  A chain has one key for good, so a device whose
key was lost takes a new name, and with it a new chain.
"""

from __future__ import annotations

import hashlib
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from platformdirs import user_config_path
from uuid6 import uuid7

from fieldapp.record.entry import check_name
from fieldapp.record.reading import Impossible
from fieldapp.store.atomic_file import save_bytes
from fieldapp.store.problems import in_plain_words


@dataclass(frozen=True, slots=True)
class KeyPlace:
    """Where the key of a device name and its certificate are kept."""

    key: Path
    certificate: Path

    @property
    def lost(self) -> bool:
        """Whether a key was made and is gone: its certificate is written after it and stays."""
        return self.certificate.exists() and not self.key.exists()


def device_folder() -> Path:
    """What belongs to this device and to no project; the folder may not be there yet."""
    return user_config_path("basenote", appauthor=False)


def key_place(device: str) -> KeyPlace:
    """Where the key of a device name is kept, a place of its own for each name."""
    folder = device_folder() / "device-keys"
    name = hashlib.sha256(device.encode()).hexdigest()[:16]
    return KeyPlace(folder / f"{name}.key", folder / f"{name}.crt")


def this_device() -> str:
    """The name of this device, made and kept at the first call: ``device 3f2a9c1b``.

    A file that holds no name any more gets a new one, and so does a device whose key is gone: a new chain
    does no harm, a wrong one would.
    """
    name = kept_name()
    return take_new_name() if not name or key_place(name).lost else name


def kept_name() -> str:
    """The name that this device has, empty while it has none that can be used.  Raises StoreProblem."""
    with in_plain_words(device_folder()), suppress(FileNotFoundError, UnicodeDecodeError, Impossible):
        name = (device_folder() / "device.txt").read_text("utf-8").strip()
        check_name("device", name)
        return name
    return ""


def take_new_name() -> str:
    """Give this device a new name for what it records from now on; earlier chains stay as they are.

    Raises StoreProblem.
    """
    path = device_folder() / "device.txt"
    name = f"no. {uuid7().hex[-8:]}"
    with in_plain_words(path.parent):
        path.parent.mkdir(parents=True, exist_ok=True)
        save_bytes(path, f"{name}\n".encode())
    return name
