"""Words of the screen of one shaft."""

from __future__ import annotations

from typing import Final

NOT_ASKED: Final = "not asked: {names}"
SHARE: Final = "of the base {limit}"
SHARE_PLAIN: Final = "share of the base"
LARGEST: Final = "largest"
LARGEST_AT: Final = "largest, at {label}"
MEAN: Final = "mean over the base"
NO_ROUND: Final = "The base was not sounded yet."
SOURCE: Final = "source: {source}"
