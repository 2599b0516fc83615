"""Where a base load curve bends: slopes along it, and three readings of the displacement at closure.

Tangent: the steepest straight piece after the flat one, carried down to the load of the free movement.
Carried back: a hyperbola through the points past closure, carried back to that load.  Locking: the
hyperbola with a locking layer in series, through all loaded points.  Each with a standard error from its
residuals; what a reading means is said elsewhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from fieldapp.base.disk import FloatArray

CARRIED_BACK: Final = "hyperbola carried back"
_PAST_CLOSURE: Final = 0.2
_LOADED: Final = 0.01
_LEAST_POINTS: Final = 5
_CURVATURES: Final = 160
_GRIPS: Final = 60


@dataclass(frozen=True, slots=True)
class Estimate:
    """One reading of a displacement [m] with its standard error from the residuals."""

    method: str
    value_m: float
    error_m: float


@dataclass(frozen=True, slots=True)
class Pieces:
    """Straight lines through windows of neighbouring points: load = slope x displacement + level.

    Arrays of one shape, one value for each window of ``size`` points, in order of displacement.
    """

    size: int
    slope: FloatArray
    level: FloatArray
    zero_error_m: FloatArray


@dataclass(frozen=True, slots=True)
class Bend:
    """The flat window and the steeper one after it, by number, with their slopes [MN/m]."""

    flat: int
    steep: int
    flat_slope: float
    steep_slope: float


def pieces(displacement_m: FloatArray, load_mn: FloatArray) -> Pieces:
    """Least-squares lines through every window of 3 to 15 neighbouring points, no two at one place."""
    size = int(np.clip(round(len(load_mn) / 12), 3, 15))
    w = np.lib.stride_tricks.sliding_window_view(displacement_m, size)
    q = np.lib.stride_tricks.sliding_window_view(load_mn, size)
    middle, mean = w.mean(axis=1), q.mean(axis=1)
    spread = ((w - middle[:, None]) ** 2).sum(axis=1)
    slope = ((w - middle[:, None]) * (q - mean[:, None])).sum(axis=1) / spread
    level = mean - slope * middle
    left = ((q - slope[:, None] * w - level[:, None]) ** 2).sum(axis=1) / (size - 2)
    with np.errstate(divide="ignore", invalid="ignore"):
        reach = mean / slope
        error = np.sqrt(left * (1 / size + reach**2 / spread)) / np.abs(slope)
    return Pieces(size, slope, level, np.where(np.isfinite(error), error, np.inf))


def greatest_stiffening(lines: Pieces) -> Bend | None:
    """The pair of windows, flat before steep, between which the slope grows most; None: it never grows."""
    if len(lines.slope) < 2:
        return None
    lowest = np.minimum.accumulate(lines.slope)[:-1]
    gain = lines.slope[1:] - lowest
    steep = int(np.argmax(gain)) + 1
    if gain[steep - 1] <= 0 or lines.slope[steep] <= 0:
        return None
    flat = int(np.argmin(lines.slope[:steep]))
    return Bend(flat, steep, float(lines.slope[flat]), float(lines.slope[steep]))


def tangent(lines: Pieces, bend: Bend, load_mn: float) -> Estimate:
    """Displacement at which the steepest piece, carried down, reaches ``load_mn``.

    Under the true closure when the layer stiffens slowly.  Geometry.
    """
    value = (load_mn - lines.level[bend.steep]) / bend.steep_slope
    return Estimate("tangent", float(value), float(lines.zero_error_m[bend.steep]))


def carried_back(displacement_m: FloatArray, load_mn: FloatArray) -> Estimate | None:
    """Closure from w = w0 + f q/(1 - x q) through the points over a fifth of the greatest load.

    ``load_mn`` counts from the load of the free movement.  None with fewer than 5 such points.  The
    hyperbola is that of the clean base; where the layer is not yet locked the value lies a little low.
    """
    past = load_mn >= _PAST_CLOSURE * load_mn.max()
    w, q = displacement_m[past], load_mn[past]
    if len(q) < _LEAST_POINTS or q.max() <= 0:
        return None
    x = np.linspace(0.0, 0.98 / q.max(), _CURVATURES)[:, None]
    bent = q / (1 - x * q)
    values, flex, left = _two_terms(np.ones_like(bent), bent, w)
    best = int(np.argmin(left))
    if not np.isfinite(left[best]):
        return None
    slopes = np.stack([np.ones_like(q), bent[best], flex[best] * bent[best] ** 2], axis=1)
    return Estimate(CARRIED_BACK, float(values[best]), _error(slopes, left[best]))


def locking(displacement_m: FloatArray, load_mn: FloatArray) -> Estimate | None:
    """Closure from w = w0 q/(m + q) + f q/(1 - x q) with m the grip of the layer.

    ``load_mn`` counts from the load of the free movement; points under a hundredth of the greatest say
    nothing of w against q and are left out.  None with fewer than 6 others.  The same
    locking layer in series with a hyperbola as in the credit model, so w0 stands for e_L t.
    """
    loaded = load_mn >= _LOADED * load_mn.max()
    w, q = displacement_m[loaded], load_mn[loaded]
    if len(q) <= _LEAST_POINTS or q.max() <= 0:
        return None
    grips = q.max() * np.geomspace(3e-4, 0.3, _GRIPS)
    x = np.linspace(0.0, 0.98 / q.max(), _CURVATURES // 2)
    grip, curve = (each.reshape(-1, 1) for each in np.meshgrid(grips, x))
    held, bent = q / (grip + q), q / (1 - curve * q)
    values, flex, left = _two_terms(held, bent, w)
    best = int(np.argmin(left))
    if not np.isfinite(left[best]):
        return None
    loosened = -values[best] * q / (grip[best] + q) ** 2
    slopes = np.stack([held[best], bent[best], loosened, flex[best] * bent[best] ** 2], axis=1)
    return Estimate("locking layer", float(values[best]), _error(slopes, left[best]))


def _two_terms(a: FloatArray, b: FloatArray, w: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Least squares of w on two columns, for many pairs at once; a negative second term is ruled out."""
    aa, ab, bb = (a * a).sum(axis=1), (a * b).sum(axis=1), (b * b).sum(axis=1)
    aw, bw = a @ w, b @ w
    whole = aa * bb - ab**2
    told = whole > 1e-12 * aa * bb
    whole = np.where(told, whole, 1.0)
    first, second = (bb * aw - ab * bw) / whole, (aa * bw - ab * aw) / whole
    residual = ((first[:, None] * a + second[:, None] * b - w) ** 2).sum(axis=1)
    return first, second, np.where(told & (second >= 0), residual, np.inf)


def _error(slopes: FloatArray, left: float) -> float:
    """Standard error of the first parameter, from the residuals and the slopes of all parameters."""
    free = max(len(slopes) - slopes.shape[1], 1)
    spread = np.linalg.pinv(slopes.T @ slopes, rcond=1e-12)
    return float(np.sqrt(max(spread[0, 0], 0.0) * left / free))
