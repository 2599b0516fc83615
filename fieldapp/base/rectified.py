"""A thickness that cannot be negative, told by a Gaussian that can: t = max(0, y), y ~ N(m, s^2).

Everything here is exact for that choice (closed forms).  The choice itself is judgment: see the
sediment map.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from fieldapp.base.disk import FloatArray

Z_95: Final = 1.6448536269514722  # 95 % point of the normal distribution


def normal_cdf(z: FloatArray) -> FloatArray:
    """Phi(z), any shape, infinities allowed; by the error function of the standard library."""
    halves = [math.erfc(-v / math.sqrt(2)) / 2 for v in z.ravel().tolist()]
    return np.array(halves, dtype=np.float64).reshape(z.shape)


def normal_density(z: FloatArray) -> FloatArray:
    """Density of the standard normal distribution."""
    density: FloatArray = np.exp(-(z**2) / 2) / math.sqrt(2 * math.pi)
    return density


def standard_score(value: float, mean: FloatArray, sd: FloatArray) -> FloatArray:
    """(value - mean)/sd; where sd is 0, plus infinity if value >= mean, else minus infinity."""
    certain = np.where(value >= mean, np.inf, -np.inf)
    return np.divide(value - mean, sd, out=certain, where=sd > 0)


def rectified_moments(mean: FloatArray, sd: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Mean and standard deviation of t = max(0, y), the shape of ``mean``.

    E[t] = m Phi(m/s) + s phi(m/s), E[t^2] = (m^2 + s^2) Phi(m/s) + m s phi(m/s).  Closed forms.
    """
    z = -standard_score(0.0, mean, sd)
    above, at_zero = normal_cdf(z), sd * normal_density(z)
    expected = np.maximum(mean * above + at_zero, 0.0)
    square = (mean**2 + sd**2) * above + mean * at_zero
    return expected, np.sqrt(np.maximum(square - expected**2, 0.0))


def chance_within(mean: FloatArray, sd: FloatArray, limit: float, strict: bool) -> FloatArray:
    """P(max(0, y) <= limit) = Phi((limit - m)/s) for a limit of 0 or more; strict and 0 gives 0.

    Ties have no chance of their own, except at 0.  Closed form, check G11.
    """
    if strict and limit <= 0:
        return np.zeros_like(mean)
    return normal_cdf(standard_score(limit, mean, sd))
