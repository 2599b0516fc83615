"""What if, without a project: what a base would be worth under a thickness, and which limits to choose.

A part that cannot be answered is absent and the reason stands in ``missing``; a part that the file does
not ask is absent without one.  Estimates at displacements, for the designer to accept.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from fieldapp.base.areas import nearest_point_areas
from fieldapp.base.credit import Cover
from fieldapp.base.credit_facts import Credit
from fieldapp.base.credit_range import BaseModel, credit_range
from fieldapp.base.next_sounding import NextSounding, Settled, next_sounding
from fieldapp.base.sediment_map import NoMap, SedimentMap, sediment_map, simulate
from fieldapp.desk.projects.presets import preset
from fieldapp.desk.reckoning.curves import CurvePoint, Heads, curve_points, heads_of
from fieldapp.desk.reckoning.limits import LimitsHeld, WantedThickness, limits_held, wanted_thickness
from fieldapp.desk.reckoning.settling import SettlingAhead, settling_ahead
from fieldapp.exchange.bounded import read_at_most
from fieldapp.exchange.reckoning import CellLayer, EvenLayer, Layer, Reckoning, SoundedLayer
from fieldapp.exchange.reckoning_file import MOST_BYTES, read_reckoning
from fieldapp.fluid.forecast import Forecast
from fieldapp.units import Number, OutOfRange

Made = TypeVar("Made")


@dataclass(frozen=True, slots=True)
class AreaCell:
    """A part of the base: its label, its share of the area, its thickness [m], None where unread."""

    label: str
    share: float
    thickness_m: Number | None


@dataclass(frozen=True, slots=True, eq=False)
class Reckoned:
    """The answers to one file; a None or empty part was not asked, or ``missing`` says why."""

    asked: Reckoning
    cells: tuple[AreaCell, ...]
    model: BaseModel | None
    sediment: SedimentMap | NoMap | None
    next_places: tuple[tuple[str, NextSounding | Settled], ...]
    credit: Credit | None
    curve: tuple[CurvePoint, ...]
    heads: Heads | None
    wanted: tuple[WantedThickness, ...]
    limits: tuple[LimitsHeld, ...]
    ahead: SettlingAhead | None
    missing: tuple[str, ...]


def reckon(path: Path) -> Reckoned:
    """Answer a reckoning file.  Raises ReckoningRefused with all its problems, OSError."""
    return reckoned(read_reckoning(read_at_most(path, MOST_BYTES), path.name, preset))


def reckoned(asked: Reckoning) -> Reckoned:
    """Answer what was asked.  A quantity that leaves its range on the way is told in ``missing``."""
    answer = _Answer(asked, [])
    cells = _cells(asked.layer)
    model = _model(asked, answer.missing)
    sediment = _map(asked.layer, asked)
    if isinstance(sediment, NoMap):
        answer.missing.append(f"a sediment map: {sediment.why}")
    cover = _cover(asked.layer, cells, answer.missing)
    credit = None
    if model is not None and cover is not None:
        maps = _maps(sediment, asked)
        credit = answer.of("credit", lambda: credit_range(model, cover, asked.spread, asked.curves.at, maps))
    return Reckoned(
        asked=asked,
        cells=cells,
        model=model,
        sediment=sediment,
        next_places=_places(asked),
        credit=credit,
        curve=()
        if model is None
        else answer.of("base curve", lambda: curve_points(asked, model, cover)) or (),
        heads=_heads(answer, model, cover, credit),
        wanted=_wanted(answer, model),
        limits=tuple(limits_held(asked, each, model, answer.missing) for each in asked.limits),
        ahead=_ahead(answer, cells),
        missing=tuple(dict.fromkeys(answer.missing)),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Answer:
    """Answers part after part; one that leaves its range is missing with its sentence."""

    asked: Reckoning
    missing: list[str]

    def of(self, what: str, make: Callable[[], Made]) -> Made | None:
        """The part, or None with the reason among what is missing."""
        try:
            return make()
        except OutOfRange as refused:
            self.missing.append(f"{what}: {refused}")
            return None


def _model(asked: Reckoning, missing: list[str]) -> BaseModel | None:
    base = asked.base
    if base.ground is None:
        missing.append("credit and curves: the file gives no modulus of the ground and no GSI")
    if base.nominal is None or base.unit_base is None:
        missing.append("credit and curves: the file gives no nominal base resistance, stated or by a rule")
    if base.ground is None or base.nominal is None or base.unit_base is None:
        return None
    against = [each.says for each in base.unit_base.conditions if each.holds is False]
    if against:
        missing.append(f"credit and curves: no base resistance may be counted. {' '.join(against)}")
        return None
    return BaseModel(base.ground, base.nominal, base.shape)


def _cells(layer: Layer | None) -> tuple[AreaCell, ...]:
    if isinstance(layer, EvenLayer):
        return (AreaCell("whole base", 1.0, layer.thickness_m),)
    if isinstance(layer, CellLayer):
        parts = enumerate(zip(layer.share, layer.thickness_m, strict=True), start=1)
        return tuple(AreaCell(str(n), float(share), thick) for n, (share, thick) in parts)
    if isinstance(layer, SoundedLayer):
        disk = layer.soundings.disk
        areas = nearest_point_areas(layer.soundings.xy_m, disk.radius_m) / disk.area_m2
        rows = zip(layer.labels, areas.tolist(), layer.soundings.thickness_m, strict=True)
        return tuple(AreaCell(*row) for row in rows)
    return ()


def _cover(layer: Layer | None, cells: tuple[AreaCell, ...], missing: list[str]) -> Cover | None:
    unread = [each.label for each in cells if each.thickness_m is None]
    if unread:
        missing.append(
            f"credit: no reading at {', '.join(unread)}; unknown is never clean, so only bounds of the share "
            "are given"
        )
    if unread or not cells:
        return None
    places = layer.soundings.xy_m if isinstance(layer, SoundedLayer) else None
    thick = [float(each.thickness_m) for each in cells if each.thickness_m is not None]
    return Cover.of(thick, [each.share for each in cells], places)


def _map(layer: Layer | None, asked: Reckoning) -> SedimentMap | NoMap | None:
    if not isinstance(layer, SoundedLayer):
        return None
    return sediment_map(layer.soundings, asked.maps.assumptions)


def _maps(sediment: SedimentMap | NoMap | None, asked: Reckoning) -> Cover | None:
    if not isinstance(sediment, SedimentMap):
        return None
    maps = simulate(sediment, asked.maps.draws)
    return Cover.of(maps.thickness_m, maps.weight)


def _places(asked: Reckoning) -> tuple[tuple[str, NextSounding | Settled], ...]:
    """Where the next sounding tells most, for each set of limits, or for the map without any."""
    if not isinstance(asked.layer, SoundedLayer):
        return ()
    points, maps = asked.layer.soundings, asked.maps
    if not asked.limits:
        return (("", next_sounding(points, None, maps.draws, maps.assumptions)),)
    return tuple(
        (each.name, next_sounding(points, each.asked, maps.draws, maps.assumptions)) for each in asked.limits
    )


def _curve(answer: _Answer, model: BaseModel | None, cover: Cover | None) -> tuple[CurvePoint, ...]:
    if model is None:
        return ()
    return answer.of("base curve", lambda: curve_points(answer.asked, model, cover)) or ()


def _heads(
    answer: _Answer, model: BaseModel | None, cover: Cover | None, credit: Credit | None
) -> Heads | None:
    asked = answer.asked
    if model is None or cover is None or asked.shaft.body is None:
        if asked.shaft.body is not None and (model is None or not asked.limits):
            answer.missing.append("head curves: they need the ground, the nominal base and the sediment")
        elif asked.shaft.factors is not None:
            answer.missing.append("what is at stake: the file gives no side")
        return None
    if asked.shaft.demand_mn is not None and asked.shaft.factors is None:
        answer.missing.append("factored resistance against the demand: the file gives no resistance factors")
    return answer.of("head curves", lambda: heads_of(asked, model, cover, credit))


def _wanted(answer: _Answer, model: BaseModel | None) -> tuple[WantedThickness, ...]:
    asked = answer.asked
    if model is None or not asked.wanted:
        return ()
    return answer.of("thickness for a wanted credit", lambda: wanted_thickness(asked, model)) or ()


def _ahead(answer: _Answer, cells: tuple[AreaCell, ...]) -> SettlingAhead | None:
    if answer.asked.fluid is None:
        return None
    parts = [(each.thickness_m, each.share) for each in cells]
    ahead = answer.of("forecast", lambda: settling_ahead(answer.asked, parts))
    lacks = () if ahead is None or isinstance(ahead.answer, Forecast) else ahead.answer.missing
    if lacks:
        answer.missing.append(f"forecast: {', '.join(lacks)}")
    return ahead
