"""Words of the board."""

from __future__ import annotations

from typing import Final

from fieldapp.ui.words.tongue import Counted

SHAFTS: Final = Counted("{count} shaft", "{count} shafts")
NEEDS_A_HAND: Final = "Needs a hand {count}"
ALL: Final = "All {count}"
WHO: Final = "Who holds the tablet?"
UNTIL: Final = "released\nuntil {time}"
NOTHING_TO_DO: Final = "No shaft needs a hand now. All shows every shaft."
NO_SHAFT: Final = "This project has no shaft yet. The office schedules them."
