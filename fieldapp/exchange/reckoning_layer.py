"""The sediment of a reckoning file, and what is taken for granted of it: parameters, maps, confidence."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from typing import Final

import numpy as np

from fieldapp.base.areas import MOST_POINTS
from fieldapp.base.covariance import SEED, SIMULATIONS
from fieldapp.base.credit_range import FEWEST_MAPS
from fieldapp.base.disk import RADIUS, BaseDisk, FloatArray, polar_to_xy_m
from fieldapp.base.field_fit import MapAssumptions
from fieldapp.base.quantities import SEDIMENT
from fieldapp.base.sediment import LOCKING_STRAIN, MODULUS, SedimentSpread, Spread
from fieldapp.base.sediment_map import Draws, Soundings
from fieldapp.exchange.reckoning import CellLayer, EvenLayer, Layer, MapAsked, SoundedLayer
from fieldapp.exchange.reckoning_table import Table, in_both
from fieldapp.units import Range

SEDIMENT_KEYS: Final = ("uniform", "cells", "soundings")
CELL_KEYS: Final = ("thickness", "share")
SOUNDING_KEYS: Final = ("label", "r", "angle", "thickness")
PARAMETER_KEYS: Final = (
    "sediment_modulus",
    "locking_strain",
    "correlation_length",
    "sounding_doubt",
    "confidence",
    "simulations",
    "seed",
)
NO_READING: Final = "no reading"
_SHARE: Final = Range("share of the base", "", 0.0, 1.0, open_below=True)
_PLACE: Final = Range("distance from the centre", "m", 0.0, RADIUS.most)
_ANGLE: Final = Range("angle, clockwise from upstation", "deg", -360.0, 360.0)
_LENGTH: Final = Range("correlation length over the radius", "", 0.05, 10.0)
_DOUBT: Final = Range("standard deviation of a sounding", "m", 0.0, 0.1)
_CONFIDENCE: Final = Range("one-sided confidence", "", 0.5, 0.999)
_MAPS: Final = Range("number of simulations", "", FEWEST_MAPS, min(SIMULATIONS.most, 20_000))
_SUM_SLACK: Final = Fraction(1, 10**6)
_USUAL: Final = MapAssumptions()
_SPREAD: Final = SedimentSpread()
_THREE: Final = 3


def read_layer(top: Table, diameter_m: float | None) -> Layer | None:
    """Sediment as one thickness, cells or soundings; None when the file holds none."""
    table = top.table("sediment", SEDIMENT_KEYS)
    kind = table.one_of(*SEDIMENT_KEYS, needed="sediment" in top)
    even = table.quantity("uniform", SEDIMENT)
    cells, points = table.tables("cells", CELL_KEYS), table.tables("soundings", SOUNDING_KEYS, MOST_POINTS)
    made_of_cells, made_of_points = _cells(table, cells), _soundings(table, points, diameter_m)
    layers: dict[str, Layer | None] = {
        "uniform": None if even is None else EvenLayer(even),
        "cells": made_of_cells,
        "soundings": made_of_points,
    }
    return None if kind is None else layers[kind]


def _cells(table: Table, cells: tuple[Table, ...]) -> CellLayer | None:
    thick = [each.quantity("thickness", SEDIMENT, needed=True) for each in cells]
    share = [each.quantity("share", _SHARE, needed=True) for each in cells]
    known = tuple(each for each in thick if each is not None)
    shares = tuple(each for each in share if each is not None)
    if "cells" in table and not cells:
        table.wrong("cells", "no cell", "at least one, each with thickness and share")
    if not cells or len(known) < len(thick) or len(shares) < len(share):
        return None
    whole = sum(shares, Fraction(0))
    if abs(whole - 1) > _SUM_SLACK:
        table.wrong("cells", f"shares that sum to {float(whole):g}", "shares that sum to 1, or 100 %")
        return None
    return CellLayer(known, shares)


def _soundings(table: Table, points: tuple[Table, ...], diameter_m: float | None) -> SoundedLayer | None:
    if "soundings" in table and not points:
        table.wrong("soundings", "no point", "at least one, each with r, angle and thickness")
    places = [_place(each) for each in points]
    thick = [_thickness(each) for each in points]
    labels = tuple(each.text("label", str(number)) for number, each in enumerate(points, start=1))
    found = [each for each in places if each is not None]
    if not points or diameter_m is None or len(found) < len(places):
        return None
    made = table.faults.made(
        table.at("soundings"),
        lambda: Soundings(BaseDisk(diameter_m), _array(found), thick),
    )
    return None if made is None else SoundedLayer(labels, made)


def _array(places: list[tuple[float, float]]) -> FloatArray:
    return np.array(places, dtype=np.float64)


def _place(point: Table) -> tuple[float, float] | None:
    r = point.quantity("r", _PLACE, needed=True)
    angle = point.quantity("angle", _ANGLE, needed=r != 0)
    if r == 0:
        return 0.0, 0.0
    return None if r is None or angle is None else polar_to_xy_m(float(r), float(angle))


def _thickness(point: Table) -> Fraction | None:
    if point.content.get("thickness") == NO_READING:
        return None
    return point.quantity("thickness", SEDIMENT, needed=True)


def read_spread(
    table: Table, modulus_range_mpa: tuple[float, float] | None, assumed: list[str]
) -> SedimentSpread:
    """Ranges of the sediment's parameters; ``assumed`` grows by those that were taken."""
    modulus = _spread(table, "sediment_modulus", MODULUS)
    strain = _spread(table, "locking_strain", LOCKING_STRAIN)
    if "sediment_modulus" not in table:
        assumed.append("sediment modulus M_0 0.2, 1 and 5 MPa (4, 21 and 104 ksf), judgment")
    if "locking_strain" not in table:
        assumed.append("locking strain 15, 35 and 60 %, judgment")
    return SedimentSpread(modulus or _SPREAD.modulus_mpa, strain or _SPREAD.locking_strain, modulus_range_mpa)


def _spread(table: Table, key: str, limits: Range) -> Spread | None:
    read = table.quantities(key, limits)
    if read is None:
        return None
    if len(read) not in {1, _THREE} or any(b < a for a, b in pairwise(read)):
        table.wrong(key, table.content[key], "one value, or least, best and greatest in this order")
        return None
    return Spread(float(read[0]), float(read[len(read) // 2]), float(read[-1]))


def read_maps(table: Table, assumed: list[str], *, sounded: bool) -> MapAsked:
    """How maps are made and the confidence asked; what was taken is told where there are soundings."""
    length, doubt = table.quantity("correlation_length", _LENGTH), table.quantity("sounding_doubt", _DOUBT)
    confidence = table.quantity("confidence", _CONFIDENCE)
    simulations, seed = table.count("simulations", _MAPS), table.count("seed", SEED)
    usual = {
        "correlation_length": "correlation length half the radius, fitted from 8 readings on (judgment)",
        "sounding_doubt": f"doubt of a sounding {in_both(_USUAL.noise_sd_m, 'mm', 'in')} (judgment)",
        "confidence": "one-sided confidence 95 %",
        "simulations": "500 simulated maps",
        "seed": "seed 1 of the simulated maps",
    }
    if sounded:
        assumed += [said for key, said in usual.items() if key not in table]
    return MapAsked(
        MapAssumptions(
            None if length is None else float(length),
            _USUAL.noise_sd_m if doubt is None else float(doubt),
        ),
        Draws(500 if simulations is None else simulations, 1 if seed is None else seed),
        0.95 if confidence is None else float(confidence),
    )
