"""How rough the sediment is: standard deviation and correlation length from few readings and a prior.

Few soundings cannot tell the field from its noise, so the prior (judgment, all of it) always counts
and never lets the doubt fall to nothing because the readings happen to agree.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from fieldapp.base.covariance import FieldModel
from fieldapp.base.disk import FloatArray
from fieldapp.units import Range

FIT_FROM_POINTS: Final = 8
PRIOR_LENGTH_OVER_RADIUS: Final = 0.5
LENGTH_RANGE: Final = (0.2, 0.5, 1.0)

_LENGTH: Final = Range("correlation length over radius", "", 0.05, 10.0)
_NOISE: Final = Range("standard deviation of a sounding", "m", 0.0, 0.1)
_SD: Final = Range("prior standard deviation of the sediment", "m", 0.0, 1.0, open_below=True)
_WORTH: Final = Range("readings that the prior is worth", "", 0.0, 1000.0, open_below=True)
_TRIED: Final = np.geomspace(LENGTH_RANGE[0], LENGTH_RANGE[-1], 9)
_LENGTH_DOUBT: Final = math.log(2)


@dataclass(frozen=True, slots=True)
class MapAssumptions:
    """What the map takes for granted (judgment), each to be shown with the map and open to change.

    Attributes
    ----------
    length_over_radius
        Correlation length l/R, 0.05 to 10; None takes 0.5 below 8 readings and fits from 8 on.
    noise_sd_m
        Standard deviation of one sounding [m], 0 to 0.1; its square is the nugget.
    prior_sd_m, prior_readings
        Standard deviation of the sediment [m] before sounding, up to 1, and how many readings it is
        worth.
    """

    length_over_radius: float | None = None
    noise_sd_m: float = 0.004
    prior_sd_m: float = 0.008
    prior_readings: float = 4.0

    def __post_init__(self) -> None:
        if self.length_over_radius is not None:
            _LENGTH.check(self.length_over_radius)
        _NOISE.check(self.noise_sd_m)
        _SD.check(self.prior_sd_m)
        _WORTH.check(self.prior_readings)


DEFAULT_ASSUMPTIONS: Final = MapAssumptions()


def fitted_sd_m(xy_m: FloatArray, values_m: FloatArray, length_m: float, assumed: MapAssumptions) -> float:
    """Standard deviation of the sediment [m], readings weighed with the prior.

    sd^2 = [p s_0^2 + max(0, S - (n - 1) nugget)]/[p + (n - 1) (1 - rho)], S the sum of squares about
    the plain mean, rho the mean correlation between two readings: crowded readings tell little of
    the spread.  Moments (E[S] = (n - 1) [sd^2 (1 - rho) + nugget], calculated); the prior is judgment.
    """
    n = len(values_m)
    correlation = FieldModel(1.0, length_m, 0.0).covariance_m2(xy_m, xy_m)
    apart = 1 - (correlation.sum() - n) / max(1, n * (n - 1))
    squares = float(((values_m - values_m.mean()) ** 2).sum())
    seen = max(0.0, squares - (n - 1) * assumed.noise_sd_m**2)
    prior = assumed.prior_readings * assumed.prior_sd_m**2
    return math.sqrt((prior + seen) / (assumed.prior_readings + (n - 1) * apart))


def fitted_model(
    xy_m: FloatArray, values_m: FloatArray, length_m: float, assumed: MapAssumptions
) -> FieldModel:
    """The field of unknown mean with this correlation length [m] and the standard deviation to go with it."""
    sd_m = fitted_sd_m(xy_m, values_m, length_m, assumed)
    return FieldModel(sd_m, length_m, assumed.noise_sd_m**2)


def fitted_length_over_radius(
    xy_m: FloatArray, values_m: FloatArray, radius_m: float, assumed: MapAssumptions
) -> float:
    """Correlation length l/R between 0.2 and 1.0, the likelihood weighed with the prior.

    Mean of ln(l/R) over nine lengths, weights restricted likelihood times a lognormal prior about
    0.5 with a factor of 2 for one standard deviation (judgment).  Meant for 8 readings or more.
    """
    scores = [_restricted_log_likelihood(xy_m, values_m, each * radius_m, assumed) for each in _TRIED]
    ratio = np.log(_TRIED / PRIOR_LENGTH_OVER_RADIUS)
    posterior = np.array(scores) - (ratio / _LENGTH_DOUBT) ** 2 / 2
    weight = np.exp(posterior - posterior.max())
    return float(np.exp(np.average(np.log(_TRIED), weights=weight)))


def _restricted_log_likelihood(
    xy_m: FloatArray, values_m: FloatArray, length_m: float, assumed: MapAssumptions
) -> float:
    """Log likelihood of what the readings say beside their mean, up to a constant."""
    model = fitted_model(xy_m, values_m, length_m, assumed)
    factor = np.linalg.cholesky(model.readings_covariance_m2(xy_m))
    both = np.linalg.solve(factor, np.stack([np.ones(len(values_m)), values_m], axis=1))
    ones, values = both[:, 0], both[:, 1]
    information = float(ones @ ones)
    rest = values - ones * float(ones @ values) / information
    spread = 2 * np.log(np.diag(factor)).sum() + math.log(information)
    return -float(spread + rest @ rest) / 2
