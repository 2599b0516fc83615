"""Side resistance along a shaft against the displacement of the shaft there, layer by layer.

Elastic-plastic unless the designer asks otherwise; side resistance in rock rarely drops after its peak.
Softening is offered with a warning only: with a compressible shaft its answer may not be unique.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from fieldapp.base.disk import DIAMETER, FloatArray
from fieldapp.base.quantities import DISPLACEMENT, LENGTH, UNIT_SIDE
from fieldapp.units import OutOfRange, Range

SideShape: TypeAlias = Literal["elastic-plastic", "hyperbolic", "softening"]

ROCK_FULL_M: Final = 0.006
SOIL_FULL_SHARE_OF_DIAMETER: Final = 0.006
_RESIDUAL: Final = Range("residual over peak side resistance", "", 0.0, 1.0)


@dataclass(frozen=True, slots=True)
class SideLayer:
    """A stretch of shaft: length [m], f_s [MPa, 0 to 50], displacement w_s of full side resistance [m].

    w_s 6 mm in rock (2 to 10 mm), 0.6 % of the diameter in soil (0.5 to 1 %): judgment.  Else OutOfRange.
    """

    length_m: float
    unit_side_mpa: float
    full_displacement_m: float = ROCK_FULL_M

    def __post_init__(self) -> None:
        LENGTH.check(self.length_m)
        UNIT_SIDE.check(self.unit_side_mpa)
        DISPLACEMENT.check(self.full_displacement_m)


@dataclass(frozen=True, slots=True)
class Softening:
    """After the peak: down in a straight line to this share of f_s at this many times w_s (over 1)."""

    residual_share: float
    residual_at: float

    def __post_init__(self) -> None:
        _RESIDUAL.check(self.residual_share)
        Range("displacement of the residual over w_s", "", 1.0, 1000.0, open_below=True).check(
            self.residual_at
        )


@dataclass(frozen=True, slots=True)
class Side:
    """The side of a shaft, layers from the head down to the base, and the shape of its curve.

    ``hyperbolic`` is f = f_s w/(w + w_s/2): half mobilised where the elastic-plastic one is, and never
    quite f_s (judgment).  ``softening`` wants its own parameters, and no other shape may have them.
    """

    layers: tuple[SideLayer, ...]
    shape: SideShape = "elastic-plastic"
    softening: Softening | None = None

    def __post_init__(self) -> None:
        if not self.layers:
            raise OutOfRange("number of side layers", "0", "at least 1")
        if (self.shape == "softening") != (self.softening is not None):
            raise OutOfRange("softening of the side", str(self.softening), "given for a softening side only")

    @property
    def length_m(self) -> float:
        """Length of the shaft [m]."""
        return math.fsum(layer.length_m for layer in self.layers)

    @property
    def may_not_be_unique(self) -> bool:
        """Whether one head displacement may belong to several states of the shaft."""
        return self.softening is not None and self.softening.residual_share < 1

    def nominal_mn(self, diameter_m: float) -> float:
        """Full side resistance [MN] = sum of f_s pi D times length.  Raises OutOfRange for the diameter."""
        DIAMETER.check(diameter_m)
        return math.pi * diameter_m * math.fsum(x.unit_side_mpa * x.length_m for x in self.layers)

    def share_mobilised(self, moved_over_full: FloatArray) -> FloatArray:
        """Share of f_s at w/w_s of 0 or more, any shape."""
        x = moved_over_full
        if self.shape == "hyperbolic":
            return x / (x + 0.5)
        if self.softening is None:
            return np.minimum(x, 1.0)
        falls = (x - 1) / (self.softening.residual_at - 1)
        after = 1 - (1 - self.softening.residual_share) * np.clip(falls, 0.0, 1.0)
        return np.minimum(x, after)


@dataclass(frozen=True, slots=True, eq=False)
class Slices:
    """A side cut into slices, base first: height [m], f_s [MPa], w_s [m], each of shape (slices,)."""

    height_m: NDArray[np.float64]
    unit_side_mpa: NDArray[np.float64]
    full_displacement_m: NDArray[np.float64]


def sliced(layers: Sequence[SideLayer], slices: int) -> Slices:
    """Cut every layer into equal slices, about ``slices`` in all and at least one a layer, base first.

    ``slices`` 1 to 100 000, else OutOfRange.
    """
    Range("number of slices", "", 1, 100_000).check(slices)
    whole = math.fsum(layer.length_m for layer in layers)
    upwards = layers[::-1]
    counts = [max(1, round(slices * layer.length_m / whole)) for layer in upwards]
    return Slices(
        np.repeat([layer.length_m / n for layer, n in zip(upwards, counts, strict=True)], counts),
        np.repeat([layer.unit_side_mpa for layer in upwards], counts),
        np.repeat([layer.full_displacement_m for layer in upwards], counts),
    )
