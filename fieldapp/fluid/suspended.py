"""The sand still in the column: samples at their depths into layers, and its fall under one assumption.

A layer is half-way to the neighbouring samples.  What a sample does not have is taken from the nearest
one that has it, and counted; when none has it, it is named as missing.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Final, TypeAlias

from fieldapp.fluid.column import DENSITY, DEPTH, most_sand_deposit_m
from fieldapp.fluid.deposit import COLUMN, Layer, RiseCurve, layered_rise, together
from fieldapp.fluid.funnel import Cup, FunnelReading, effective_viscosity_pa_s
from fieldapp.fluid.settling import (
    YIELD_STRESS,
    Grain,
    Liquid,
    ferguson_church_m_per_s,
    hindered_exponent,
    hindered_m_per_s,
    largest_held_m,
    reynolds,
)
from fieldapp.fluid.settling_set import Assumption, FluidKind, SettlingSet
from fieldapp.units import Number, OutOfRange, Range

MOST_SAND: Final = 0.20
DEPOSIT_POROSITY: Final = 0.5
_SAND: Final = Range("sand content", "", 0.0, 1.0)
_WATER_KG_PER_M3: Final = 1000.0
_FAR_ABOVE_BASE_M: Final = 3.0

_Liquid: TypeAlias = tuple[float, float | None]


@dataclass(frozen=True, slots=True)
class FluidSample:
    """One sample, ``depth_m`` below the fluid surface; None for what was not tested on it.

    Sand content is the bulk settled volume of the graduated tube.  Depth 0 to 300 m, sand 0 to 1,
    density 900 to 1600 kg/m3, else OutOfRange.
    """

    depth_m: Number
    sand_ratio: Number | None
    funnel: FunnelReading | None = None
    density_kg_per_m3: Number | None = None

    def __post_init__(self) -> None:
        DEPTH.check(self.depth_m)
        if self.sand_ratio is not None:
            _SAND.check(self.sand_ratio)
        if self.density_kg_per_m3 is not None:
            DENSITY.check(self.density_kg_per_m3)


@dataclass(frozen=True, slots=True)
class FluidColumn:
    """The fluid from its surface to the base, as sampled: in order of depth, none below the base.

    ``yield_stress_pa`` (0 to 200 Pa) where it was measured.  Raises OutOfRange.
    """

    kind: FluidKind
    base_depth_m: Number
    samples: tuple[FluidSample, ...]
    yield_stress_pa: float | None = None

    def __post_init__(self) -> None:
        COLUMN.check(self.base_depth_m)
        if self.yield_stress_pa is not None:
            YIELD_STRESS.check(self.yield_stress_pa)
        depths = [sample.depth_m for sample in self.samples]
        if any(b <= a for a, b in pairwise(depths)) or any(d > self.base_depth_m for d in depths):
            shown = ", ".join(f"{float(d):g}" for d in depths)
            allowed = (
                f"each deeper than the one before, none below the base at {float(self.base_depth_m):g} m"
            )
            raise OutOfRange("sample depths", f"{shown} m", allowed)


@dataclass(frozen=True, slots=True)
class SandLayer:
    """A layer above the base with its sand; ``viscosity_pa_s`` None in water: assumed."""

    height_m: float
    sand_ratio: float
    density_kg_per_m3: float
    viscosity_pa_s: float | None


@dataclass(frozen=True, slots=True)
class Basis:
    """What the layers rest on: sampled depths, what was taken from a neighbour, what was assumed."""

    sand_depths: int
    sand_not_tested: int
    viscosity_from_neighbour: int
    density_assumed: bool
    lowest_above_base_m: float

    @property
    def notes(self) -> tuple[str, ...]:
        """What a reader has to know of it, one sentence each."""
        said = {
            "Sand content is known at one depth only; it stands for the whole column.": self.sand_depths == 1,
            "The lowest sand content was taken well above the base; there may be more sand below it.": (
                self.lowest_above_base_m > _FAR_ABOVE_BASE_M
            ),
            "A sample without sand content was left out; its neighbours stand for it.": (
                self.sand_not_tested > 0
            ),
            "Where funnel time or density was not read, the nearest sample stands for it.": (
                self.viscosity_from_neighbour > 0
            ),
            "Density was not read; that of water is assumed.": self.density_assumed,
        }
        return tuple(text for text, holds in said.items() if holds)


@dataclass(frozen=True, slots=True)
class Sampled:
    """The layers, lowest first, what they rest on, and what is missing to say how fast their sand falls."""

    layers: tuple[SandLayer, ...]
    basis: Basis | None
    missing: tuple[str, ...]

    @property
    def most_rise_m(self) -> float:
        """Rise [m] if all the sand settled: sum of SC x height (D19)."""
        return math.fsum(float(most_sand_deposit_m(each.height_m, each.sand_ratio)) for each in self.layers)


@dataclass(frozen=True, slots=True)
class Course:
    """Rise of the sediment against time under one assumption.

    ``assumed`` says it in words; ``held_share`` is the share of the sand that the yield stress holds up.
    """

    assumption: Assumption
    assumed: str
    held_share: float
    rise: RiseCurve = field(repr=False)


def sampled(column: FluidColumn) -> Sampled:
    """Layers of a column from its samples, and what is missing."""
    sandy = [(each, float(each.sand_ratio)) for each in column.samples if each.sand_ratio is not None]
    if not sandy:
        return Sampled((), None, ("sand content",))
    depths = [float(each.depth_m) for each, _ in sandy]
    edges = [0.0, *((a + b) / 2 for a, b in pairwise(depths)), float(column.base_depth_m)]
    liquids = {float(each.depth_m): _liquid(column.kind, each) for each in column.samples}
    known = {depth: each for depth, each in liquids.items() if not isinstance(each, str)}
    layers = [
        SandLayer(bottom - top, sand, *_nearest(known, float(each.depth_m)))
        for (each, sand), (top, bottom) in zip(sandy, pairwise(edges), strict=True)
        if bottom > top
    ]
    basis = Basis(
        sand_depths=len(sandy),
        sand_not_tested=len(column.samples) - len(sandy),
        viscosity_from_neighbour=sum(depth not in known for depth in depths) if known else 0,
        density_assumed=column.kind is FluidKind.WATER and not known,
        lowest_above_base_m=float(column.base_depth_m) - depths[-1],
    )
    lacks = [each for each in liquids.values() if isinstance(each, str)]
    missing = [] if known or column.kind is FluidKind.WATER else list(dict.fromkeys(lacks))
    if max(each.sand_ratio for each in layers) > MOST_SAND:
        missing.append(f"a settling law for sand content over {100 * MOST_SAND:g} %")
    return Sampled(tuple(reversed(layers)), basis, tuple(missing))


def course_of(column: FluidColumn, layers: Sequence[SandLayer], assumed: SettlingSet) -> Course:
    """The fall of the sand under one assumption.

    A size is held, over the whole column, when the yield stress holds it in the lightest layer.
    Raises OutOfRange for a grain lighter than the fluid.
    """
    stress = assumed.yield_stress_in(column.kind, column.yield_stress_pa)
    lightest = Liquid(min(each.density_kg_per_m3 for each in layers), assumed.water_viscosity_pa_s)
    held_m = largest_held_m(stress, lightest, assumed.solids_kg_per_m3, assumed.hold)
    curves, held = [], 0.0
    for size, share in zip(assumed.grains.sizes_m, assumed.grains.shares, strict=True):
        if size <= held_m:
            held += share
            continue
        grain = Grain(size, assumed.solids_kg_per_m3)
        curves.append(layered_rise([_falling(each, grain, share, assumed) for each in layers]))
    words = assumed.in_words(column.kind, column.yield_stress_pa)
    return Course(assumed.assumption, words, min(held, 1.0), together(curves))


def _falling(layer: SandLayer, grain: Grain, share: float, assumed: SettlingSet) -> Layer:
    if layer.viscosity_pa_s is None:
        viscosity = assumed.water_viscosity_pa_s
    else:
        viscosity = layer.viscosity_pa_s * assumed.viscosity_factor
    liquid = Liquid(layer.density_kg_per_m3, viscosity)
    free = ferguson_church_m_per_s(grain, liquid)
    exponent = hindered_exponent(reynolds(free, grain, liquid))
    solids = layer.sand_ratio * (1 - DEPOSIT_POROSITY)
    return Layer(layer.height_m, layer.sand_ratio * share, hindered_m_per_s(free, solids, exponent))


def _nearest(known: Mapping[float, _Liquid], depth_m: float) -> _Liquid:
    if not known:
        return _WATER_KG_PER_M3, None
    return known[min(known, key=lambda depth: abs(depth - depth_m))]


def _liquid(kind: FluidKind, sample: FluidSample) -> _Liquid | str:
    """Density and viscosity of a sample (None in water), or what it lacks."""
    density = sample.density_kg_per_m3
    if kind is FluidKind.WATER:
        return "density" if density is None else (float(density), None)
    if density is None:
        return "density"
    if sample.funnel is None:
        return "funnel time"
    if sample.funnel.cup is not Cup.QUART:
        return f"funnel time with the {Cup.QUART.value} cup"
    try:
        return float(density), effective_viscosity_pa_s(float(density), sample.funnel)
    except OutOfRange as refused:
        return f"a funnel time that gives a viscosity ({refused})"
