"""How a class of thickness is drawn: its colour, and lines that tell it without colour.

The lines stand where there is no room for a number, and in the legend: the thicker, the denser.  A class
has the same lines in both schemes, in the print that is read on its colour.
"""

from __future__ import annotations

from typing import Final

from kivy.graphics import Color, Line, Mesh
from kivy.graphics.tesselator import Tesselator

from fieldapp.ui.widgets.palette import CIVIDIS
from fieldapp.ui.widgets.plan_geometry import XY, hatch

# Distance of the lines, in strokes, and their directions: none, wide, close, closest, crossed.
HATCHES: Final[tuple[tuple[float, tuple[float, ...]], ...]] = (
    (0, ()),
    (8, (45,)),
    (4.5, (45,)),
    (6, (45, -45)),
    (3.2, (45, -45)),
)


def fill(outline: tuple[XY, ...], thickness_class: int) -> None:
    """Fill an outline with the colour of a class; call it inside a canvas."""
    tesselator = Tesselator()
    tesselator.add_contour([number for at in outline for number in at])
    Color(rgba=rgba(CIVIDIS[thickness_class].fill))
    if tesselator.tesselate():
        for vertices, indices in tesselator.meshes:
            Mesh(vertices=vertices, indices=indices, mode="triangle_fan")


def fill_lines(outline: tuple[XY, ...], thickness_class: int, stroke: float) -> None:
    """The lines of a class inside a convex outline; call it inside a canvas."""
    spacing, angles = HATCHES[thickness_class]
    Color(rgba=rgba(CIVIDIS[thickness_class].ink))
    for angle in angles:
        for a, b in hatch(outline, spacing * stroke, angle):
            Line(points=(*a, *b), width=max(1.0, stroke * 0.4))


def rgba(colour: str) -> list[float]:
    """A colour ``#RRGGBB`` as Kivy takes it."""
    return [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)] + [1.0]
