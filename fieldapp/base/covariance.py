"""A Gaussian field over the base, conditioned on readings with measurement noise: kriging.

Covariance sd^2 exp(-h/l) between places at a distance h; a reading is the field plus noise of
variance ``nugget``, and what is asked for is the field without the noise.  Mean unknown (ordinary
kriging) unless it is given (simple kriging).  Values may be negative here: the map forbids that.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from fieldapp.base.disk import FloatArray
from fieldapp.base.grid import distances, read_only
from fieldapp.units import OutOfRange, Range

SIMULATIONS: Final = Range("number of simulations", "", 1, 100_000)
SEED: Final = Range("seed", "", 0, 2**63)
_SD: Final = Range("standard deviation of the sediment", "m", 0.0, 1000.0, open_below=True)
_LENGTH: Final = Range("correlation length", "m", 0.0, 1000.0, open_below=True)
_NUGGET: Final = Range("measurement variance", "m2", 0.0, 1.0)
_MEAN: Final = Range("mean of the field", "m", -100.0, 100.0)
_SOLVE_JITTER: Final = 1e-10
_DRAW_JITTER: Final = 1e-9


@dataclass(frozen=True, slots=True)
class FieldModel:
    """The field: standard deviation, correlation length, measurement variance; mean None is unknown.

    sd and length more than 0 and at most 1000 m, nugget 0 to 1 m2, mean -100 to 100 m, else
    OutOfRange.
    """

    sd_m: float
    length_m: float
    nugget_m2: float
    mean_m: float | None = None

    def __post_init__(self) -> None:
        _SD.check(self.sd_m)
        _LENGTH.check(self.length_m)
        _NUGGET.check(self.nugget_m2)
        if self.mean_m is not None:
            _MEAN.check(self.mean_m)

    def covariance_m2(self, a_m: FloatArray, b_m: FloatArray) -> FloatArray:
        """sd^2 exp(-h/l) between places, shapes (n, 2) and (m, 2) to (n, m), without the nugget."""
        covariance = distances(a_m, b_m)
        covariance *= -1 / self.length_m
        np.exp(covariance, out=covariance)
        covariance *= self.sd_m**2
        return covariance

    def readings_covariance_m2(self, xy_m: FloatArray) -> FloatArray:
        """Covariance of readings at these places, the nugget on its diagonal, shape (n, n)."""
        covariance = self.covariance_m2(xy_m, xy_m)
        # keeps two readings at one place solvable when the nugget is 0
        covariance[np.diag_indices(len(xy_m))] += self.nugget_m2 + _SOLVE_JITTER * self.sd_m**2
        return covariance


@dataclass(frozen=True, slots=True, eq=False)
class ConditionedField:
    """The field given the readings, at m places: Gaussian, mean and what the readings explained.

    Covariance between two places = prior - explained . explained + drift drift, where ``drift`` is
    the doubt of the unknown mean (the part of the Lagrange multiplier), 0 when the mean is given.
    """

    model: FieldModel
    at_xy_m: FloatArray
    mean_m: FloatArray
    explained: FloatArray
    drift: FloatArray

    @property
    def variance_m2(self) -> FloatArray:
        """Kriging variance at each place, shape (m,), never negative."""
        explained = np.einsum("ij,ij->j", self.explained, self.explained)
        variance: FloatArray = self.model.sd_m**2 - explained + self.drift**2
        return np.maximum(variance, 0.0)

    @property
    def covariance_m2(self) -> FloatArray:
        """Posterior covariance between all places, shape (m, m)."""
        covariance = self.model.covariance_m2(self.at_xy_m, self.at_xy_m)
        covariance -= np.vstack([self.explained, -self.drift]).T @ np.vstack([self.explained, self.drift])
        return covariance


def condition(
    xy_m: FloatArray, values_m: FloatArray, at_xy_m: FloatArray, model: FieldModel
) -> ConditionedField:
    """Kriging of the readings to other places.

    mean = b + k' K^-1 (y - b 1), with b given or the generalised least squares mean, which is the
    ordinary kriging system with its Lagrange multiplier written out.

    Parameters
    ----------
    xy_m, values_m
        Readings: places, shape (n, 2), and values [m], shape (n,), n of at least 1; all known.
    at_xy_m
        Places asked for, shape (m, 2).
    model
        The field; nothing is fitted here.

    Raises
    ------
    OutOfRange
        No readings, shapes that do not match, a value that is not a number.

    Notes
    -----
    Ordinary kriging, check G6; simple kriging agrees with a general Gaussian process library.
    """
    _check(xy_m, values_m, at_xy_m)
    unmix = np.linalg.inv(np.linalg.cholesky(model.readings_covariance_m2(xy_m)))
    explained = unmix @ model.covariance_m2(xy_m, at_xy_m)
    ones = unmix.sum(axis=1)
    values = unmix @ values_m
    if model.mean_m is None:
        information = float(ones @ ones)
        centre = float(ones @ values) / information
        drift = (1 - ones @ explained) / math.sqrt(information)
    else:
        centre, drift = model.mean_m, np.zeros(len(at_xy_m))
    mean = centre + (values - centre * ones) @ explained
    return ConditionedField(model, at_xy_m, read_only(mean), read_only(explained), read_only(drift))


def draw_fields(field: ConditionedField, simulations: int, seed: int) -> FloatArray:
    """Simulated fields [m] that agree with the readings, shape (simulations, m).

    m + L z and m - L z in turn by halves: L the Cholesky factor of the posterior covariance, z
    standard normal from ``seed`` (0 or more).  Pairs (antithetic variates, Hammersley and Morton
    1956, memory: fair) cost half and never add error to what rises with the field everywhere, like a
    share.  1 to 100 000 simulations, else OutOfRange.  The same seed gives the same fields with the
    same release of numpy.  Check G12.
    """
    SIMULATIONS.check(simulations)
    SEED.check(seed)
    covariance = field.covariance_m2
    covariance[np.diag_indices(len(covariance))] += _DRAW_JITTER * field.model.sd_m**2
    factor = np.linalg.cholesky(covariance)
    half = (simulations + 1) // 2
    away = np.random.default_rng(seed).standard_normal((half, len(covariance))) @ factor.T
    fields = np.empty((simulations, len(covariance)))
    np.add(field.mean_m, away, out=fields[:half])
    np.subtract(field.mean_m, away[: simulations - half], out=fields[half:])
    return fields


def _check(xy_m: FloatArray, values_m: FloatArray, at_xy_m: FloatArray) -> None:
    if xy_m.ndim != 2 or xy_m.shape[1] != 2 or values_m.shape != (len(xy_m),) or len(xy_m) == 0:
        shapes = f"{xy_m.shape} and {values_m.shape}"
        raise OutOfRange("shape of the readings", shapes, "(n, 2) and (n,) with n of at least 1")
    if at_xy_m.ndim != 2 or at_xy_m.shape[1] != 2:
        raise OutOfRange("shape of the places", str(at_xy_m.shape), "(m, 2)")
    if not all(np.isfinite(part).all() for part in (xy_m, values_m, at_xy_m)):
        raise OutOfRange(
            "a reading or its place", "not a number", "known; leave out points without a reading"
        )
