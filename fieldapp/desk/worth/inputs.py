"""From the record to what the base models need: soundings, limits, ground, nominal values.

What the record does not hold is named, never filled in: a credit without its ground is not shown.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

import numpy as np

from fieldapp.base.assured import AskedOfBase
from fieldapp.base.base_curve import Ground, Nominal
from fieldapp.base.bearing import UnitBase, intact_rock_base, stated_base
from fieldapp.base.conditions import BaseEvidence
from fieldapp.base.credit import Cover
from fieldapp.base.credit_range import BaseModel, Displacements
from fieldapp.base.disk import BaseDisk
from fieldapp.base.factored import Factors
from fieldapp.base.head_march import ShaftBody
from fieldapp.base.rock_mass import rock_mass_modulus_mpa
from fieldapp.base.sediment import SedimentSpread, Spread
from fieldapp.base.sediment_map import Draws, Soundings
from fieldapp.base.side_curve import Side, SideLayer
from fieldapp.base.stake import Socket
from fieldapp.criteria.finding import Standing
from fieldapp.criteria.look import Look
from fieldapp.criteria.rounds import RoundFacts
from fieldapp.criteria.spread import place_m
from fieldapp.record.hole import BaseSighting
from fieldapp.record.reading import Reading
from fieldapp.record.said import said
from fieldapp.record.setup import DesignNumbers, ShaftScheduled
from fieldapp.record.shaft import ShaftRecord
from fieldapp.record.words import Caution, Seen

SIMULATIONS: Final = 500
USUAL_CONFIDENCE: Final = 0.95
# Rock of moderate quality, 0.15 to 0.3; credit hangs on E/(1 - nu^2), so little on this (judgment).
POISSON_RATIO: Final = 0.25
AS_STATED: Final = "as stated by the designer"


@dataclass(frozen=True, slots=True)
class WorthInputs:
    """What the record gives; each part is None when it does not, and ``missing`` says what to enter."""

    soundings: Soundings
    asked: AskedOfBase | None
    confidence: float
    draws: Draws
    model: BaseModel | None
    unit_base: UnitBase | None
    displacements: Displacements
    spread: SedimentSpread
    shaft: ShaftBody | None
    factors: Factors | None
    demand_mn: float | None
    missing: tuple[str, ...]


def worth_inputs(look: Look, facts: RoundFacts, standing: Standing) -> WorthInputs:
    """Gather the inputs of a shaft from its latest round, its plan and its limits."""
    design = look.scheduled.design or DesignNumbers()
    missing: list[str] = []
    unit_base = _unit_base(look, design, standing)
    ground = _ground(look, design)
    if unit_base is None:
        missing.append(said("nominal base resistance, or rock strength with what its rule asks for"))
    if ground is None:
        missing.append(said("rock modulus, or geological strength index"))
    shaft = _shaft(look, design)
    if shaft is None:
        missing.append(said("nominal side resistance and socket top, for the combined curve"))
    factors = _factors(design)
    if factors is None:
        missing.append(said("resistance factors of base and side"))
    soundings = _soundings(look, facts)
    nominal = None if unit_base is None else _nominal(look, design, unit_base)
    return WorthInputs(
        soundings=soundings,
        asked=asked_of_base(look),
        confidence=float(look.setup.confidence.si) if look.setup.confidence else USUAL_CONFIDENCE,
        draws=Draws(SIMULATIONS, soundings.seed),
        model=BaseModel(ground, nominal) if ground is not None and nominal is not None else None,
        unit_base=unit_base,
        displacements=_displacements(design),
        spread=_spread(look),
        shaft=shaft,
        factors=factors,
        demand_mn=_number(design.demand),
        missing=tuple(missing),
    )


def plan_without_numbers(shaft: ShaftRecord) -> str:
    """The entry that scheduled a shaft without its nominal base resistance or its ground; empty for none."""
    planned = shaft.of(ShaftScheduled)
    if not planned:
        return ""
    design = planned[-1].values.design or DesignNumbers()
    has_base = design.nominal_base is not None or design.rock_strength is not None
    has_ground = design.rock_modulus is not None or design.geological_strength_index is not None
    return "" if has_base and has_ground else planned[-1].id


@dataclass(frozen=True, slots=True)
class CountedOn:
    """What the design counts on, whatever the base is like: socket, base and side, with their factors."""

    socket: Socket
    factors: Factors


def counted_on(look: Look, standing: Standing) -> CountedOn | None:
    """What the design counts on, or None where the designer's numbers do not give all of it."""
    design = look.scheduled.design or DesignNumbers()
    unit_base, body, factors = _unit_base(look, design, standing), _shaft(look, design), _factors(design)
    if unit_base is None or body is None or factors is None:
        return None
    layer = body.side.layers[0]
    socket = Socket(body.diameter_m, layer.length_m, layer.unit_side_mpa, unit_base.unit_base_mpa)
    return CountedOn(socket, factors)


def measured_cover(facts: RoundFacts, soundings: Soundings) -> Cover | None:
    """The sediment as measured, by nearest-point areas; None when a point has no thickness."""
    thickness = [each for each in facts.thickness_m if each is not None]
    if len(thickness) < len(facts.thickness_m):
        return None
    weights = np.array([float(each) for each in facts.weights])
    return Cover.of([float(each) for each in thickness], weights, soundings.xy_m)


def _number(reading: Reading | None) -> float | None:
    return None if reading is None else float(reading.si)


def _soundings(look: Look, facts: RoundFacts) -> Soundings:
    places = [place_m(each) for each in facts.line.values.points]
    return Soundings(BaseDisk(float(look.scheduled.diameter.si)), np.array(places), facts.thickness_m)


def asked_of_base(look: Look) -> AskedOfBase | None:
    """What the acceptance set asks of the area share and the largest, or None when it does not."""
    limit, share = look.limit("area_fraction_limit"), look.limit("area_fraction_min")
    cap = look.limit("max_thickness_anywhere")
    if limit is None or share is None or limit.reading is None or share.reading is None:
        return None
    has_cap = cap is not None and cap.reading is not None
    return AskedOfBase(
        limit_m=limit.reading.si,
        strict=limit.strict,
        share_min=share.reading.si,
        cap_m=cap.reading.si if cap is not None and cap.reading is not None else None,
        cap_strict=cap.strict if cap is not None and has_cap else False,
    )


def _ground(look: Look, design: DesignNumbers) -> Ground | None:
    diameter_m = float(look.scheduled.diameter.si)
    if design.rock_modulus is not None:
        return Ground(diameter_m, float(design.rock_modulus.si), POISSON_RATIO)
    if design.geological_strength_index is not None:
        modulus = rock_mass_modulus_mpa(float(design.geological_strength_index.si))
        return Ground(diameter_m, modulus, POISSON_RATIO)
    return None


def _unit_base(look: Look, design: DesignNumbers, standing: Standing) -> UnitBase | None:
    """The designer's own value, else 2.5 q_u where the record shows every condition of that rule."""
    evidence = _evidence(look, standing)
    if design.nominal_base is not None:
        return stated_base(float(design.nominal_base.si), evidence)
    if design.rock_strength is None:
        return None
    ruled = intact_rock_base(float(design.rock_strength.si), evidence)
    return ruled if ruled.usable else None


def _evidence(look: Look, standing: Standing) -> BaseEvidence:
    sightings = look.lines(BaseSighting)
    void = any(Seen.VOID in each.values.seen for each in sightings) if sightings else None
    return BaseEvidence(
        diameter_m=float(look.scheduled.diameter.si),
        void=void,
        karst=Caution.KARST in look.scheduled.cautions,
        base_clean={Standing.CLEAN: True, Standing.NOT_SHOWN: None}.get(standing, False),
        socket_length_m=_socket_m(look),
    )


def _socket_m(look: Look) -> float | None:
    plan = look.scheduled
    if plan.socket_top_elevation is None:
        return None
    top = plan.reference_elevation.si - plan.socket_top_elevation.si
    length: Fraction = (look.base_depth or plan.plan_depth_m) - top
    return float(length) if length > 0 else None


def _nominal(look: Look, design: DesignNumbers, unit_base: UnitBase) -> Nominal:
    if design.strength_displacement is not None and design.strength_displacement.si > 0:
        return Nominal(unit_base.unit_base_mpa, float(design.strength_displacement.si))
    return Nominal.at_usual_displacement(unit_base.unit_base_mpa, float(look.scheduled.diameter.si))


def _spread(look: Look) -> SedimentSpread:
    """The usual parameters of sediment, with the locking strain that the designer adopted, if any."""
    usual, adopted = SedimentSpread(), look.number("sediment_locking_strain")
    if adopted is None:
        return usual
    strain = usual.locking_strain
    best = float(adopted)
    return replace(usual, locking_strain=Spread(min(strain.least, best), best, max(strain.greatest, best)))


def _displacements(design: DesignNumbers) -> Displacements:
    service = design.service_displacement
    return Displacements(float(service.si)) if service is not None and service.si > 0 else Displacements()


def _shaft(look: Look, design: DesignNumbers) -> ShaftBody | None:
    length_m = _socket_m(look)
    if design.nominal_side is None or length_m is None:
        return None
    side = Side((SideLayer(length_m, float(design.nominal_side.si)),))
    return ShaftBody(float(look.scheduled.diameter.si), side)


def _factors(design: DesignNumbers) -> Factors | None:
    if design.base_factor is None or design.side_factor is None:
        return None
    return Factors(float(design.side_factor.si), float(design.base_factor.si), AS_STATED)
