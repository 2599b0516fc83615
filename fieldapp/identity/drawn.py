"""A signature drawn by hand, as vector strokes in the stamp: no picture, sharp at any size.

The strokes come as polylines in a unit square, x to the right and y up.  They are scaled with one factor
for both, so the hand keeps its shape.  A drawing proves nothing; it stands beside the digital signature.
"""

from __future__ import annotations

import math

from fieldapp.identity.errors import UnfitText
from fieldapp.record.said import said

Drawing = tuple[tuple[tuple[float, float], ...], ...]
MOST_POINTS = 4000
SMALLEST = 0.2  # of the unit; a dot is not blown up to the whole box
WIDTH_SHARE = 0.36  # of the stamp, at its right
PEN_PT = 1.0
ROUND = b"1 J 1 j 0 0 0 RG"


def check_drawing(drawing: Drawing) -> None:
    """Refuse strokes that cannot be drawn.

    Raises
    ------
    UnfitText
        With what a drawing may hold: points from 0 to 1 in both directions, at most 4000 of them.
    """
    points = [point for line in drawing for point in line]
    if any(not line for line in drawing) or len(points) > MOST_POINTS:
        raise UnfitText(
            said(
                "The drawn signature has {count} points, each stroke needs one or more, and "
                "all together at most {most_points}. Nothing was signed; draw it again.",
                count=len(points),
                most_points=MOST_POINTS,
            )
        )
    if any(not math.isfinite(each) or not 0 <= each <= 1 for point in points for each in point):
        raise UnfitText(said("The drawn signature leaves its box. Nothing was signed; draw it again inside."))


def strokes(drawing: Drawing, width_pt: float, height_pt: float) -> bytes:
    """PDF operators that draw the strokes in black, as large as a box of this size allows.

    Parameters
    ----------
    drawing
        Polylines; x and y have the same unit.
    width_pt, height_pt
        The box in points, its lower left corner at the origin.

    Returns
    -------
    bytes
        Paths only: no fonts, no pictures.
    """
    xs = [x for line in drawing for x, _ in line]
    ys = [y for line in drawing for _, y in line]
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    room_x, room_y = width_pt - PEN_PT, height_pt - PEN_PT
    scale = min(room_x / max(wide, SMALLEST), room_y / max(high, SMALLEST))
    left = (width_pt - wide * scale) / 2 - min(xs) * scale
    low = (height_pt - high * scale) / 2 - min(ys) * scale
    parts = [b"%.2f w" % PEN_PT, ROUND]
    for line in drawing:
        at = [(left + x * scale, low + y * scale) for x, y in line]
        if len(at) == 1:
            at *= 2  # a dot: a line of no length with round ends
        parts.append(b"%.2f %.2f m" % at[0])
        parts.extend(b"%.2f %.2f l" % point for point in at[1:])
        parts.append(b"S")
    return b" ".join(parts)
