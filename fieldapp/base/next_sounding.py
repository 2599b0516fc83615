"""Where the next sounding tells most, and when no sounding can change the outcome.

For the decision first: the place after whose reading the chance P of the requirement is expected to
be nearest to yes or no, P (1 - P) smallest.  Where that cannot tell places apart, the place with the
most doubt about the limit; on the way to a map, the place with the greatest kriging variance.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

import numpy as np
from numpy.polynomial.hermite_e import hermegauss
from numpy.typing import NDArray

from fieldapp.base.assured import AskedOfBase, share_holds
from fieldapp.base.covariance import FieldModel, condition, draw_fields
from fieldapp.base.disk import BaseDisk, FloatArray, xy_to_polar
from fieldapp.base.field_fit import DEFAULT_ASSUMPTIONS, PRIOR_LENGTH_OVER_RADIUS, MapAssumptions
from fieldapp.base.grid import disk_grid, read_only
from fieldapp.base.rectified import chance_within
from fieldapp.base.sediment_map import Draws, NoMap, SedimentMap, Soundings, sediment_map

_Singles = NDArray[np.float32]

SETTLED_AT: Final = 0.95
LEAST_GAIN: Final = 0.005
_CANDIDATE_RINGS: Final = 4
_READINGS, _READING_WEIGHT = (read_only(part) for part in hermegauss(5))


@dataclass(frozen=True, slots=True)
class NextSounding:
    """A place to sound next: where, by which reason, and what the reason counts before and after.

    ``reason`` is ``decision`` (P (1 - P) now, and expected after this reading), ``entropy`` (doubt
    about the limit here, in nats, ``after`` None) or ``variance`` (kriging variance here [m2],
    ``after`` None).  ``chance`` is P now; None where there is no map.
    """

    x_m: float
    y_m: float
    r_m: float
    angle_deg: float
    reason: Literal["decision", "entropy", "variance"]
    now: float
    after: float | None
    chance: float | None


@dataclass(frozen=True, slots=True)
class Settled:
    """More soundings cannot change this (judgment: P of 0.95 or more, or 0.05 or less).

    ``holds`` says which way; it is what the map expects, not a finding.
    """

    chance: float
    holds: bool
    why: str


def next_sounding(
    soundings: Soundings,
    asked: AskedOfBase | None,
    draws: Draws,
    assumptions: MapAssumptions = DEFAULT_ASSUMPTIONS,
    sediment: SedimentMap | NoMap | None = None,
) -> NextSounding | Settled:
    """Where to sound next, or that no further sounding can change what the map expects.

    ``sediment`` is the map of these soundings under these assumptions, where it was made already.

    By decision when the requirement is open and a place takes 0.005 or more off P (1 - P), else by
    entropy; by variance when nothing is asked or there are fewer than 3 readings.  Places looked at:
    the centre and 64 equal cells of the base.  The steps and 0.005 are judgment.
    """
    sediment = sediment or sediment_map(soundings, assumptions)
    if asked is None or isinstance(sediment, NoMap):
        return _by_variance(soundings, assumptions)
    chance, after = decision_spread(sediment, asked, draws)
    if chance >= SETTLED_AT or chance <= 1 - SETTLED_AT:
        return _settled(chance)
    places = candidate_places(soundings.disk)
    now = chance * (1 - chance)
    best = int(after.argmin())
    if now - after[best] < LEAST_GAIN:
        entropy = limit_entropy(sediment, asked, places)
        most = int(entropy.argmax())
        return _named(places[most], "entropy", (float(entropy[most]), None), chance)
    return _named(places[best], "decision", (now, float(after[best])), chance)


def candidate_places(disk: BaseDisk) -> FloatArray:
    """Places that are looked at for the next sounding: the centre and 64 centres of equal cells."""
    return np.concatenate([np.zeros((1, 2)), disk_grid(disk, _CANDIDATE_RINGS).xy_m])


def decision_spread(sediment: SedimentMap, asked: AskedOfBase, draws: Draws) -> tuple[float, FloatArray]:
    """Chance P of the requirement now, and the P (1 - P) expected after one reading at each candidate.

    The reading at a place is taken at five Gauss-Hermite values of its prediction; simulated fields
    are moved to each by kriging of the difference (conditioning by residuals, Journel and
    Huijbregts 1978, memory: fair), so no map is simulated twice.  What the reading takes off is the
    variance of P over those values (total variance; mathematics).  Field and noise stay as they are.
    Where settled, the second part is empty.  Rule (c) of the mechanics survey.
    """
    cells = len(sediment.grid.weight)
    places = np.concatenate([sediment.grid.xy_m, candidate_places(sediment.grid.disk)])
    field = sediment.field_at(places)
    fields = draw_fields(field, draws.simulations, draws.seed)
    room = _room(fields[:, :cells], asked)
    chance = _chance(np.zeros((1, 1), dtype=np.float32), room, asked)
    if not 1 - SETTLED_AT < chance < SETTLED_AT:
        return chance, np.empty(0)
    reading_variance = field.variance_m2[cells:] + field.model.nugget_m2
    gain = (field.covariance_m2[cells:, :cells] / reading_variance[:, None]).astype(np.float32)
    noise = np.random.default_rng((draws.seed, 1)).standard_normal((draws.simulations, len(gain)))
    miss = field.mean_m[cells:] - fields[:, cells:] - noise * math.sqrt(field.model.nugget_m2)
    told = np.empty(len(gain))
    for place, spread in enumerate(np.sqrt(reading_variance)):
        shifts = (miss[:, place] + spread * _READINGS[:, None]).astype(np.float32)
        chances = np.array([_chance(np.multiply.outer(each, gain[place]), room, asked) for each in shifts])
        told[place] = _weighted_variance(chances)
    return chance, np.maximum(chance * (1 - chance) - told, 0.0)


def limit_entropy(sediment: SedimentMap, asked: AskedOfBase, places_m: FloatArray) -> FloatArray:
    """Doubt whether each place, shape (m, 2), is within the limit: -p ln p - (1 - p) ln(1 - p) [nats].

    Rule (b) of the mechanics survey; 0 where certain, ln 2 at even chances.
    """
    field = sediment.field_at(places_m)
    p = chance_within(field.mean_m, np.sqrt(field.variance_m2), float(asked.limit_m), asked.strict)
    safe = np.clip(np.stack([p, 1 - p]), np.finfo(float).tiny, 1.0)
    entropy: FloatArray = -(safe * np.log(safe)).sum(axis=0)
    return np.maximum(entropy, 0.0)


def greatest_variance(xy_m: FloatArray, places_m: FloatArray, model: FieldModel) -> tuple[int, float]:
    """Number of the place with the greatest kriging variance, the first of equals, and the variance [m2].

    Readings at ``xy_m``, shape (n, 2), n of at least 1, else OutOfRange; what they read does not
    matter.  Rule (a) of the mechanics survey, check G19.
    """
    variance = condition(xy_m, np.zeros(len(xy_m)), places_m, model).variance_m2
    most = int(variance.argmax())
    return most, float(variance[most])


class _Room(NamedTuple):
    """How far each simulated field may rise, cell by cell, until limit and cap are passed [m]."""

    limit: _Singles
    cap: _Singles | None


def _room(fields_m: FloatArray, asked: AskedOfBase) -> _Room:
    # a field below 0 is a thickness of 0: the same side of every limit, except of "less than 0"
    none_less = asked.strict and asked.limit_m <= 0
    limit = -math.inf if none_less else float(asked.limit_m)
    cap = None if asked.cap_m is None else (float(asked.cap_m) - fields_m).astype(np.float32)
    return _Room((limit - fields_m).astype(np.float32), cap)


def _chance(rise_m: _Singles, room: _Room, asked: AskedOfBase) -> float:
    within = room.limit > rise_m if asked.strict else room.limit >= rise_m
    share = np.add.reduce(within.view(np.uint8), axis=1, dtype=np.uint16) / within.shape[1]
    holds = share_holds(share, asked)
    if room.cap is not None:
        kept = room.cap > rise_m if asked.cap_strict else room.cap >= rise_m
        holds &= kept.all(axis=1)
    return float(holds.mean())


def _weighted_variance(chances: FloatArray) -> float:
    mean = np.average(chances, weights=_READING_WEIGHT)
    return float(np.average((chances - mean) ** 2, weights=_READING_WEIGHT))


def _by_variance(soundings: Soundings, assumptions: MapAssumptions) -> NextSounding:
    places = candidate_places(soundings.disk)
    known, _ = soundings.known
    ratio = assumptions.length_over_radius or PRIOR_LENGTH_OVER_RADIUS
    model = FieldModel(assumptions.prior_sd_m, ratio * soundings.disk.radius_m, assumptions.noise_sd_m**2)
    if len(known) == 0:
        return _named(places[0], "variance", (model.sd_m**2, None), None)
    most, variance = greatest_variance(known, places, model)
    return _named(places[most], "variance", (variance, None), None)


def _named(
    place: FloatArray,
    reason: Literal["decision", "entropy", "variance"],
    counts: tuple[float, float | None],
    chance: float | None,
) -> NextSounding:
    x_m, y_m = place.tolist()
    r_m, angle_deg = xy_to_polar(x_m, y_m)
    return NextSounding(x_m, y_m, r_m, angle_deg, reason, *counts, chance)


def _settled(chance: float) -> Settled:
    holds = chance >= SETTLED_AT
    outcome = "holds" if holds else "does not hold"
    why = f"More soundings cannot change this: by the map the requirement {outcome} (chance {chance:.2f})."
    return Settled(chance, holds, why)
