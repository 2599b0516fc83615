"""Words that stand on a widget wherever it is used."""

from __future__ import annotations

from typing import Final

SAME: Final = "same"
UNIT: Final = "unit"
NEXT_KEY: Final = "next"
SHAFT: Final = "shaft"
STANDING: Final = "base standing"
NEXT_THING: Final = "next"
UPSTATION: Final = "upstation"
