"""What is told of the credit of a base: separate facts, each belonging to a displacement.

Nothing here is a verdict, and every credit carries the caveats of the model that gave it.
"""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.base.credit import CAVEATS
from fieldapp.base.sediment import Sediment


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
class CreditSpan:
    """Credit at one base displacement [m], best between the lowest and the greatest that are told of it."""

    displacement_m: float
    lowest: float
    credit: float
    greatest: float


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

    @property
    def span(self) -> CreditSpan:
        """The three numbers that a table tells."""
        return CreditSpan(self.displacement_m, self.lowest, self.credit, self.greatest.credit)


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
