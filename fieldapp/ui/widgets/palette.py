"""Colours as plain data: two schemes and the five classes of thickness.  Needs no window.

State colours are from the Okabe-Ito palette (the noon `not shown` is darkened until a shape in it
stands at 3:1 on white).  Thickness classes are samples of cividis (Nunez, Anderton and Renslow 2018),
taken left and right of the band in which neither black nor white print reaches 7:1.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import isnan
from typing import Final


@dataclass(frozen=True, slots=True)
class Palette:
    """One scheme: every token of the screens, as ``#RRGGBB``."""

    name: str
    ground: str
    well: str
    ink: str
    soft: str
    line: str
    hair: str
    act: str
    act_ink: str
    met: str
    not_met: str
    not_shown: str
    state_ink: str


@dataclass(frozen=True, slots=True)
class ThicknessClass:
    """Fill of a cell and the print that is read on it."""

    fill: str
    ink: str


NOON: Final = Palette(
    name="noon",
    ground="#FFFFFF",
    well="#F1F3F4",
    ink="#101214",
    soft="#3C4248",
    line="#101214",
    hair="#C9CED3",
    act="#00578A",
    act_ink="#FFFFFF",
    met="#009E73",
    not_met="#D55E00",
    not_shown="#B47A00",
    state_ink="#FFFFFF",
)
NIGHT: Final = Palette(
    name="night",
    ground="#0E1113",
    well="#1B2024",
    ink="#F4F6F7",
    soft="#C3CAD0",
    line="#F4F6F7",
    hair="#3A4249",
    act="#56B4E9",
    act_ink="#0E1113",
    met="#009E73",
    not_met="#D55E00",
    not_shown="#E69F00",
    state_ink="#FFFFFF",
)
PALETTES: Final[dict[str, Palette]] = {p.name: p for p in (NOON, NIGHT)}

# Samples 240, 204, 166, 70 and 12 of the 256 published: thin is light, thick is dark.
CIVIDIS: Final = (
    ThicknessClass("#F0D846", "#000000"),
    ThicknessClass("#C8B866", "#000000"),
    ThicknessClass("#A19975", "#000000"),
    ThicknessClass("#49536C", "#FFFFFF"),
    ThicknessClass("#002B62", "#FFFFFF"),
)


def opposite(name: str) -> Palette:
    """The scheme whose shapes are read on this one's ink, for a row printed in reverse."""
    return NIGHT if name == NOON.name else NOON


def class_of(thickness: float, limits: Sequence[float]) -> int:
    """Class 0 (thin) to 4 (thick) of a thickness.

    Parameters
    ----------
    thickness : float
        In the unit of ``limits``.
    limits : Sequence[float]
        The upper ends of the first four classes, ascending, each end inside its class.

    Raises
    ------
    ValueError
        When there are not four ascending limits, or the thickness is not a number: unknown is not thin.
    """
    if len(limits) != len(CIVIDIS) - 1 or any(a >= b for a, b in pairwise(limits)):
        raise ValueError(f"thickness classes need four ascending limits, not {list(limits)}")
    if isnan(thickness):
        raise ValueError("a thickness that is not a number has no class; show the point as not read")
    return bisect_left(limits, thickness)
