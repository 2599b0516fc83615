"""The months as they stand behind a day, and a day inside a text that came without a language."""

from __future__ import annotations

from typing import Final

MONTHS: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
