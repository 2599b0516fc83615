"""What a paper was worked out and laid out by: the same facts give the same bytes with it, and with no other.

Simulated maps are those of one numpy, and letters those of one Kivy, which brings the fonts.
"""

from __future__ import annotations

from functools import lru_cache
from importlib.metadata import PackageNotFoundError, version

from reportlab import Version

UNKNOWN = "of unknown version"
LAID_OUT_BY = ", reportlab "


@lru_cache(maxsize=1)
def layout_version() -> str:
    """``basenote 0.1.0, numpy 2.4.0, reportlab 4.2.5, kivy 2.3.1``: what sets the numbers and pages here."""
    worked_out = f"basenote {_version('basenote')}, numpy {_version('numpy')}"
    return f"{worked_out}{LAID_OUT_BY}{Version}, kivy {_version('kivy')}"


def worked_out_by(layout: str) -> str:
    """The part of a layout version that findings and credits depend on."""
    return layout.partition(LAID_OUT_BY)[0]


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return UNKNOWN
