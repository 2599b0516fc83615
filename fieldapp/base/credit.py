"""How much of a clean base an uneven layer of sediment leaves, at one displacement.

Every cell is sediment and ground in series, all cells stand under one rigid base that does not tilt.
Credit is the base load over that of a clean base at the same base displacement: never above 1, and never
without its displacement.  A cell without a thickness is refused: unknown is never clean.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from fieldapp.base.base_curve import BaseCurve, in_series_mpa
from fieldapp.base.disk import DIAMETER, FloatArray
from fieldapp.base.many_maps import lost_over_maps
from fieldapp.base.quantities import DISPLACEMENT, SEDIMENT, WEIGHT, checked
from fieldapp.base.sediment import Sediment
from fieldapp.units import OutOfRange

ECCENTRICITY_WARNING: Final = 0.1
CAVEATS: Final = (
    "A mechanical estimate for the engineer to accept: no load test has calibrated it, and no source gives "
    "a validated curve of base resistance against sediment thickness for rock sockets.",
    "Parameters of the sediment and their ranges are judgment.",
    "Cells act independently of each other, which is cautious for uneven cover; for an even layer it can "
    "lie about 3 % high.",
    "Not modelled: time, contaminated concrete above the layer, loss of side resistance near the base, "
    "tilt, rock softened under the sediment, a gap at the toe.",
)
_WITH_MAPS: Final = 2


@dataclass(frozen=True, slots=True, eq=False)
class Cover:
    """Sediment over the cells of a base; make it with ``Cover.of``.

    ``thickness_m`` has shape (cells,) for one map or (maps, cells); ``share`` (cells,) sums to 1;
    ``xy_m`` (cells, 2) are centroids from the centre of the base, or None.
    """

    thickness_m: FloatArray
    share: FloatArray
    xy_m: FloatArray | None = None

    @classmethod
    def of(cls, thickness_m: ArrayLike, weights: ArrayLike, xy_m: ArrayLike | None = None) -> Cover:
        """Check and gather; weights are areas or any multiple of them.

        Thickness 0 to 100 m and known, weights not negative and not all 0, else OutOfRange; also when
        the numbers of cells differ.
        """
        thick, weight = checked(SEDIMENT, thickness_m), checked(WEIGHT, weights)
        whole = float(weight.sum())
        if weight.ndim != 1 or not whole > 0:
            raise OutOfRange("weights of the cells", f"shape {weight.shape}", "one a cell and not all 0")
        if not 1 <= thick.ndim <= _WITH_MAPS or thick.shape[-1] != len(weight):
            allowed = f"(cells,) or (maps, cells) with {len(weight)} cells"
            raise OutOfRange("shape of the thicknesses", str(thick.shape), allowed)
        place = None if xy_m is None else np.asarray(xy_m, dtype=np.float64)
        if place is not None and (place.shape != (len(weight), 2) or not np.isfinite(place).all()):
            raise OutOfRange("centroids of the cells", str(place.shape), f"({len(weight)}, 2), all known")
        return cls(thick, weight / whole, place)


def credit(curve: BaseCurve, cover: Cover, sediment: Sediment, displacement_m: ArrayLike) -> FloatArray:
    """Credit R(w) = Q_b(w; t)/Q_b(w; 0) at the same base displacement.

    Parameters
    ----------
    curve
        The clean base curve.
    cover
        Thickness (cells,) or (maps, cells).
    sediment
        Law of the layer.
    displacement_m
        Base displacement [m], more than 0 and at most 5, any shape.

    Returns
    -------
    Credit, more than 0 and at most 1: the shape of the displacement, followed by (maps,) when the cover
    holds maps.  Without sediment it is exactly 1.

    Raises
    ------
    OutOfRange
        A displacement outside its range or not a number.

    Notes
    -----
    Mechanics section 3.2 (C8, C10, C12 to C15, C22-W); mathematics on judgment parameters.
    """
    moved = checked(DISPLACEMENT, displacement_m)
    if cover.thickness_m.ndim < _WITH_MAPS:
        return 1 - _share_lost(curve, sediment, moved[..., None], cover.thickness_m, cover.share)
    each = [
        1 - lost_over_maps(curve, sediment, float(w), cover.thickness_m, cover.share) for w in moved.ravel()
    ]
    return np.reshape(np.asarray(each), (*moved.shape, len(cover.thickness_m)))


def as_built_mpa(curve: BaseCurve, cover: Cover, sediment: Sediment, displacement_m: ArrayLike) -> FloatArray:
    """Mean unit base resistance [MPa] over sediment: clean resistance times credit; 0 at displacement 0.

    Displacement 0 to 5 m, shapes as in ``credit``, else OutOfRange.
    """
    moved = np.asarray(displacement_m, dtype=np.float64)
    clean = curve.clean_mpa(moved)
    ratio = credit(curve, cover, sediment, np.where(moved == 0, 1.0, moved))
    return ratio * clean.reshape(clean.shape + (1,) * (ratio.ndim - clean.ndim))


def eccentricity_over_diameter(stress_mpa: ArrayLike, cover: Cover, diameter_m: float) -> float | None:
    """Distance of the base reaction from the centre over the diameter, e/B; None without centroids.

    e = |sum q_i a_i x_i|/sum q_i a_i; stress (cells,), not negative and not all 0, else OutOfRange.  A
    dead half gives 2/(3 pi) (C17).  Over 0.1 a warning is due (judgment).  Mathematics.
    """
    DIAMETER.check(diameter_m)
    if cover.xy_m is None:
        return None
    load = checked(WEIGHT, stress_mpa) * cover.share
    if not load.sum() > 0:
        raise OutOfRange("stress on the base", "0 MPa everywhere", "more than 0 in some cell")
    reaction = load @ cover.xy_m / load.sum()
    return float(np.hypot(*reaction)) / diameter_m


def _share_lost(
    curve: BaseCurve, sediment: Sediment, moved: FloatArray, thick: FloatArray, share: FloatArray
) -> FloatArray:
    stress = in_series_mpa(curve, sediment, moved, thick)
    clean = curve.clean_mpa(moved)
    lost: FloatArray = np.subtract(clean, stress, out=stress) @ share
    return lost / (clean[..., 0] if clean.ndim else clean)
