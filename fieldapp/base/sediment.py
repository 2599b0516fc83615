"""Sediment left on the base, as a layer that compresses until it locks.

One-dimensional, confined and drained: sigma = M_0 e/(1 - e/e_L).  The parameters and their ranges are
judgment; no source gives a validated law for sediment under concrete.  Squeezing out is left out on
purpose: wall and concrete leave no way out, so the layer has to lose volume.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from numpy.typing import ArrayLike

from fieldapp.base.disk import FloatArray
from fieldapp.base.quantities import ROCK_MODULUS, SEDIMENT, checked
from fieldapp.units import OutOfRange, Range

MODULUS: Final = Range("sediment modulus M_0", "MPa", 0.0, 1e9, open_below=True)
LOCKING_STRAIN: Final = Range("locking strain", "", 0.0, 0.95, open_below=True)
_STRESS: Final = Range("stress on the sediment", "MPa", 0.0, 1e9)
_POROSITY: Final = Range("porosity", "", 0.0, 0.95)


@dataclass(frozen=True, slots=True)
class Sediment:
    """The law of the layer: modulus at low stress and the strain at which it locks.

    ``modulus_mpa`` more than 0 and at most 1e9 MPa; ``locking_strain`` more than 0 and at most 0.95, or
    infinite for a layer that never locks; else OutOfRange.  Defaults M_0 1 MPa, 0.35: judgment.
    """

    modulus_mpa: float = 1.0
    locking_strain: float = 0.35

    def __post_init__(self) -> None:
        MODULUS.check(self.modulus_mpa)
        if self.locking_strain != math.inf:
            LOCKING_STRAIN.check(self.locking_strain)

    def compression_m(self, stress_mpa: ArrayLike, thickness_m: ArrayLike) -> FloatArray:
        """Compression [m] of the layer: t e_L q/(M_0 e_L + q), never more than e_L t.

        Stress 0 to 1e9 MPa, thickness 0 to 100 m, shapes that broadcast, else OutOfRange.  The law
        above, turned round (C6, C7); mathematics.
        """
        stress, thickness = checked(_STRESS, stress_mpa), checked(SEDIMENT, thickness_m)
        settled: FloatArray = thickness * stress / (self.modulus_mpa + stress / self.locking_strain)
        return settled

    def pressed(self, stress_mpa: float) -> Sediment:
        """What is left for the base to compress when fluid concrete has pressed the layer and it drained.

        Of t [e(s + q) - e(s)] the same law remains, with M_0 (1 + s/m)^2 and e_L m/(m + s), m = M_0 e_L.
        Off by default: an engineer switches it on.  Drainage is quick in silt, slow in gel, and the head
        of concrete falls with shear at the side and early stiffening.  Stress 0 to 1e9 MPa, else
        OutOfRange.  Algebra; that the layer drains in time is judgment.
        """
        _STRESS.check(stress_mpa)
        if self.locking_strain == math.inf:
            return self
        grown = 1 + stress_mpa / (self.modulus_mpa * self.locking_strain)
        return Sediment(self.modulus_mpa * grown**2, self.locking_strain / grown)


@dataclass(frozen=True, slots=True)
class Spread:
    """A parameter as least, best and greatest value, in that order, else OutOfRange."""

    least: float
    best: float
    greatest: float

    def __post_init__(self) -> None:
        if not self.least <= self.best <= self.greatest:
            listed = f"{self.least:g}, {self.best:g}, {self.greatest:g}"
            raise OutOfRange("a parameter's least, best and greatest value", listed, "in rising order")


@dataclass(frozen=True, slots=True)
class SedimentSpread:
    """Ranges of the sediment's parameters, and of the ground's modulus where the designer states one.

    Defaults: M_0 0.2, 1, 5 MPa; locking strain 0.15 (sand), 0.35, 0.60 (silty gel).  All judgment.
    ``ground_modulus_mpa`` is the least and the greatest; None leaves the one the curve is made with.
    """

    modulus_mpa: Spread = Spread(0.2, 1.0, 5.0)
    locking_strain: Spread = Spread(0.15, 0.35, 0.60)
    ground_modulus_mpa: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        MODULUS.check(self.modulus_mpa.least, self.modulus_mpa.greatest)
        LOCKING_STRAIN.check(self.locking_strain.least, self.locking_strain.greatest)
        if self.ground_modulus_mpa is not None:
            least, greatest = self.ground_modulus_mpa
            ROCK_MODULUS.check(least, greatest)
            if least > greatest:
                raise OutOfRange("range of the ground's modulus", f"{least:g} to {greatest:g} MPa", "rising")

    @property
    def best(self) -> Sediment:
        """The best guess."""
        return Sediment(self.modulus_mpa.best, self.locking_strain.best)

    @property
    def softest(self) -> Sediment:
        """The corner of least credit: least modulus, greatest locking strain.

        At any stress the strain q/(M_0 + q/e_L) falls with M_0 and grows with e_L, so the stress at a
        given displacement does the opposite in every cell: the corners bound the credit of any map.
        """
        return Sediment(self.modulus_mpa.least, self.locking_strain.greatest)

    @property
    def stiffest(self) -> Sediment:
        """The corner of greatest credit: greatest modulus, least locking strain."""
        return Sediment(self.modulus_mpa.greatest, self.locking_strain.least)


def locking_strain(deposit_porosity: float, locked_porosity: float) -> float:
    """Strain e_L = 1 - (1 - n_0)/(1 - n_L) at which the deposit has shrunk to its locked porosity.

    Porosities 0 to 0.95, the deposit's the greater, else OutOfRange.  Solids conserved (C16);
    mathematics.  Defaults n_0 0.60, n_L 0.38: judgment.
    """
    _POROSITY.check(deposit_porosity, locked_porosity)
    if deposit_porosity <= locked_porosity:
        allowed = f"more than the locked porosity {locked_porosity:g}"
        raise OutOfRange("porosity of the deposit", f"{deposit_porosity:g}", allowed)
    return 1 - (1 - deposit_porosity) / (1 - locked_porosity)
