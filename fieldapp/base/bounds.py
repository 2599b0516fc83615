"""What a count of soundings proves about the area: Clopper-Pearson bounds and soundings needed.

The bound holds for points placed at random.  Points chosen by eye or in a regular pattern are not,
so it is indicative: cautious against a regular pattern on an even base, and no proof at all when
the easy places were chosen.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from fieldapp.base.disk import FloatArray
from fieldapp.units import Number, OutOfRange, Range

COUNTING_CAVEAT: Final = "Points chosen by eye are not a random sample: the bound by counting is indicative."

_TRIALS: Final = Range("number of points", "", 0.0, 1e6, open_below=True)
_TAIL: Final = Range("tail probability", "", 1e-6, 0.5)
_SHARE: Final = Range("share of the area", "", 0.0, 0.999, open_below=True)
_EXCEEDANCES: Final = Range("number of exceedances", "", 0, 1000)
_WEIGHT: Final = Range("weight of a point", "", 0.0, 1e9)
_LENTZ_STEPS: Final = 100_000
_TINY: Final = 1e-300
_NEWTON_STEPS: Final = 200


def lower_bound(successes: float, trials: float, tail: float) -> float:
    """Clopper-Pearson lower bound of a share, one-sided: BetaInv(tail; x, n - x + 1), 0 for x = 0.

    Parameters
    ----------
    successes
        Points within the limit, 0 to ``trials``; need not be whole (effective numbers).
    trials
        Points, more than 0 and at most 1 000 000.
    tail
        1 less the one-sided confidence, 1e-6 to 0.5: 0.05 for 95 %.

    Raises
    ------
    OutOfRange
        An argument outside its range.

    Notes
    -----
    Clopper and Pearson 1934, checks G13, G15, G18; all n within the limit gives tail^(1/n).
    """
    _check(successes, trials, tail)
    return 0.0 if successes == 0 else _beta_quantile(tail, successes, trials - successes + 1)


def upper_bound(successes: float, trials: float, tail: float) -> float:
    """Clopper-Pearson upper bound of a share, one-sided; 1 when all are within the limit.

    BetaInv(1 - tail; x + 1, n - x), ranges and errors as lower_bound.  Check G14.
    """
    _check(successes, trials, tail)
    return 1.0 if successes == trials else 1.0 - _beta_quantile(tail, trials - successes, successes + 1)


def effective_points(weights: Sequence[Number] | FloatArray) -> float:
    """Number of equal points that weigh as much as these: n_eff = 1/sum w_i^2, w summing to 1.

    Equal weights give their number, one weight alone gives 1.  ``weights`` 0 or more, not all 0,
    else OutOfRange.  Usual effective sample size (memory: sure); its use here is judgment.
    """
    shares = np.array([float(w) for w in weights])
    _WEIGHT.check(*shares.tolist())
    if not shares.sum() > 0:
        raise OutOfRange("sum of the weights", "0", "more than 0")
    return float(shares.sum() ** 2 / (shares**2).sum())


def weighted_lower_bound(share: float, weights: Sequence[Number] | FloatArray, tail: float) -> float:
    """Lower bound of the share within the limit from unequal cells: x_eff = f n_eff of n_eff points.

    ``share`` 0 to 1 as measured with these weights, ``tail`` 1e-6 to 0.5, else OutOfRange.  Equal
    weights give the exact Clopper-Pearson bound; otherwise indicative (judgment).
    """
    points = effective_points(weights)
    # 1e-9 is the step to which measured shares are rounded: 4 of 5 stays 4, all stays all
    return lower_bound(min(points, max(0.0, round(share, 9)) * points), points, tail)


def soundings_needed(share_min: float, exceedances: int, tail: float) -> int:
    """Least number of equal points whose lower bound reaches a share with so many over the limit.

    ``share_min`` more than 0 and at most 0.999, ``exceedances`` 0 to 1000, ``tail`` 1e-6 to 0.5,
    else OutOfRange.  Clopper-Pearson, checks G16 and G17.
    """
    _SHARE.check(share_min)
    _EXCEEDANCES.check(exceedances)
    _TAIL.check(tail)
    few, enough = exceedances, exceedances + 1
    while lower_bound(enough - exceedances, enough, tail) < share_min:
        few, enough = enough, 2 * enough
    while enough - few > 1:
        middle = (few + enough) // 2
        reached = lower_bound(middle - exceedances, middle, tail) >= share_min
        few, enough = (few, middle) if reached else (middle, enough)
    return enough


def regularised_beta(x: float, a: float, b: float) -> float:
    """Regularised incomplete beta function I_x(a, b), x 0 to 1, a and b more than 0, else OutOfRange.

    Continued fraction DLMF 8.17.22 by the modified Lentz method (Thompson and Barnett 1986), with
    I_x(a, b) = 1 - I_(1-x)(b, a) where the other side converges faster.
    """
    Range("argument of the incomplete beta function", "", 0.0, 1.0).check(x)
    Range("parameter of the incomplete beta function", "", 0.0, 2e6, open_below=True).check(a, b)
    if x in {0.0, 1.0}:
        return float(x)
    if x > (a + 1) / (a + b + 2):
        return 1.0 - _beta_by_fraction(1.0 - x, b, a)
    return _beta_by_fraction(x, a, b)


def _beta_by_fraction(x: float, a: float, b: float) -> float:
    front = math.exp(_log_front(x, a, b)) / a
    d = 1.0 / _off_zero(1.0 - (a + b) * x / (a + 1))
    c, value = 1.0, d
    for m in range(1, _LENTZ_STEPS):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for step in (even, odd):
            d = 1.0 / _off_zero(1.0 + step * d)
            c = _off_zero(1.0 + step / c)
            value *= c * d
        if abs(c * d - 1.0) < 1e-15:
            break
    return front * value


def _log_front(x: float, a: float, b: float) -> float:
    return a * math.log(x) + b * math.log1p(-x) + math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)


def _off_zero(value: float) -> float:
    return value if abs(value) > _TINY else _TINY


def _beta_quantile(probability: float, a: float, b: float) -> float:
    """The x with I_x(a, b) = probability: Newton steps kept inside a bracket that only shrinks."""
    low, high, x = 0.0, 1.0, a / (a + b)
    for _ in range(_NEWTON_STEPS):
        miss = regularised_beta(x, a, b) - probability
        low, high = (low, x) if miss > 0 else (x, high)
        slope = math.exp(_log_front(x, a, b)) / (x * (1.0 - x))
        step = x - miss / slope if slope > 0 else low
        following = step if low < step < high else (low + high) / 2
        if miss == 0 or abs(following - x) <= 1e-15 * x or following in {0.0, 1.0}:
            break
        x = following
    return x


def _check(successes: float, trials: float, tail: float) -> None:
    _TRIALS.check(trials)
    _TAIL.check(tail)
    Range("number of points within the limit", "", 0.0, trials).check(successes)
