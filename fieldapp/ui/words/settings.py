"""Words about the settings of this device."""

from __future__ import annotations

from typing import Final

NOT_KEPT: Final = (
    "The settings are in force but could not be kept on this device ({why}). "
    "The record is safe. Make room and choose them once more."
)
