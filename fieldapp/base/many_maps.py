"""Credit of many simulated maps at once: the closed form of a cell, arranged for speed.

A block of maps at a time in room that is used again, and one branch of the root in place of two.  Where
that branch would lose digits the ordinary closed form is taken.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from fieldapp.base.base_curve import BaseCurve, in_series_mpa
from fieldapp.base.disk import FloatArray
from fieldapp.base.sediment import Sediment

_CELLS_AT_ONCE: Final = 16_384
_DIGITS_KEPT: Final = 1e6


def lost_over_maps(
    curve: BaseCurve, sediment: Sediment, moved_m: float, maps_m: FloatArray, share: FloatArray
) -> FloatArray:
    """Share of the clean base resistance lost on each map, shape (maps,), at one base displacement.

    ``maps_m`` (maps, cells) 0 to 100 m and ``moved_m`` more than 0 to 5 m were checked before (Cover.of,
    credit); ``share`` (cells,) sums to 1.  Agrees with in_series_mpa to 1e-9; mechanics section 3.2.
    """
    root = _Root.of(curve, sediment, moved_m)
    clean = float(curve.clean_mpa(moved_m))
    rows = max(1, _CELLS_AT_ONCE // maps_m.shape[1])
    lost, room = np.empty(len(maps_m)), np.empty((3, rows, maps_m.shape[1]))
    for first in range(0, len(maps_m), rows):
        thick = maps_m[first : first + rows]
        if root.cancels:
            stress = in_series_mpa(curve, sediment, np.asarray(moved_m), thick)
        else:
            stress = root.stress_mpa(thick, room[:, : len(thick)])
            np.minimum(stress, clean, out=stress)
            np.copyto(stress, clean, where=thick == 0)
        np.matmul(np.subtract(clean, stress, out=stress), share, out=lost[first : first + rows])
    return lost / clean


@dataclass(frozen=True, slots=True)
class _Root:
    """Root 2 c/(b + S) of a q^2 + b q = c, S = (b^2 + 4 a c)^0.5, at one displacement.

    b = ``b_0`` + ``b_t`` t and 4 a c = ``ac_0`` + ``ac_t`` t; ``cancels``: S and -b are too alike.
    """

    c: float
    b_0: float
    b_t: float
    ac_0: float
    ac_t: float
    cancels: bool

    @classmethod
    def of(cls, curve: BaseCurve, sediment: Sediment, moved_m: float) -> _Root:
        k, m_0 = curve.stiffness_mpa_per_m, sediment.modulus_mpa
        softens, locks = 1 / curve.asymptote_mpa, 1 / sediment.locking_strain
        elastic = k * moved_m
        c = elastic * m_0
        b_0 = m_0 - elastic * (locks - softens * m_0)
        ac_0, ac_t = 4 * c * (1 + elastic * softens) * locks, -4 * c * k * softens
        least = ac_0 + ac_t * max(-b_0, 0.0) / k
        return cls(c, b_0, k, ac_0, ac_t, b_0 < 0 and b_0**2 > _DIGITS_KEPT * least)

    def stress_mpa(self, thick_m: FloatArray, room: FloatArray) -> FloatArray:
        """Stress [MPa] at each thickness, in the first of three arrays of the same shape."""
        root: FloatArray = room[0]
        b, square = room[1:]
        np.multiply(thick_m, self.b_t, out=b)
        b += self.b_0
        np.multiply(thick_m, self.ac_t, out=root)
        root += self.ac_0
        root += np.multiply(b, b, out=square)
        np.sqrt(np.maximum(root, 0.0, out=root), out=root)
        root += b
        np.divide(2 * self.c, root, out=root)
        return root
