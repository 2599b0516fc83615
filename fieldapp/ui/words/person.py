"""Words of the question who holds the tablet."""

from __future__ import annotations

from typing import Final

TITLE: Final = "Who holds the tablet?"
SAYS: Final = "Every entry names the person who made it. Choose yourself."
