"""Is another cleanout pass worth it: removal per pass and per minute, trend, likely gain of the next.

Facts of the passes made and one extrapolation with the range that they leave.  One pass has no trend,
and a pass whose thickness was not sounded before and after tells none either.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final, TypeAlias

from fieldapp.units import Number, Range

_THICKNESS: Final = Range("sediment thickness", "m", 0.0, 100.0)
_DEPTH: Final = Range("depth of the bottom", "m", 0.0, 1000.0)
_DURATION: Final = Range("duration of a pass", "s", 0.0, 7 * 86_400.0, open_below=True)
_DOUBT: Final = Range("doubt of a thickness", "m", 0.0, 1.0)

READING_DOUBT_M: Final = 0.004
_NORMAL_90: Final = 1.645
# Student's t, two-sided 90 %, for 1, 2 ... degrees of freedom (published tables).
_T_90: Final = (6.314, 2.920, 2.353, 2.132, 2.015, 1.943, 1.895, 1.860, 1.833, 1.812)


class Trend(StrEnum):
    """How the share that a pass removes has gone from the first pass to the last."""

    LESS = "later passes remove a smaller share"
    ALIKE = "passes remove a like share"
    MORE = "later passes remove a larger share"
    NOT_TOLD = "the readings do not tell"


@dataclass(frozen=True, slots=True)
class PassSeen:
    """One pass: mean thickness before and after by soundings, depth before and after by tape; None unknown.

    Thickness 0 to 100 m, depth 0 to 1000 m, duration more than 0 s and at most a week, else OutOfRange.
    """

    number: int
    before_m: Number | None = None
    after_m: Number | None = None
    duration_s: float | None = None
    depths_m: tuple[Number, Number] | None = None

    def __post_init__(self) -> None:
        _THICKNESS.check(*(each for each in (self.before_m, self.after_m) if each is not None))
        _DEPTH.check(*(self.depths_m or ()))
        if self.duration_s is not None:
            _DURATION.check(self.duration_s)

    @property
    def removed_m(self) -> Number | None:
        """Thickness removed [m], by soundings, else by tape; negative when the layer grew; None unknown."""
        if self.before_m is not None and self.after_m is not None:
            return self.before_m - self.after_m
        return None if self.depths_m is None else self.depths_m[1] - self.depths_m[0]

    @property
    def removed_m_per_min(self) -> float | None:
        """Removed per minute [m/min]; None unknown."""
        if self.removed_m is None or self.duration_s is None:
            return None
        return float(self.removed_m) / (self.duration_s / 60)

    @property
    def removed_share(self) -> float | None:
        """Removed over what there was before; None unknown, or nothing to remove."""
        if self.before_m is None or self.after_m is None or self.before_m == 0:
            return None
        return float((self.before_m - self.after_m) / self.before_m)


@dataclass(frozen=True, slots=True)
class Band:
    """A value with the range that the data leave."""

    low: float
    best: float
    high: float


@dataclass(frozen=True, slots=True)
class NextPass:
    """What the next pass is likely to do, if it goes like those before it.

    ``remaining_share`` of the thickness stays; ``gain_m`` [m], negative: the layer may grow;
    ``after_m`` is the thickness left; ``minutes`` as passes took so far, None unknown.
    """

    trend: Trend
    remaining_share: Band
    gain_m: Band
    after_m: Band
    minutes: float | None
    passes_used: int


@dataclass(frozen=True, slots=True)
class NoTrend:
    """No word on the next pass, and why."""

    reason: str


Worth: TypeAlias = NextPass | NoTrend


def next_pass(passes: Sequence[PassSeen], now_m: Number, reading_doubt_m: float = READING_DOUBT_M) -> Worth:
    """Likely gain of one more pass over a layer of ``now_m`` [m], by geometric decay.

    after = r before, least squares over the passes with both soundings: r = sum(b a)/sum(b^2).  The
    range is 90 % two-sided: Student's t on the residuals or the normal quantile on the doubt of the
    readings, whichever is wider, and r not under 0.  When later passes remove a smaller share, beyond
    the doubt, the last one alone is the best word on the next.

    Parameters
    ----------
    passes
        In the order made.  Those without soundings on both sides are left out.
    now_m
        Mean thickness now [m], 0 to 100 m.
    reading_doubt_m
        Standard deviation of a mean thickness [m], 0 to 1 m; default 4 mm (judgment).

    Returns
    -------
    NextPass, or NoTrend with fewer than two usable passes or nothing left.

    Raises
    ------
    OutOfRange
        A quantity outside its range.

    Notes
    -----
    Geometric decay as a model of cleaning: judgment.  Least squares and t: mathematics.
    """
    _THICKNESS.check(now_m)
    _DOUBT.check(reading_doubt_m)
    pairs = [
        (float(each.before_m), float(each.after_m))
        for each in passes
        if each.before_m is not None and each.after_m is not None and each.before_m > 0
    ]
    if now_m == 0:
        return NoTrend("The soundings show nothing left to remove.")
    if len(pairs) < 2:
        seen = "One pass has" if len(pairs) == 1 else "No pass has"
        return NoTrend(f"{seen} soundings before and after it; a trend needs two such passes.")
    trend = _trend(pairs[0], pairs[-1], reading_doubt_m)
    share = _remaining(pairs, reading_doubt_m, last_only=trend is Trend.LESS)
    now = float(now_m)
    after = Band(now * share.low, now * share.best, now * share.high)
    gain = Band(now - after.high, now - after.best, now - after.low)
    return NextPass(trend, share, gain, after, _usual_minutes(passes), len(pairs))


def passes_to_reach(
    share: Band, now_m: Number, wanted_m: Number
) -> tuple[int | None, int | None, int | None]:
    """Passes until the thickness is at most ``wanted_m``, at the low, best and high share that remains.

    n = ceil(ln(wanted/now)/ln r); 0 when it is reached, None when it never is (r not under 1, or nothing
    wanted).  Thicknesses 0 to 100 m, else OutOfRange.  Geometric decay (judgment).
    """
    _THICKNESS.check(now_m, wanted_m)
    low, best, high = (
        _passes(each, float(now_m), float(wanted_m)) for each in (share.low, share.best, share.high)
    )
    return low, best, high


def _passes(share: float, now_m: float, wanted_m: float) -> int | None:
    if now_m <= wanted_m:
        return 0
    if share <= 0:
        return 1
    if share >= 1 or wanted_m <= 0:
        return None
    return math.ceil(math.log(wanted_m / now_m) / math.log(share) - 1e-9)


def _remaining(pairs: Sequence[tuple[float, float]], doubt_m: float, last_only: bool) -> Band:
    """Share that remains after a pass, with the range that residuals and doubt leave."""
    squares = math.fsum(before**2 for before, _ in pairs)
    pooled = math.fsum(before * after for before, after in pairs) / squares
    left = math.fsum((after - pooled * before) ** 2 for before, after in pairs)
    free = len(pairs) - 1
    t_90 = _T_90[free - 1] if free <= len(_T_90) else 1.812
    scatter = t_90 * math.sqrt(left / free / squares)
    reading = _NORMAL_90 * doubt_m * math.sqrt((1 + pooled**2) / squares)
    half = max(scatter, reading)
    best = pairs[-1][1] / pairs[-1][0] if last_only else pooled
    return Band(max(0.0, min(best, pooled - half)), best, max(best, pooled + half))


def _trend(first: tuple[float, float], last: tuple[float, float], doubt_m: float) -> Trend:
    """Compare the remaining shares of first and last pass, each with its doubt, at 90 %."""
    shares = [after / before for before, after in (first, last)]
    doubts = [
        doubt_m * math.sqrt(1 + share**2) / before
        for share, (before, _) in zip(shares, (first, last), strict=True)
    ]
    doubt = _NORMAL_90 * math.hypot(*doubts)
    if doubt > 0.5:
        return Trend.NOT_TOLD
    if abs(shares[1] - shares[0]) <= doubt:
        return Trend.ALIKE
    return Trend.LESS if shares[1] > shares[0] else Trend.MORE


def _usual_minutes(passes: Sequence[PassSeen]) -> float | None:
    known = [each.duration_s / 60 for each in passes if each.duration_s is not None]
    return math.fsum(known) / len(known) if known else None
