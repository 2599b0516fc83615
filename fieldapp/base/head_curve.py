"""Load-displacement curve of the shaft's head: side and base together, clean and as built.

Clean and as built are compared at the same head displacement here, so the base ratio differs from the
credit, which is taken at the same base displacement; each is told by its name.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from fieldapp.base.credit import CAVEATS, Cover, as_built_mpa
from fieldapp.base.credit_range import BaseModel
from fieldapp.base.disk import FloatArray
from fieldapp.base.head_march import BaseLoad, ShaftBody, State, base_displacements_m, head_state
from fieldapp.base.quantities import DISPLACEMENT, checked
from fieldapp.base.sediment import Sediment
from fieldapp.units import OutOfRange

_GRID: Final = 2000
_NOT_UNIQUE: Final = (
    "With a side that softens and a shaft that shortens, one head displacement can belong to several "
    "loads; the least of them is given."
)


@dataclass(frozen=True, slots=True, eq=False)
class HeadCurve:
    """One curve, arrays of shape (heads,): displacements [m], loads [MN] at head and base.

    ``path`` holds the same curve by base displacement, as it runs, for a side that softens; else None.
    """

    head_m: FloatArray
    base_m: FloatArray
    head_mn: FloatArray
    base_mn: FloatArray
    unique: bool = True
    says: str = ""
    path: State | None = None

    @property
    def side_mn(self) -> FloatArray:
        """Load carried by the side [MN]."""
        return self.head_mn - self.base_mn

    @property
    def base_share(self) -> FloatArray:
        """Share of the head load that the base carries."""
        return self.base_mn / self.head_mn


@dataclass(frozen=True, slots=True, eq=False)
class HeadCurves:
    """Clean and as-built curve at the same head displacements, with the caveats of the credit model."""

    clean: HeadCurve
    as_built: HeadCurve
    caveats: tuple[str, ...] = CAVEATS

    @property
    def base_ratio(self) -> FloatArray:
        """As-built over clean base load at the same head displacement; at most 1."""
        return np.minimum(self.as_built.base_mn / self.clean.base_mn, 1.0)

    @property
    def total_ratio(self) -> FloatArray:
        """As-built over clean head load at the same head displacement; at most 1."""
        return np.minimum(self.as_built.head_mn / self.clean.head_mn, 1.0)


def head_curve(
    shaft: ShaftBody, base_load: BaseLoad, head_m: ArrayLike, slices: int | None = None
) -> HeadCurve:
    """Head curve of a shaft whose base carries ``base_load(w_b)`` [MN], w_b of shape (n,).

    Parameters
    ----------
    shaft
        Diameter, side and concrete.
    base_load
        Base load against base displacement, not falling and 0 or more.
    head_m
        Head displacements [m], shape (heads,), more than 0 and at most 5.
    slices
        None for the exact way where there is one, or the number of slices for marching.

    Raises
    ------
    OutOfRange
        No head displacement, or one outside its range.

    Notes
    -----
    Base-up marching, mechanics section 3.3 (J3, J-w2 to J-w75).  With a softening side the least load is
    given where several fit, and ``unique`` is False when that happened.
    """
    head = checked(DISPLACEMENT, head_m)
    if head.ndim != 1 or not len(head):
        raise OutOfRange("shape of the head displacements", str(head.shape), "(heads,), at least one")

    def head_of(moved: FloatArray) -> FloatArray:
        return head_state(shaft, State(moved, base_load(moved)), slices).moved_m

    low, high, path, unique = np.zeros_like(head), head, None, True
    if shaft.side.may_not_be_unique:
        low, high, path, unique = _least_load_brackets(shaft, base_load, head, slices)
    low = np.maximum(low, head * 1e-15)
    base = base_displacements_m(head_of, low, high, head)
    load = base_load(base)
    top = head_state(shaft, State(base, load), slices)
    return HeadCurve(head, base, top.load_mn, load, unique, "" if unique else _NOT_UNIQUE, path)


def head_curves(
    shaft: ShaftBody, model: BaseModel, cover: Cover, sediment: Sediment, head_m: ArrayLike
) -> HeadCurves:
    """Clean and as-built head curve of a shaft over sediment, ``head_m`` (heads,) [m], else OutOfRange.

    ``cover`` is one map, shape (cells,).  The diameters of shaft and base must agree.
    """
    if shaft.diameter_m != model.ground.diameter_m:
        shown = f"{shaft.diameter_m:g} m and {model.ground.diameter_m:g} m"
        raise OutOfRange("diameter of shaft and base", shown, "the same")
    area_m2, curve = model.ground.area_m2, model.curve
    clean = head_curve(shaft, lambda moved: area_m2 * curve.clean_mpa(moved), head_m)
    as_built = head_curve(shaft, lambda moved: area_m2 * as_built_mpa(curve, cover, sediment, moved), head_m)
    return HeadCurves(clean, as_built)


def _least_load_brackets(
    shaft: ShaftBody, base_load: BaseLoad, head: FloatArray, slices: int | None
) -> tuple[FloatArray, FloatArray, State, bool]:
    """Brackets of the base displacement that gives the least load, the curve as it runs, and uniqueness."""
    far = float(head.max())
    moved = np.concatenate(
        [np.geomspace(1e-15 * far, 1e-3 * far, _GRID // 4), np.linspace(0, far, _GRID)[3:]]
    )
    top = head_state(shaft, State(moved, base_load(moved)), slices)
    crossing = (top.moved_m[:-1] <= head[:, None]) & (top.moved_m[1:] >= head[:, None])
    backward = (top.moved_m[:-1] > head[:, None]) & (top.moved_m[1:] <= head[:, None])
    unique = not backward.any()
    least = np.where(crossing, top.load_mn[:-1], np.inf).argmin(axis=1)
    return moved[least], moved[least + 1], top, unique
