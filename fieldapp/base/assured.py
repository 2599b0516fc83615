"""The share of the base within the limit: as measured, and as assured at the project's confidence.

As measured is what a specification means (nearest-point areas).  As assured comes by two ways that
stand side by side: by counting points, and by maps simulated through the readings.  Neither decides:
rules hold these facts against the requirement, and a point without a reading stays unknown.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from fieldapp.base.areas import nearest_point_areas
from fieldapp.base.bounds import COUNTING_CAVEAT, effective_points, weighted_lower_bound
from fieldapp.base.cleanliness import Cleanliness, share_within
from fieldapp.base.covariance import ConditionedField
from fieldapp.base.disk import FloatArray
from fieldapp.base.field_fit import DEFAULT_ASSUMPTIONS, LENGTH_RANGE, MapAssumptions
from fieldapp.base.rectified import chance_within
from fieldapp.base.sediment_map import (
    MAP_CAVEAT,
    Draws,
    LengthFrom,
    NoMap,
    SedimentMap,
    SimulatedMaps,
    Soundings,
    field_of_length,
    sediment_map,
    simulate,
)
from fieldapp.units import Number, Range

BoolArray = NDArray[np.bool_]

_LIMIT: Final = Range("thickness limit", "m", 0.0, 100.0)
_CAP: Final = Range("largest thickness allowed", "m", 0.0, 100.0)
_SHARE: Final = Range("asked share of the area", "", 0.0, 1.0)
_CONFIDENCE: Final = Range("confidence", "", 0.5, 0.999)
_SHARE_ROUNDING: Final = 1e-9  # as measured shares are rounded: 200 of 400 cells are one half


@dataclass(frozen=True, slots=True)
class AskedOfBase:
    """The requirement: at least ``share_min`` of the area within ``limit_m``, nothing over the cap.

    ``strict`` asks for less than the limit, ``cap_strict`` for less than the cap; no cap is None.
    Limit and cap 0 to 100 m, share 0 to 1, else OutOfRange.
    """

    limit_m: Number
    strict: bool
    share_min: Number
    cap_m: Number | None = None
    cap_strict: bool = False

    def __post_init__(self) -> None:
        _LIMIT.check(self.limit_m)
        _SHARE.check(self.share_min)
        if self.cap_m is not None:
            _CAP.check(self.cap_m)


@dataclass(frozen=True, slots=True)
class ShareAtLength:
    """Expected share within the limit if the correlation length were this one."""

    length_over_radius: float
    expected_share: float


@dataclass(frozen=True, slots=True)
class ShareByMap:
    """What the simulated maps say: shares of the area, and chances that the requirement holds.

    ``expected_share`` is exact for the field; ``assured_share`` is reached or passed by
    ``confidence`` of the maps.  ``chance_share`` and ``chance_cap`` (None without a cap) are those
    of its two parts; ``chance_error`` is at most the standard error of ``chance``.
    """

    expected_share: float
    assured_share: float
    confidence: float
    chance: float
    chance_error: float
    chance_share: float
    chance_cap: float | None
    length_over_radius: float
    length_from: LengthFrom
    by_length: tuple[ShareAtLength, ...]
    draws: Draws


@dataclass(frozen=True, slots=True)
class AssuredShare:
    """The share as measured, as assured by counting, and as assured by the map or why there is none.

    Counting takes a point without a reading as over the limit.  The caveats belong beside the figures.
    """

    measured: Cleanliness
    effective_points: float
    share_by_counting: float
    by_map: ShareByMap | NoMap
    caveats: tuple[str, ...]


def assured_share(
    soundings: Soundings,
    asked: AskedOfBase,
    confidence: float,
    draws: Draws,
    assumptions: MapAssumptions = DEFAULT_ASSUMPTIONS,
) -> AssuredShare:
    """Share within the limit as measured, and its lower bounds at a one-sided confidence.

    Parameters
    ----------
    soundings
        The round; points may be unread.
    asked
        Limit, share and cap.
    confidence
        One-sided, 0.5 to 0.999, as the project asks.
    draws
        How many maps, and the seed.
    assumptions
        What the map takes for granted.

    Raises
    ------
    OutOfRange
        A confidence outside its range.

    Notes
    -----
    Conditional simulation, checks G11 and G12; Clopper-Pearson, G13 to G18.  Fewer than 3 readings
    give NoMap in place of the map's part.
    """
    _CONFIDENCE.check(confidence)
    areas = nearest_point_areas(soundings.xy_m, soundings.disk.radius_m)
    measured = share_within(soundings.thickness_m, areas.tolist(), asked.limit_m, asked.strict)
    sediment = sediment_map(soundings, assumptions)
    by_map: ShareByMap | NoMap
    if isinstance(sediment, NoMap):
        by_map = sediment
    else:
        by_map = share_by_map(sediment, simulate(sediment, draws), asked, confidence)
    counted = weighted_lower_bound(float(measured.share_if_unknown_dirty), areas, 1 - confidence)
    caveats = (COUNTING_CAVEAT, MAP_CAVEAT)
    return AssuredShare(measured, effective_points(areas), counted, by_map, caveats)


def share_by_map(
    sediment: SedimentMap, maps: SimulatedMaps, asked: AskedOfBase, confidence: float
) -> ShareByMap:
    """The map's part of assured_share, from maps that are simulated already.

    ``confidence`` 0.5 to 0.999, else OutOfRange.
    """
    _CONFIDENCE.check(confidence)
    share = maps.share_within(float(asked.limit_m), asked.strict)
    enough, under = share_holds(share, asked), cap_holds(maps.thickness_m, asked)
    chance = float((enough & under).mean())
    return ShareByMap(
        expected_share=expected_share(sediment.field, sediment.grid.weight, asked),
        assured_share=float(np.quantile(share, round(1 - confidence, 12), method="inverted_cdf")),
        confidence=confidence,
        chance=chance,
        chance_error=math.sqrt(chance * (1 - chance) / len(share)),
        chance_share=float(enough.mean()),
        chance_cap=None if asked.cap_m is None else float(under.mean()),
        length_over_radius=sediment.length_over_radius,
        length_from=sediment.length_from,
        by_length=_by_length(sediment, asked),
        draws=maps.draws,
    )


def expected_share(field: ConditionedField, weight: FloatArray, asked: AskedOfBase) -> float:
    """Expected share of the area within the limit: weighted mean over the places of Phi((limit - m)/s).

    ``weight`` one a place of the field, summing to 1.  Exact for the field, check G11.
    """
    within = chance_within(field.mean_m, np.sqrt(field.variance_m2), float(asked.limit_m), asked.strict)
    return min(float(within @ weight), 1.0)


def share_holds(share: FloatArray, asked: AskedOfBase) -> BoolArray:
    """Whether shares of the area, any shape, reach the share asked (to 1e-9 of the area)."""
    holds: BoolArray = share >= float(asked.share_min) - _SHARE_ROUNDING
    return holds


def cap_holds(thickness_m: FloatArray, asked: AskedOfBase) -> BoolArray:
    """Whether every cell of the maps, shape (..., cells), keeps the cap; true where none is asked."""
    if asked.cap_m is None:
        return np.ones(thickness_m.shape[:-1], dtype=np.bool_)
    largest = thickness_m.max(axis=-1)
    kept: BoolArray = largest < float(asked.cap_m) if asked.cap_strict else largest <= float(asked.cap_m)
    return kept


def even_rise_room(
    thickness_m: Sequence[Number], weights: Sequence[Number], asked: AskedOfBase
) -> tuple[float, bool]:
    """Even rise [m] of the whole base that the requirement still allows, and whether that limit is strict.

    Less than 0: it is broken as it stands.  ``thickness_m`` one a point or cell [m], at least one;
    ``weights`` of the same length, areas or any share of them, not all 0.
    """
    order = sorted(range(len(thickness_m)), key=lambda each: thickness_m[each])
    shares = np.cumsum([float(weights[each]) for each in order])
    holding = int(np.searchsorted(shares / shares[-1], float(asked.share_min) - _SHARE_ROUNDING))
    counted = order[min(holding, len(order) - 1)]
    rooms = [(float(asked.limit_m - thickness_m[counted]), asked.strict)]
    if asked.cap_m is not None:
        rooms.append((float(asked.cap_m - thickness_m[order[-1]]), asked.cap_strict))
    return min(rooms, key=lambda each: (each[0], not each[1]))


def _by_length(sediment: SedimentMap, asked: AskedOfBase) -> tuple[ShareAtLength, ...]:
    fields = [(length, field_of_length(sediment, length)) for length in LENGTH_RANGE]
    return tuple(
        ShareAtLength(at, expected_share(field, sediment.grid.weight, asked)) for at, field in fields
    )
