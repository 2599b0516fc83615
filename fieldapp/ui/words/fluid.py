"""Words of a fluid test."""

from __future__ import annotations

from typing import Final

SET: Final = "{stage}, set {set}, {depth}"
_DEGREES: Final = {"degF": "°F", "degC": "°C"}
PLACE: Final = "{where}, {depth}"
SAVE: Final = "Save {depth}"
SAVE_AND_GO: Final = "Save {depth}, go to {next}"
SAVED_AT: Final = "{depth} saved {time}."
TYPE_FIRST: Final = "Type a reading"
NOT_TESTED: Final = "Not tested"
CAUTION: Final = "Stay behind the guard, clear of the sampler line and of every suspended load."


def degrees(text: str) -> str:
    """A limit or a unit with its degrees as people write them."""
    for name, sign in _DEGREES.items():
        text = text.replace(name, sign)
    return text
