"""Resistance factors, and factored resistance against demand along a head curve.

Factors are inputs with an edition; none stands in the code.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from fieldapp.base.disk import FloatArray
from fieldapp.base.head_curve import HeadCurves
from fieldapp.base.quantities import FACTOR, FORCE
from fieldapp.units import Range

SINGLE_SHAFT: Final = 0.8
_MULTIPLIER: Final = Range("multiplier of a resistance factor", "", 0.0, 1.0)


@dataclass(frozen=True, slots=True)
class Factors:
    """Resistance factors of side and base, 0 to 1, else OutOfRange, with the edition they are from."""

    side: float
    base: float
    edition: str

    def __post_init__(self) -> None:
        FACTOR.check(self.side, self.base)


@dataclass(frozen=True, slots=True, eq=False)
class AgainstDemand:
    """Factored resistance [MN] as built and clean at each head displacement, shape (heads,), and demand.

    ``holds`` tells where the as-built one reaches the demand; ``from_head_m`` is the first head
    displacement of the curve at which it does, None when it does not.
    """

    demand_mn: float
    clean_mn: FloatArray
    as_built_mn: FloatArray
    holds: tuple[bool, ...]
    from_head_m: float | None
    edition: str


def against_demand(
    curves: HeadCurves, factors: Factors, demand_mn: float, supported_mn: float
) -> AgainstDemand:
    """Factored resistance at each head displacement against the factored demand [MN, 0 to 1e5].

    phi_side times the side load plus phi_base times the base load, the base never counted over
    ``supported_mn``, the nominal base resistance.  Else OutOfRange.  LRFD format; factors are inputs.
    """
    FORCE.check(demand_mn, supported_mn)
    clean, built = (
        factors.side * curve.side_mn + factors.base * np.minimum(curve.base_mn, supported_mn)
        for curve in (curves.clean, curves.as_built)
    )
    holds = built >= demand_mn
    first = float(curves.as_built.head_m[holds].min()) if holds.any() else None
    return AgainstDemand(demand_mn, clean, built, tuple(map(bool, holds)), first, factors.edition)


def single_shaft_factor(factor: float, multiplier: float = SINGLE_SHAFT) -> float:
    """Resistance factor of a single shaft under a pier: times 0.80.  0 to 1, else OutOfRange.

    AASHTO LRFD 10.5.5.2.4, memory: sure (RES-6).
    """
    FACTOR.check(factor)
    _MULTIPLIER.check(multiplier)
    return factor * multiplier
