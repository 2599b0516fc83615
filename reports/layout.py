"""Which layout a page was set by: the same facts give the same bytes with the same one, and with no other."""

from __future__ import annotations

from functools import lru_cache
from importlib.metadata import PackageNotFoundError, version

from reportlab import Version

_UNKNOWN = "of unknown version"


@lru_cache(maxsize=1)
def layout_version() -> str:
    """``basenote 0.1.0, reportlab 4.2.5``: what sets the pages here."""
    try:
        own = version("basenote")
    except PackageNotFoundError:
        own = _UNKNOWN
    return f"basenote {own}, reportlab {Version}"
