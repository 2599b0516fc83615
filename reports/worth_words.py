"""How numbers of worth are said: credits rounded down, shares that promise nothing, loads and lengths."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from fieldapp.record.words import UnitSystem
from fieldapp.units import Number, from_si, rounded_down, show

_FORCE: Final = {UnitSystem.US: ("kip", 0), UnitSystem.SI: ("MN", 2)}
_STRESS: Final = {UnitSystem.US: ("ksf", 1), UnitSystem.SI: ("MPa", 2)}
_SHORT: Final = {UnitSystem.US: ("in", 2), UnitSystem.SI: ("mm", 1)}
_LONG: Final = {UnitSystem.US: ("ft", 1), UnitSystem.SI: ("m", 2)}
NO_BREAK: Final = "\u00a0"
_LARGE_STRESS: Final = 1000.0
# A hundredth that floating point made a little too small is still that hundredth.


@dataclass(frozen=True, slots=True)
class WorthWords:
    """Says loads, stresses and lengths in the units of a project."""

    units: UnitSystem

    @property
    def force_unit(self) -> str:
        """Unit of loads."""
        return _FORCE[self.units][0]

    @property
    def short_unit(self) -> str:
        """Unit of displacements and thicknesses."""
        return _SHORT[self.units][0]

    def load(self, load_mn: float) -> str:
        """A load, in kip or MN."""
        return show(load_mn, *_FORCE[self.units])

    def stress(self, stress_mpa: float) -> str:
        """A stress or modulus, in ksf or MPa."""
        unit, digits = _STRESS[self.units]
        return show(stress_mpa, unit, 0 if from_si(stress_mpa, unit) >= _LARGE_STRESS else digits)

    def short(self, length_m: Number) -> str:
        """A displacement or thickness, in inches or millimetres."""
        return show(length_m, *_SHORT[self.units])

    def long(self, length_m: float) -> str:
        """A length of socket, in feet or metres."""
        return show(length_m, *_LONG[self.units])

    def in_short(self, length_m: float) -> float:
        """A displacement or thickness as a number for a chart."""
        return float(from_si(length_m, self.short_unit))

    def in_force(self, load_mn: float) -> float:
        """A load as a number for a chart."""
        return float(from_si(load_mn, self.force_unit))


def credit_text(credit: float) -> str:
    """A credit with two digits, rounded down and never over 1."""
    return f"{rounded_down(min(credit, 1.0), 2):.2f}"


def least_share(share: Number) -> str:
    """A share in whole percent, rounded down."""
    return f"{rounded_down(float(share) * 100, 0):.0f} %"


def listed(parts: Iterable[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    found = list(parts)
    return found[0] if len(found) == 1 else f"{', '.join(found[:-1])} and {found[-1]}" if found else ""
