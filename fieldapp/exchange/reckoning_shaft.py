"""The side of the shaft, resistance factors and demand of a reckoning file."""

from __future__ import annotations

from typing import Final, cast

from fieldapp.base.factored import Factors
from fieldapp.base.head_march import ShaftBody
from fieldapp.base.quantities import (
    CONCRETE_MODULUS,
    DISPLACEMENT,
    FACTOR,
    FORCE,
    LENGTH,
    STRENGTH,
    UNIT_SIDE,
)
from fieldapp.base.rock_mass import RQD, Joints, joint_factor
from fieldapp.base.side_curve import ROCK_FULL_M, Side, SideLayer, SideShape, Softening
from fieldapp.base.side_resistance import SocketRock, UnitSide, rock_side, stated_side
from fieldapp.exchange.reckoning import ShaftAsked
from fieldapp.exchange.reckoning_table import Table, in_both
from fieldapp.units import Range

SHAFT_KEYS: Final = (
    "concrete_modulus",
    "concrete_strength",
    "side_curve",
    "residual_share",
    "residual_at",
)
SIDE_KEYS: Final = (
    "length",
    "unit_side",
    "rock_strength",
    "side_factor",
    "rqd",
    "joints",
    "full_displacement",
)
FACTOR_KEYS: Final = ("base", "side", "edition", "demand")
_MOST_LAYERS: Final = 50
_CURVES: Final = ("elastic-plastic", "hyperbolic", "softening")
_C: Final = Range("side factor C", "", 0.0, 3.0, open_below=True)
_RESIDUAL: Final = Range("residual over peak side resistance", "", 0.0, 1.0)
_RESIDUAL_AT: Final = Range("displacement of the residual over that of the peak", "", 1.0, 1000.0, True)
_CONCRETE_MPA: Final = 30_000.0


def side_length_m(top: Table) -> float | None:
    """Length of the side [m] as the file gives it, before problems are told; None when it does not."""
    quiet = Table(type(top.faults)(top.faults.file), "", top.content, tuple(top.content))
    known = [each.quantity("length", LENGTH) for each in quiet.tables("side", SIDE_KEYS, _MOST_LAYERS)]
    lengths = [float(each) for each in known if each is not None]
    return sum(lengths) if lengths and len(lengths) == len(known) else None


def read_shaft(top: Table, diameter_m: float | None, assumed: list[str]) -> ShaftAsked:
    """Side layers from the head down, factors and demand; ``assumed`` grows by what was taken."""
    shaft = top.table("shaft", SHAFT_KEYS)
    tables = top.tables("side", SIDE_KEYS, _MOST_LAYERS)
    modulus = shaft.quantity("concrete_modulus", CONCRETE_MODULUS)
    strength = shaft.quantity("concrete_strength", STRENGTH)
    read = [_layer(each, None if strength is None else float(strength), assumed) for each in tables]
    side = _side(shaft, [each for each in read if each is not None])
    body = None
    if side is not None and diameter_m is not None and len(read) == len(side.layers):
        stiff = _CONCRETE_MPA if modulus is None else float(modulus)
        if "concrete_modulus" not in shaft:
            assumed.append(f"modulus of the concrete {in_both(_CONCRETE_MPA, 'MPa', 'ksi')} (judgment)")
        body = top.faults.made("shaft", lambda: ShaftBody(diameter_m, side, stiff))
    factors, demand = _factors(top.table("factors", FACTOR_KEYS))
    unit_sides = tuple(each[1] for each in read if each is not None)
    return ShaftAsked(body, unit_sides, factors, demand)


def _layer(table: Table, concrete_mpa: float | None, assumed: list[str]) -> tuple[SideLayer, UnitSide] | None:
    length = table.quantity("length", LENGTH, needed=True)
    full = table.quantity("full_displacement", DISPLACEMENT)
    unit = _unit_side(table, concrete_mpa, assumed)
    if "full_displacement" not in table:
        assumed.append(f"{table.path}: full side at {in_both(ROCK_FULL_M, 'mm', 'in')} (rock, judgment)")
    if length is None or unit is None:
        return None
    moved = ROCK_FULL_M if full is None else float(full)
    made = table.faults.made(table.path, lambda: SideLayer(float(length), unit.unit_side_mpa, moved))
    return None if made is None else (made, unit)


def _unit_side(table: Table, concrete_mpa: float | None, assumed: list[str]) -> UnitSide | None:
    kind = table.one_of("unit_side", "rock_strength")
    stated, q_u = table.quantity("unit_side", UNIT_SIDE), table.quantity("rock_strength", STRENGTH)
    factor, joints = table.quantity("side_factor", _C), _joints(table)
    if kind == "unit_side":
        for key in ("side_factor", "rqd", "joints"):
            if key in table:
                table.wrong(key, table.content[key], "no such value: a stated unit_side does not use it")
        return None if stated is None else stated_side(float(stated))
    if kind is None or q_u is None or joints is None:
        return None
    if "side_factor" not in table:
        assumed.append(f"{table.path}: side factor C 1.0, for a normal socket")
    if "rqd" not in table:
        assumed.append(f"{table.path}: no reduction of the side for joints, as no rqd is given")
    c = 1.0 if factor is None else float(factor)
    return table.faults.made(table.path, lambda: rock_side(SocketRock(float(q_u), concrete_mpa), c, joints))


def _joints(table: Table) -> float | None:
    """Reduction for joints, 1 without core quality; None when something is wrong."""
    rqd, joints = table.quantity("rqd", RQD), table.word("joints", ("closed", "open"))
    if "rqd" not in table and "joints" not in table:
        return 1.0
    for key in ("rqd", "joints"):
        if key not in table:
            table.wrong(key, "nothing", "both rqd and joints, or neither")
    if rqd is None or joints is None:
        return None
    return joint_factor(float(rqd), cast("Joints", joints))


def _side(shaft: Table, read: list[tuple[SideLayer, UnitSide]]) -> Side | None:
    shape = shaft.word("side_curve", _CURVES, "elastic-plastic")
    share, at = shaft.quantity("residual_share", _RESIDUAL), shaft.quantity("residual_at", _RESIDUAL_AT)
    for key in ("residual_share", "residual_at"):
        if shape == "softening" and key not in shaft:
            shaft.wrong(key, "nothing", "its value, which the side_curve 'softening' needs")
        if shape != "softening" and key in shaft:
            shaft.wrong(key, shaft.content[key], "no such value: only the side_curve 'softening' uses it")
    soft = None if share is None or at is None else Softening(float(share), float(at))
    if not read or shape is None or (shape == "softening") != (soft is not None):
        return None
    layers = tuple(layer for layer, _ in read)
    return shaft.faults.made("shaft", lambda: Side(layers, cast("SideShape", shape), soft))


def _factors(table: Table) -> tuple[Factors | None, float | None]:
    base, side = table.quantity("base", FACTOR), table.quantity("side", FACTOR)
    demand, edition = table.quantity("demand", FORCE), table.text("edition")
    if "base" in table or "side" in table:
        for key in ("base", "side", "edition"):
            if key not in table:
                table.wrong(key, "nothing", "base, side and the edition that they are from")
    number = None if demand is None else float(demand)
    if base is None or side is None or not edition:
        return None, number
    return Factors(float(side), float(base), edition), number
