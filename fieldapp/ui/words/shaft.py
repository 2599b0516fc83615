"""Words of the screen of one shaft."""

from __future__ import annotations

from typing import Final

NOT_ASKED: Final = "not asked: {names}"
NOTHING_ASKED: Final = "Nothing is asked here."
SHARE: Final = "of the base {limit}"
SHARE_PLAIN: Final = "share of the base"
LARGEST: Final = "largest"
LARGEST_AT: Final = "largest, at {label}"
MEAN: Final = "mean over the base"
ROUND: Final = "Round {number}"
NO_ROUND: Final = "The base was not sounded yet."
SOURCE: Final = "source: {source}"
WHERE: Final = "{where}"
SOUND_BASE: Final = "Sound the base"
TEST_FLUID: Final = "Test the fluid"
GO_ON_ROUND: Final = "Go on with the round"
GO_ON_FLUID: Final = "Go on with the test"
