"""The sediment map: thickness over the whole base from few soundings, with its doubt.

The thickness is a Gaussian field cut off at zero, t = max(0, y), and y is kriged from the readings.
Of the two ways to handle skew (judgment) this one keeps the measurement variance in millimetres at
any thickness and makes the share within a limit exact; a logarithm would turn 4 mm of doubt about a
clean point into a factor of 5.  A point without a reading is left out of the map, never taken as clean.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal
from zlib import crc32

import numpy as np

from fieldapp.base.areas import MOST_POINTS
from fieldapp.base.covariance import SEED, SIMULATIONS, ConditionedField, FieldModel, condition, draw_fields
from fieldapp.base.disk import THICKNESS, BaseDisk, FloatArray
from fieldapp.base.field_fit import (
    DEFAULT_ASSUMPTIONS,
    FIT_FROM_POINTS,
    PRIOR_LENGTH_OVER_RADIUS,
    MapAssumptions,
    fitted_length_over_radius,
    fitted_model,
)
from fieldapp.base.grid import DiskGrid, disk_grid, read_only
from fieldapp.base.rectified import Z_95, rectified_moments
from fieldapp.units import Number, OutOfRange

LengthFrom = Literal["given", "prior", "fitted"]

LEAST_POINTS: Final = 3
MAP_CAVEAT: Final = (
    "The map rests on an assumed field (correlation length, measurement variance, spread): judgment, "
    "not calibrated against bases that were seen."
)


@dataclass(frozen=True, slots=True, eq=False)
class Soundings:
    """Soundings of one round: places from the centre, shape (n, 2), and thickness [m], None unread.

    n = 1 to 100, places on the base, thickness 0 to 100 m, else OutOfRange.
    """

    disk: BaseDisk
    xy_m: FloatArray
    thickness_m: Sequence[Number | None]

    def __post_init__(self) -> None:
        xy = np.array(self.xy_m, dtype=np.float64)
        if xy.ndim != 2 or xy.shape[1] != 2 or not 1 <= len(xy) <= MOST_POINTS:
            raise OutOfRange("shape of the places", str(xy.shape), f"(n, 2) with n from 1 to {MOST_POINTS}")
        if len(self.thickness_m) != len(xy):
            raise OutOfRange("number of thicknesses", str(len(self.thickness_m)), f"{len(xy)}, one a place")
        for number, (x, y) in enumerate(xy.tolist(), start=1):
            if not self.disk.point_inside(x, y):
                on = f"on the base of radius {self.disk.radius_m:g} m"
                raise OutOfRange(f"place of sounding {number}", f"({x:g}, {y:g}) m", on)
        THICKNESS.check(*(t for t in self.thickness_m if t is not None))
        object.__setattr__(self, "xy_m", read_only(xy))
        object.__setattr__(self, "thickness_m", tuple(self.thickness_m))

    @property
    def seed(self) -> int:
        """A seed out of the readings: the same readings simulate the same maps, whatever else is recorded."""
        rows = zip(self.xy_m.tolist(), self.thickness_m, strict=True)
        numbers = (("-" if n is None else round(float(n), 6) + 0.0) for (x, y), t in rows for n in (x, y, t))
        told = map(str, numbers)
        return crc32("\n".join(told).encode("ascii"))

    @property
    def known(self) -> tuple[FloatArray, FloatArray]:
        """Places, shape (k, 2), and thickness [m], shape (k,), of the points that have a reading."""
        read = np.array([t is not None for t in self.thickness_m])
        thickness = np.array([float(t) for t in self.thickness_m if t is not None])
        return self.xy_m[read], thickness

    @property
    def unread(self) -> int:
        """Number of points without a reading."""
        return sum(t is None for t in self.thickness_m)


@dataclass(frozen=True, slots=True)
class NoMap:
    """Too few readings for a map: how many there are, how many it takes, and the sentence to show."""

    known: int
    unread: int
    why: str


@dataclass(frozen=True, slots=True, eq=False)
class SedimentMap:
    """The map on equal cells; thicknesses in metres, one a cell, none negative.

    ``mean_m`` and ``sd_m`` are of the thickness itself (cut off at 0), ``median_m``, ``low_m`` and
    ``high_m`` its 50, 5 and 95 % values.  ``field`` holds the Gaussian before the cut, at the cells.
    ``length_from`` says where the correlation length comes from.
    """

    grid: DiskGrid
    soundings: Soundings
    assumptions: MapAssumptions
    model: FieldModel
    length_from: LengthFrom
    field: ConditionedField
    mean_m: FloatArray
    median_m: FloatArray
    sd_m: FloatArray
    low_m: FloatArray
    high_m: FloatArray

    @property
    def length_over_radius(self) -> float:
        """Correlation length used, over the radius of the base."""
        return self.model.length_m / self.grid.disk.radius_m

    def field_at(self, xy_m: FloatArray) -> ConditionedField:
        """The Gaussian before the cut at other places, shape (m, 2)."""
        return condition(*self.soundings.known, xy_m, self.model)


@dataclass(frozen=True, slots=True)
class Draws:
    """How many maps to simulate, 1 to 100 000, and the seed, 0 or more; else OutOfRange."""

    simulations: int
    seed: int

    def __post_init__(self) -> None:
        SIMULATIONS.check(self.simulations)
        SEED.check(self.seed)


@dataclass(frozen=True, slots=True, eq=False)
class SimulatedMaps:
    """Maps that could be the base: thickness [m], shape (simulations, cells), and weights (cells,)."""

    thickness_m: FloatArray
    weight: FloatArray
    draws: Draws

    def share_within(self, limit_m: float, strict: bool) -> FloatArray:
        """Share of the area within the limit in each simulated map, shape (simulations,)."""
        within = self.thickness_m < limit_m if strict else self.thickness_m <= limit_m
        return np.minimum(within.astype(np.float64) @ self.weight, 1.0)

    def largest_m(self) -> FloatArray:
        """Largest thickness [m] of each simulated map, shape (simulations,)."""
        largest: FloatArray = self.thickness_m.max(axis=1)
        return largest


def sediment_map(
    soundings: Soundings, assumptions: MapAssumptions = DEFAULT_ASSUMPTIONS
) -> SedimentMap | NoMap:
    """Mean and doubt of the thickness on 400 equal cells, by ordinary kriging.

    Covariance exp(-h/l), l = 0.5 R below 8 readings and fitted within 0.2 to 1.0 R from 8 on, unless
    given; nugget (4 mm)^2 (judgment).  Readings of 0 count as 0, not as less: cautious.  Fewer than 3
    readings give NoMap.  Sediment map model of the mechanics survey; checks G6 and G11.
    """
    known = len(soundings.known[1])
    if known < LEAST_POINTS:
        return _no_map(known, soundings.unread)
    length, length_from = _length_over_radius(soundings, assumptions)
    return _map(soundings, assumptions, length, length_from)


def field_of_length(sediment: SedimentMap, length_over_radius: float) -> ConditionedField:
    """The Gaussian before the cut at the cells, had the correlation length been this one (over R).

    More than 0, else OutOfRange; standard deviation fitted anew.
    """
    xy_m, thickness_m = sediment.soundings.known
    length_m = length_over_radius * sediment.grid.disk.radius_m
    model = fitted_model(xy_m, thickness_m, length_m, sediment.assumptions)
    return condition(xy_m, thickness_m, sediment.grid.xy_m, model)


def simulate(sediment: SedimentMap, draws: Draws) -> SimulatedMaps:
    """Simulated maps that agree with the soundings within their noise; none is negative.

    Cholesky factor of the posterior covariance, check G12; the same draws give the same maps.
    """
    fields = draw_fields(sediment.field, draws.simulations, draws.seed)
    return SimulatedMaps(read_only(np.maximum(fields, 0.0, out=fields)), sediment.grid.weight, draws)


def _map(
    soundings: Soundings, assumptions: MapAssumptions, length_over_radius: float, length_from: LengthFrom
) -> SedimentMap:
    xy_m, thickness_m = soundings.known
    grid = disk_grid(soundings.disk)
    model = fitted_model(xy_m, thickness_m, length_over_radius * soundings.disk.radius_m, assumptions)
    field = condition(xy_m, thickness_m, grid.xy_m, model)
    sd = np.sqrt(field.variance_m2)
    mean_m, sd_m = rectified_moments(field.mean_m, sd)
    return SedimentMap(
        grid=grid,
        soundings=soundings,
        assumptions=assumptions,
        model=model,
        length_from=length_from,
        field=field,
        mean_m=read_only(mean_m),
        median_m=read_only(np.maximum(field.mean_m, 0.0)),
        sd_m=read_only(sd_m),
        low_m=read_only(np.maximum(field.mean_m - Z_95 * sd, 0.0)),
        high_m=read_only(np.maximum(field.mean_m + Z_95 * sd, 0.0)),
    )


def _length_over_radius(soundings: Soundings, assumptions: MapAssumptions) -> tuple[float, LengthFrom]:
    if assumptions.length_over_radius is not None:
        return assumptions.length_over_radius, "given"
    xy_m, thickness_m = soundings.known
    if len(thickness_m) < FIT_FROM_POINTS:
        return PRIOR_LENGTH_OVER_RADIUS, "prior"
    radius_m = soundings.disk.radius_m
    return fitted_length_over_radius(xy_m, thickness_m, radius_m, assumptions), "fitted"


def _no_map(known: int, unread: int) -> NoMap:
    readings = "1 sounding has" if known == 1 else f"{known} soundings have"
    why = f"No map: {readings} a reading and a map takes {LEAST_POINTS}; sound more places of the base."
    return NoMap(known, unread, why)
