"""Base curve and head curves of a reckoning, with what is at stake and the demand."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from fieldapp.base.credit import Cover
from fieldapp.base.credit_facts import Credit, CreditAt
from fieldapp.base.credit_range import BaseModel, Displacements, credit_range
from fieldapp.base.factored import AgainstDemand, against_demand
from fieldapp.base.head_curve import HeadCurves, head_curves
from fieldapp.base.head_march import ShaftBody
from fieldapp.base.stake import Socket, Stake, at_stake
from fieldapp.exchange.reckoning import Reckoning

_FINE: Final = 200


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """One displacement [m] of the base curve: clean load [MN], and credit, None without sediment."""

    displacement_m: float
    clean_mn: float
    credit: CreditAt | None


@dataclass(frozen=True, slots=True, eq=False)
class Heads:
    """Head curves at the asked displacements; demand on a fine curve; stake with best and lowest credit."""

    curves: HeadCurves
    demand: AgainstDemand | None
    stake: Stake | None
    stake_lowest: Stake | None
    strength_m: float | None


def curve_points(asked: Reckoning, model: BaseModel, cover: Cover | None) -> tuple[CurvePoint, ...]:
    """The base curve at the asked displacements, clean and as built.  Raises OutOfRange."""
    area, curve = model.ground.area_m2, model.curve
    points = []
    for moved in asked.curves.base_m:
        at = None
        if cover is not None:
            at = credit_range(model, cover, asked.spread, Displacements(moved, moved)).service
        points.append(CurvePoint(moved, area * float(curve.clean_mpa(moved)), at))
    return tuple(points)


def heads_of(asked: Reckoning, model: BaseModel, cover: Cover, credit: Credit | None) -> Heads | None:
    """Head curves with the best parameters, demand and stake; None without a side.  Raises OutOfRange."""
    body, factors = asked.shaft.body, asked.shaft.factors
    if body is None:
        return None
    curves = head_curves(body, model, cover, asked.spread.best, np.array(asked.curves.head_m))
    if factors is None or credit is None:
        return Heads(curves, None, None, None, None)
    demand = None
    if asked.shaft.demand_mn is not None:
        fine = np.unique(np.concatenate([np.geomspace(0.0005, 0.15, _FINE), asked.curves.head_m]))
        all_heads = head_curves(body, model, cover, asked.spread.best, fine)
        demand = against_demand(all_heads, factors, asked.shaft.demand_mn, credit.supported_mn)
    socket = _socket(body, model)
    best, lowest = (min(1.0, each) for each in (credit.strength.credit, credit.strength.lowest))
    return Heads(
        curves,
        demand,
        at_stake(socket, factors, best),
        at_stake(socket, factors, lowest),
        credit.strength.displacement_m,
    )


def _socket(body: ShaftBody, model: BaseModel) -> Socket:
    """The socket as one layer with the mean unit side resistance."""
    length = body.side.length_m
    unit = body.side.nominal_mn(body.diameter_m) / (math.pi * body.diameter_m * length)
    return Socket(body.diameter_m, length, unit, model.nominal.unit_base_mpa)
