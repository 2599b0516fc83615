"""Numbers of a reckoning as text, in the unit system of its file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from tabulate import tabulate

from fieldapp.record.words import UnitSystem
from fieldapp.units import Number, from_si, rounded_down, show

_SHORT: Final = {UnitSystem.US: ("in", 2), UnitSystem.SI: ("mm", 1)}
_LONG: Final = {UnitSystem.US: ("ft", 1), UnitSystem.SI: ("m", 2)}
_STRESS: Final = {UnitSystem.US: ("ksf", 1), UnitSystem.SI: ("MPa", 2)}
_FORCE: Final = {UnitSystem.US: ("kip", 0), UnitSystem.SI: ("MN", 2)}


@dataclass(frozen=True, slots=True)
class Shown:
    """How lengths, stresses and forces are shown."""

    units: UnitSystem

    def short(self, length_m: Number) -> str:
        """A thickness or displacement."""
        return show(length_m, *_SHORT[self.units])

    def short_down(self, length_m: float) -> str:
        """A thickness or displacement, rounded down."""
        symbol, digits = _SHORT[self.units]
        return f"{rounded_down(from_si(length_m, symbol), digits):.{digits}f} {symbol}"

    def long(self, length_m: Number) -> str:
        """A length of shaft, or a diameter."""
        return show(length_m, *_LONG[self.units])

    def stress(self, stress_mpa: Number) -> str:
        """A unit resistance or a modulus."""
        return show(stress_mpa, *_STRESS[self.units])

    def force(self, force_mn: Number) -> str:
        """A load or a resistance."""
        return show(force_mn, *_FORCE[self.units])


def percent(share: Number) -> str:
    """A share of the base, never rounded up: ``66.6 %``."""
    return f"{rounded_down(100 * float(share), 1):g} %"


def hours(time_s: float) -> str:
    """A time ahead, never rounded up: ``2 h 05 min``."""
    whole = int(time_s // 60)
    return f"{whole // 60} h {whole % 60:02d} min"


def table(rows: Sequence[Sequence[str]], head: Sequence[str]) -> str:
    """Plain table; every cell as it is given."""
    return str(tabulate(rows, head, tablefmt="simple", disable_numparse=True))
