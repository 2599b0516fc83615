"""Unit base resistance against base displacement, clean and over sediment.

The ground below the base is a spring that softens (hyperbola) or yields (bilinear); sediment lies in
series with it, cell by cell.  A stated resistance that the stated modulus cannot reach in the stated
displacement gives the lesser answer and says why.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from fieldapp.base.disk import DIAMETER, FloatArray
from fieldapp.base.quantities import DISPLACEMENT, FORCE, POISSON, ROCK_MODULUS, SEDIMENT, UNIT_BASE, checked
from fieldapp.base.sediment import Sediment
from fieldapp.units import Range, show

Shape: TypeAlias = Literal["hyperbola", "bilinear"]

NOMINAL_SHARE_OF_DIAMETER: Final = 0.05
_STIFFNESS: Final = Range("stiffness of the base", "MPa/m", 0.0, 1e9, open_below=True)
_MOVED: Final = Range("base displacement", "m", 0.0, DISPLACEMENT.most)


@dataclass(frozen=True, slots=True)
class Ground:
    """The ground below a base: diameter [m], modulus of the mass [MPa], Poisson's ratio (0 to 0.5).

    Diameter more than 0 and at most 20 m, modulus more than 0 and at most 500 000 MPa, else OutOfRange.
    """

    diameter_m: float
    modulus_mpa: float
    poisson_ratio: float

    def __post_init__(self) -> None:
        DIAMETER.check(self.diameter_m)
        ROCK_MODULUS.check(self.modulus_mpa)
        POISSON.check(self.poisson_ratio)

    @property
    def area_m2(self) -> float:
        """Area of the base [m2]."""
        return math.pi * self.diameter_m**2 / 4

    @property
    def stiffness_mpa_per_m(self) -> float:
        """Stiffness k = 4 E/[pi B (1 - nu^2)] [MPa/m], rigid disk on a half-space (B1); memory: fair.

        The base lies deep, which makes it up to about twice as stiff; left out, which is cautious.
        """
        return 4 * self.modulus_mpa / (math.pi * self.diameter_m * (1 - self.poisson_ratio**2))

    def rigid_displacement_m(self, load_mn: float) -> float:
        """Displacement of a rigid disk [m] = Q (1 - nu^2)/(E B), load 0 to 1e5 MN, else OutOfRange (B1)."""
        FORCE.check(load_mn)
        return load_mn * (1 - self.poisson_ratio**2) / (self.modulus_mpa * self.diameter_m)

    def mean_flexible_displacement_m(self, load_mn: float) -> float:
        """Mean displacement [m] under uniform pressure, 16 q a (1 - nu^2)/(3 pi E); OutOfRange too (B7)."""
        FORCE.check(load_mn)
        radius_m = self.diameter_m / 2
        flexible = 16 * radius_m * (1 - self.poisson_ratio**2) / (3 * math.pi * self.modulus_mpa)
        return load_mn / self.area_m2 * flexible


@dataclass(frozen=True, slots=True)
class Nominal:
    """The designer's nominal unit base resistance [MPa] and the displacement [m] at which it is meant.

    More than 0 and at most 1000 MPa and 5 m, else OutOfRange.
    """

    unit_base_mpa: float
    displacement_m: float

    def __post_init__(self) -> None:
        UNIT_BASE.check(self.unit_base_mpa)
        DISPLACEMENT.check(self.displacement_m)

    @classmethod
    def at_usual_displacement(cls, unit_base_mpa: float, diameter_m: float) -> Nominal:
        """Nominal at 5 % of the diameter, where the designer states no displacement (judgment)."""
        DIAMETER.check(diameter_m)
        return cls(unit_base_mpa, NOMINAL_SHARE_OF_DIAMETER * diameter_m)


@dataclass(frozen=True, slots=True)
class BaseCurve:
    """A clean base curve and its answer over sediment.

    q(w) = min(w/(1/k + w/q_inf), cap).  The hyperbola has no cap, the bilinear curve no asymptote.
    ``reaches_nominal`` is False when k w_N < q_N; ``says`` then tells what was done.
    """

    stiffness_mpa_per_m: float
    asymptote_mpa: float = math.inf
    cap_mpa: float = math.inf
    reaches_nominal: bool = True
    says: str = ""

    def __post_init__(self) -> None:
        _STIFFNESS.check(self.stiffness_mpa_per_m)

    def clean_mpa(self, displacement_m: ArrayLike) -> FloatArray:
        """Unit base resistance [MPa] of a clean base, any shape; w 0 to 5 m, else OutOfRange."""
        return _clean(self, self.stiffness_mpa_per_m * checked(_MOVED, displacement_m))

    def displacement_m(self, unit_base_mpa: ArrayLike) -> FloatArray:
        """Least displacement [m] at which the clean base gives this resistance; infinite when it never does.

        Resistance more than 0 and at most 1000 MPa, any shape, else OutOfRange.
        """
        unit = checked(UNIT_BASE, unit_base_mpa)
        most = min(self.asymptote_mpa, self.cap_mpa)
        never = (unit > most) | (unit >= self.asymptote_mpa)
        with np.errstate(divide="ignore"):
            moved = unit / (self.stiffness_mpa_per_m * np.maximum(1 - unit / self.asymptote_mpa, 0.0))
        return np.where(never, np.inf, moved)

    def over_sediment_mpa(
        self, displacement_m: ArrayLike, thickness_m: ArrayLike, sediment: Sediment
    ) -> FloatArray:
        """Stress [MPa] at a base displacement where sediment lies in series with the ground.

        Solves delta_ground(q) + delta_sediment(q, t) = w in closed form; two branches keep it free of
        cancellation.  With t = 0 it is exactly clean_mpa.

        Parameters
        ----------
        displacement_m
            Base displacement w [m], 0 to 5; broadcasts against the thickness.
        thickness_m
            Thickness t [m], 0 to 100, every one known: NaN raises, unknown is never clean.
        sediment
            Law of the layer.

        Raises
        ------
        OutOfRange
            A displacement or thickness outside its range or not a number.

        Notes
        -----
        Model of mechanics section 3.2 (C2, C21); mathematics on judgment parameters.
        """
        moved, thick = checked(_MOVED, displacement_m), checked(SEDIMENT, thickness_m)
        return in_series_mpa(self, sediment, moved, thick)


def base_curve(ground: Ground, nominal: Nominal, shape: Shape = "hyperbola") -> BaseCurve:
    """The clean curve of a base through its nominal resistance.

    Hyperbola: q = w/(1/k + w/q_inf) with 1/q_inf = 1/q_N - 1/(k w_N), so that q(w_N) = q_N.  Bilinear:
    q = min(k w, q_N).  Both want k w_N > q_N; if not, the stiffness alone is used, never over q_N: the
    lesser answer, with the reason in ``says``.  Mechanics section 2 (C0, C1); mathematics.
    """
    k, q_n, w_n = ground.stiffness_mpa_per_m, nominal.unit_base_mpa, nominal.displacement_m
    reached = k * w_n
    if reached < q_n:
        return BaseCurve(k, cap_mpa=q_n, reaches_nominal=False, says=_not_reached(nominal, reached))
    softens = 1 / q_n - 1 / reached
    if shape == "bilinear" or softens <= 0:
        return BaseCurve(k, cap_mpa=q_n)
    return BaseCurve(k, asymptote_mpa=1 / softens)


def _not_reached(nominal: Nominal, reached_mpa: float) -> str:
    return (
        f"The stated base resistance of {show(nominal.unit_base_mpa, 'MPa', 2)} is not reached at "
        f"{show(nominal.displacement_m, 'mm', 1)} with this modulus, which gives "
        f"{show(reached_mpa, 'MPa', 2)} there.  The stiffness alone is used, which is the lesser; check "
        "the modulus or the displacement."
    )


def in_series_mpa(curve: BaseCurve, sediment: Sediment, moved: FloatArray, thick: FloatArray) -> FloatArray:
    """BaseCurve.over_sediment_mpa for displacements and thicknesses [m] that were checked before.

    Root of a q^2 + b q = c, the equation of section 3.2 divided by the locking strain; divided so, a
    layer that never locks is an ordinary case: 1/e_L is 0.  Shapes broadcast; raises nothing.
    """
    k, m_0 = curve.stiffness_mpa_per_m, sediment.modulus_mpa
    softens, locks = 1 / curve.asymptote_mpa, 1 / sediment.locking_strain
    elastic = k * moved
    c = elastic * m_0
    b = thick * k + (m_0 - elastic * (locks - softens * m_0))
    a = thick * (-k * softens) + (1 + elastic * softens) * locks
    stress = np.asarray(_root_of(a, b, c))
    clean = _clean(curve, elastic)
    np.minimum(stress, clean, out=stress)
    np.copyto(stress, clean, where=thick == 0)
    return stress


def _clean(curve: BaseCurve, elastic_mpa: FloatArray) -> FloatArray:
    return np.minimum(elastic_mpa / (1 + elastic_mpa / curve.asymptote_mpa), curve.cap_mpa)


def _root_of(a: FloatArray, b: FloatArray, c: FloatArray) -> FloatArray:
    """2 c/(|b| + S) where b >= 0, (|b| + S)/(2 a) elsewhere, S = (b^2 + 4 a c)^0.5: no cancellation."""
    root = np.asarray(b * b)
    root += a * (4 * c)
    np.sqrt(np.maximum(root, 0.0, out=root), out=root)
    root += np.abs(b)
    falls = b < 0
    if not falls.any():
        return 2 * c / root
    return np.where(falls, root, 2 * c) / np.where(falls, 2 * a, root)
