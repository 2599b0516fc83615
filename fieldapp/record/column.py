"""Entries on the fluid column: fluid tests and head readings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fieldapp.record.reading import (
    Impossible,
    Reading,
    check_readings,
    check_text,
    depth,
    level,
    maybe_density,
    maybe_elevation,
    maybe_quantity,
    maybe_ratio,
    maybe_time,
)
from fieldapp.record.said import said
from fieldapp.record.words import FluidStage, MakeUp


@dataclass(frozen=True, slots=True)
class FluidTest:
    """One sample of the fluid; samples with the same ``set`` number were taken together.

    ``sand`` is the bulk settled volume read in the graduated tube.  What was not tested is None.
    """

    KIND: ClassVar[str] = "fluid test"
    VERSION: ClassVar[int] = 1

    stage: FluidStage
    set: int
    sample_depth: Reading = depth()
    density: Reading | None = maybe_density()
    funnel_time: Reading | None = maybe_time("20", "600", "s")
    cup_volume: Reading | None = maybe_quantity("volume", "0.5", "2", "L")
    temperature: Reading | None = maybe_quantity("temperature", "-10", "60", "degC")
    sand: Reading | None = maybe_ratio("60")
    ph: Reading | None = maybe_quantity("acidity", "0", "14", "pH")
    hardness: Reading | None = maybe_quantity("hardness", "0", "100000", "mg/L")
    instruments: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        check_readings(self)
        if not 1 <= self.set <= 999:
            raise Impossible("set", str(self.set), said("a set number from 1 to 999"))
        if all(each is None for each in (self.density, self.funnel_time, self.sand, self.ph, self.hardness)):
            raise Impossible(
                said("fluid test"),
                said("nothing"),
                said("at least one of density, funnel time, sand, pH, hardness"),
            )
        if self.funnel_time is not None and self.cup_volume is None:
            raise Impossible("cup_volume", said("nothing"), said("the cup volume with the funnel time"))


@dataclass(frozen=True, slots=True)
class HeadReading:
    """Fluid level by tape from the reference (down is positive), and a piezometric level if measured."""

    KIND: ClassVar[str] = "head reading"
    VERSION: ClassVar[int] = 1

    fluid_level: Reading = level()
    make_up: MakeUp | None = None
    piezometric_elevation: Reading | None = maybe_elevation()
    stratum: str = ""

    def __post_init__(self) -> None:
        check_readings(self)
        if self.piezometric_elevation is not None:
            check_text("stratum", self.stratum, 120)
