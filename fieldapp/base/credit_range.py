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
from fieldapp.base.credit import (
    CAVEATS,
    ECCENTRICITY_WARNING,
    Cover,
    credit,
    eccentricity_over_diameter,
)
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


@dataclass(frozen=True, slots=True)
class Bound:
    """An end of the parameter range: the credit and the parameters that gave it."""

    credit: float
    sediment: Sediment
    ground_modulus_mpa: float


@dataclass(frozen=True, slots=True)
class MapCredit:
    """Credit over simulated maps: 5 %, 50 % and 95 % value with the best parameters.

    ``low_softest`` is the 5 % value with the parameters of least credit, ``high_stiffest`` the 95 % value
    with those of greatest: both doubts together.  The 5 % values are rounded down to a simulated one.
    """

    maps: int
    low: float
    median: float
    high: float
    low_softest: float
    high_stiffest: float


@dataclass(frozen=True, slots=True)
class CreditAt:
    """Credit at one base displacement; ``eccentricity`` is e/B, None where cells have no place."""

    displacement_m: float
    credit: float
    least: Bound
    greatest: Bound
    maps: MapCredit | None
    clean_mn: float
    as_built_mn: float
    eccentricity: float | None
    warnings: tuple[str, ...]

    @property
    def lowest(self) -> float:
        """The least of all credits told: least parameters, and with maps also their 5 % value."""
        return self.least.credit if self.maps is None else min(self.least.credit, self.maps.low_softest)


@dataclass(frozen=True, slots=True)
class Credit:
    """Credit of one base.

    ``supported_mn`` is the nominal base resistance, or what the clean curve reaches at its displacement
    when that is less; ``credited_mn`` and ``credited_lowest_mn`` are that times the credit at strength.
    """

    service: CreditAt
    strength: CreditAt
    nominal_mn: float
    supported_mn: float
    credited_mn: float
    credited_lowest_mn: float
    caveats: tuple[str, ...] = CAVEATS


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
    if cover.thickness_m.ndim != 1:
        raise OutOfRange("the measured cover", f"shape {cover.thickness_m.shape}", "one map, shape (cells,)")
    if maps is not None and (maps.thickness_m.ndim != _WITH_MAPS or len(maps.thickness_m) < FEWEST_MAPS):
        raise OutOfRange("shape of the maps", str(maps.thickness_m.shape), f"{FEWEST_MAPS} maps or more")
    strength_m = at.strength_m or model.nominal.displacement_m
    service, strength = (_credit_at(model, cover, spread, maps, w) for w in (at.service_m, strength_m))
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


def _credit_at(
    model: BaseModel, cover: Cover, spread: SedimentSpread, maps: Cover | None, moved_m: float
) -> CreditAt:
    best = float(credit(model.curve, cover, spread.best, moved_m))
    softest = _over_moduli(model, cover, spread, spread.softest, moved_m)
    stiffest = _over_moduli(model, cover, spread, spread.stiffest, moved_m)
    least = min(softest, key=lambda bound: bound.credit)
    greatest = max(stiffest, key=lambda bound: bound.credit)
    clean_mn = float(model.curve.clean_mpa(moved_m)) * model.ground.area_m2
    stress = model.curve.over_sediment_mpa(moved_m, cover.thickness_m, spread.best)
    eccentricity = eccentricity_over_diameter(stress, cover, model.ground.diameter_m)
    return CreditAt(
        displacement_m=moved_m,
        credit=best,
        least=least,
        greatest=greatest,
        maps=None if maps is None else _map_credit(model, maps, spread, (least, greatest), moved_m),
        clean_mn=clean_mn,
        as_built_mn=best * clean_mn,
        eccentricity=eccentricity,
        warnings=_warnings(model.curve, eccentricity, moved_m),
    )


def _over_moduli(
    model: BaseModel, cover: Cover, spread: SedimentSpread, sediment: Sediment, moved_m: float
) -> list[Bound]:
    """Credit at the model's modulus and over the stated range.

    With q_N and w_N held, a stiffer ground lowers credit at small displacement and raises it near w_N,
    so neither end is safe by itself: the ends and values between are all looked at.
    """
    moduli = [model.ground.modulus_mpa]
    if spread.ground_modulus_mpa is not None:
        moduli += [float(each) for each in np.geomspace(*spread.ground_modulus_mpa, _MODULI)]
    return [
        Bound(float(credit(model.curve_at(each), cover, sediment, moved_m)), sediment, each)
        for each in moduli
    ]


def _map_credit(
    model: BaseModel, maps: Cover, spread: SedimentSpread, bounds: tuple[Bound, Bound], moved_m: float
) -> MapCredit:
    best = credit(model.curve, maps, spread.best, moved_m)
    low, high = (credit(model.curve_at(b.ground_modulus_mpa), maps, b.sediment, moved_m) for b in bounds)
    return MapCredit(
        maps=len(best),
        low=float(np.quantile(best, LOW_SHARE, method="lower")),
        median=float(np.median(best)),
        high=float(np.quantile(best, 1 - LOW_SHARE, method="higher")),
        low_softest=float(np.quantile(low, LOW_SHARE, method="lower")),
        high_stiffest=float(np.quantile(high, 1 - LOW_SHARE, method="higher")),
    )


def _warnings(curve: BaseCurve, eccentricity: float | None, moved_m: float) -> tuple[str, ...]:
    said = [] if curve.reaches_nominal else [curve.says]
    if eccentricity is not None and eccentricity > ECCENTRICITY_WARNING:
        said.append(
            f"At {show(moved_m, 'mm')} the base reacts {eccentricity:.2f} of its diameter off the centre, "
            f"over {ECCENTRICITY_WARNING:g}: tilt is not modelled, look at it (limit is judgment)."
        )
    return tuple(said)
