"""Credit of one base at service and strength displacement, with the range that doubt leaves open.

Low, best and high come from the corners of the sediment's parameters (credit rises with the modulus and
falls with the locking strain, in every cell), from a scan over the ground's modulus where the designer
states a range (credit may rise or fall with it), and from simulated maps.  Nothing here raises a
designer's value.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from fieldapp.base.base_curve import BaseCurve, Ground, Nominal, Shape, base_curve
from fieldapp.base.credit import ECCENTRICITY_WARNING, Cover, credit, eccentricity_over_diameter
from fieldapp.base.credit_facts import Bound, Credit, CreditAt, CreditSpan, MapCredit
from fieldapp.base.disk import FloatArray
from fieldapp.base.quantities import DISPLACEMENT
from fieldapp.base.sediment import Sediment, SedimentSpread
from fieldapp.units import OutOfRange, show

SERVICE_M: Final = 0.010
LOW_SHARE: Final = 0.05
FEWEST_MAPS: Final = 20
_MODULI: Final = 9
_WITH_MAPS: Final = 2


@dataclass(frozen=True, slots=True)
class BaseModel:
    """What a base curve is made of: the ground, the designer's nominal value, and the shape."""

    ground: Ground
    nominal: Nominal
    shape: Shape = "hyperbola"

    @property
    def curve(self) -> BaseCurve:
        """The clean base curve."""
        return base_curve(self.ground, self.nominal, self.shape)

    def curve_at(self, modulus_mpa: float) -> BaseCurve:
        """The clean base curve with another modulus of the ground [MPa].  Raises OutOfRange."""
        return base_curve(replace(self.ground, modulus_mpa=modulus_mpa), self.nominal, self.shape)


@dataclass(frozen=True, slots=True)
class Displacements:
    """Base displacements [m] at which credit is told, more than 0 and at most 5 m, else OutOfRange.

    Service 10 mm (judgment); strength None is the displacement at which the nominal value is meant.
    """

    service_m: float = SERVICE_M
    strength_m: float | None = None

    def __post_init__(self) -> None:
        DISPLACEMENT.check(self.service_m)
        if self.strength_m is not None:
            DISPLACEMENT.check(self.strength_m)


def credit_range(
    model: BaseModel,
    cover: Cover,
    spread: SedimentSpread,
    at: Displacements,
    maps: Cover | None = None,
) -> Credit:
    """Credit at service and strength displacement, low, best and high.

    Parameters
    ----------
    model
        Ground, nominal value and shape of the clean curve.
    cover
        The sediment as measured, shape (cells,).
    spread
        Ranges of the parameters.
    at
        The two displacements.
    maps
        Simulated maps, shape (maps, cells), at least 20, on cells of their own; or None.

    Raises
    ------
    OutOfRange
        A cover that is not one map, too few maps for a 5 % value, a value outside its range.

    Notes
    -----
    Mechanics sections 3.2 and 3.5 (C25); ranges are judgment and ``caveats`` belong to every number.
    """
    asked = _asked(model, cover, spread, maps)
    service, strength = (_credit_at(asked, moved_m) for moved_m in _moved_m(model, at))
    area_m2, nominal_mpa = model.ground.area_m2, model.nominal.unit_base_mpa
    reached_mpa = float(model.curve.clean_mpa(model.nominal.displacement_m))
    supported_mn = area_m2 * (nominal_mpa if model.curve.reaches_nominal else min(nominal_mpa, reached_mpa))
    return Credit(
        service=service,
        strength=strength,
        nominal_mn=area_m2 * nominal_mpa,
        supported_mn=supported_mn,
        credited_mn=supported_mn * strength.credit,
        credited_lowest_mn=supported_mn * strength.lowest,
    )


def credit_spans(
    model: BaseModel,
    cover: Cover,
    spread: SedimentSpread,
    at: Displacements,
    maps: Cover | None = None,
) -> tuple[CreditSpan, CreditSpan]:
    """Lowest, best and greatest credit at service and strength displacement, for a table of many bases.

    The same numbers as those of ``credit_range``, from the same arguments and with the same errors; what
    the maps say beyond their low end is left out, which is most of the work.
    """
    asked = _asked(model, cover, spread, maps)
    service, strength = (_span(asked, moved_m) for moved_m in _moved_m(model, at))
    return service, strength


def _moved_m(model: BaseModel, at: Displacements) -> tuple[float, float]:
    """Service and strength displacement [m]."""
    return at.service_m, at.strength_m or model.nominal.displacement_m


def _asked(model: BaseModel, cover: Cover, spread: SedimentSpread, maps: Cover | None) -> _Asked:
    if cover.thickness_m.ndim != 1:
        raise OutOfRange("the measured cover", f"shape {cover.thickness_m.shape}", "one map, shape (cells,)")
    if maps is not None and (maps.thickness_m.ndim != _WITH_MAPS or len(maps.thickness_m) < FEWEST_MAPS):
        raise OutOfRange("shape of the maps", str(maps.thickness_m.shape), f"{FEWEST_MAPS} maps or more")
    return _Asked(model, cover, spread, maps, _curves(model, spread))


@dataclass(frozen=True, slots=True, eq=False)
class _Asked:
    """The question of credit_range; ``curves`` by modulus of the ground, the model's own first."""

    model: BaseModel
    cover: Cover
    spread: SedimentSpread
    maps: Cover | None
    curves: dict[float, BaseCurve]

    def bounds(self, sediment: Sediment, moved_m: float) -> list[Bound]:
        """Credit of the measured cover with every modulus."""
        return [
            Bound(float(credit(curve, self.cover, sediment, moved_m)), sediment, modulus)
            for modulus, curve in self.curves.items()
        ]


def _curves(model: BaseModel, spread: SedimentSpread) -> dict[float, BaseCurve]:
    """The curve with the model's modulus and over the stated range.

    With q_N and w_N held, a stiffer ground lowers credit at small displacement and raises it near w_N,
    so neither end is safe by itself: the ends, values between, and both sides of the modulus that just
    reaches the nominal value are looked at.  A scan ten times finer finds less than 0.005 beyond it.
    """
    moduli = [model.ground.modulus_mpa]
    if spread.ground_modulus_mpa is not None:
        least, greatest = spread.ground_modulus_mpa
        moduli += [float(each) for each in np.geomspace(least, greatest, _MODULI)]
        per_modulus = model.ground.stiffness_mpa_per_m / model.ground.modulus_mpa
        just = model.nominal.unit_base_mpa / (model.nominal.displacement_m * per_modulus)
        moduli += [side for side in (just * (1 - 1e-9), just * (1 + 1e-9)) if least < side < greatest]
    return {modulus: model.curve_at(modulus) for modulus in moduli}


def _ends(asked: _Asked, moved_m: float) -> tuple[float, Bound, Bound]:
    """Credit with the best parameters, the least bound and the greatest."""
    best_sediment = asked.spread.best
    best = float(credit(asked.model.curve, asked.cover, best_sediment, moved_m))
    middle = Bound(best, best_sediment, asked.model.ground.modulus_mpa)
    least = min(*asked.bounds(asked.spread.softest, moved_m), middle, key=lambda bound: bound.credit)
    greatest = max(*asked.bounds(asked.spread.stiffest, moved_m), middle, key=lambda bound: bound.credit)
    return best, least, greatest


def _span(asked: _Asked, moved_m: float) -> CreditSpan:
    best, least, greatest = _ends(asked, moved_m)
    lowest = least.credit
    if asked.maps is not None:
        lowest = min(lowest, _low(_over_maps(asked, asked.maps, least, moved_m)))
    return CreditSpan(moved_m, lowest, best, greatest.credit)


def _credit_at(asked: _Asked, moved_m: float) -> CreditAt:
    ground, curve, best_sediment = asked.model.ground, asked.model.curve, asked.spread.best
    best, least, greatest = _ends(asked, moved_m)
    clean_mn = float(curve.clean_mpa(moved_m)) * ground.area_m2
    stress = curve.over_sediment_mpa(moved_m, asked.cover.thickness_m, best_sediment)
    eccentricity = eccentricity_over_diameter(stress, asked.cover, ground.diameter_m)
    return CreditAt(
        displacement_m=moved_m,
        credit=best,
        least=least,
        greatest=greatest,
        maps=None if asked.maps is None else _map_credit(asked, asked.maps, (least, greatest), moved_m),
        clean_mn=clean_mn,
        as_built_mn=best * clean_mn,
        eccentricity=eccentricity,
        warnings=_warnings(curve, eccentricity, moved_m),
    )


def _map_credit(asked: _Asked, maps: Cover, ends: tuple[Bound, Bound], moved_m: float) -> MapCredit:
    best = credit(asked.model.curve, maps, asked.spread.best, moved_m)
    low, high = (_over_maps(asked, maps, end, moved_m) for end in ends)
    return MapCredit(
        maps=len(best),
        low=_low(best),
        median=float(np.median(best)),
        high=float(np.quantile(best, 1 - LOW_SHARE, method="higher")),
        low_softest=_low(low),
        high_stiffest=float(np.quantile(high, 1 - LOW_SHARE, method="higher")),
    )


def _over_maps(asked: _Asked, maps: Cover, end: Bound, moved_m: float) -> FloatArray:
    """Credit of every map with the parameters of a bound."""
    return credit(asked.curves[end.ground_modulus_mpa], maps, end.sediment, moved_m)


def _low(over_maps: FloatArray) -> float:
    return float(np.quantile(over_maps, LOW_SHARE, method="lower"))


def _warnings(curve: BaseCurve, eccentricity: float | None, moved_m: float) -> tuple[str, ...]:
    said = [] if curve.reaches_nominal else [curve.says]
    if eccentricity is not None and eccentricity > ECCENTRICITY_WARNING:
        said.append(
            f"At {show(moved_m, 'mm')} the base reacts {eccentricity:.2f} of its diameter off the centre, "
            f"over {ECCENTRICITY_WARNING:g}: tilt is not modelled, look at it (limit is judgment)."
        )
    return tuple(said)
