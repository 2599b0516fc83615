"""How long a key stays unlocked on this device, kept beside the device's name."""

from __future__ import annotations

from contextlib import suppress
from typing import Final

from fieldapp.desk.device import device_folder
from fieldapp.desk.trust.key_holder import IDLE_S, OPEN_FOR_S
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said
from fieldapp.store.atomic_file import save_bytes
from fieldapp.store.problems import in_plain_words

CHOICES_MIN: Final = (2, 5, 10, 20)
IDLE_MIN: Final = round(IDLE_S / 60)
_USUAL_MIN: Final = round(OPEN_FOR_S / 60)
_FILE: Final = "key-minutes.txt"


def key_minutes() -> int:
    """Minutes from unlocking; the usual ones when nothing is kept, or something that cannot be chosen."""
    with suppress(OSError, ValueError):
        kept = int((device_folder() / _FILE).read_text("utf-8"))
        if kept in CHOICES_MIN:
            return kept
    return _USUAL_MIN


def keep_key_minutes(minutes: int) -> None:
    """Keep another time from the next unlocking on.  Raises Impossible, StoreProblem."""
    if minutes not in CHOICES_MIN:
        raise Impossible(
            "minutes", str(minutes), said("one of {names}", names=", ".join(map(str, CHOICES_MIN)))
        )
    with in_plain_words(device_folder()):
        device_folder().mkdir(parents=True, exist_ok=True)
        save_bytes(device_folder() / _FILE, str(minutes).encode())
