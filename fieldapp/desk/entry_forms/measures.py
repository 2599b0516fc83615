"""What is measured, the units it is shown and typed in, and what a likely value of it is near to."""

from __future__ import annotations

from enum import StrEnum
from typing import Final

from fieldapp.record.words import UnitSystem


class Measure(StrEnum):
    """A kind of number, because a length is typed in one way as a depth and in another as a thickness."""

    DEPTH = "depth"
    THICKNESS = "thickness"
    ELEVATION = "elevation"
    DIAMETER = "diameter"
    DENSITY = "density"
    FUNNEL = "funnel time"
    CUP = "cup"
    TEMPERATURE = "temperature"
    SHARE = "share"
    FACTOR = "factor"
    RATING = "rating"
    ACIDITY = "acidity"
    HARDNESS = "hardness"
    AIR = "air pressure"
    STRENGTH = "strength"
    STIFFNESS = "stiffness"
    FORCE = "force"
    MINUTES = "minutes"
    CONCRETE = "volume of concrete"
    FLOW = "volume a minute"


class Near(StrEnum):
    """What a likely value lies near to, where the plan of the shaft tells."""

    NOTHING = "nothing"
    HOLE = "hole"
    BASE = "base"
    LEVEL = "level"
    TIP = "tip"
    GROUND = "ground"
    DIAMETER = "diameter"
    RADIUS = "radius"
    VOLUME = "volume"


# The unit that is shown first, then the others that a tape, gauge or cup on site may be marked in.
_UNITS: Final[dict[Measure, tuple[tuple[str, ...], tuple[str, ...]]]] = {
    Measure.DEPTH: (("ft-in", "ft", "m"), ("m", "cm", "ft-in", "ft")),
    Measure.THICKNESS: (("in", "mm", "cm"), ("mm", "cm", "in")),
    Measure.ELEVATION: (("ft", "m"), ("m", "ft")),
    Measure.DIAMETER: (("ft", "ft-in", "in", "m", "mm"), ("m", "mm", "ft", "ft-in", "in")),
    Measure.DENSITY: (("pcf", "lb/gal", "g/cm3", "kg/m3"), ("g/cm3", "kg/m3", "pcf", "lb/gal")),
    Measure.FUNNEL: (("s",), ("s",)),
    Measure.CUP: (("mL", "qt", "L"), ("mL", "L", "qt")),
    Measure.TEMPERATURE: (("degF", "degC"), ("degC", "degF")),
    Measure.SHARE: (("%",), ("%",)),
    Measure.FACTOR: (("ratio", "%"), ("ratio", "%")),
    Measure.RATING: (("count",), ("count",)),
    Measure.ACIDITY: (("pH",), ("pH",)),
    Measure.HARDNESS: (("mg/L",), ("mg/L",)),
    Measure.AIR: (("psi", "bar", "kPa"), ("kPa", "bar", "psi")),
    Measure.STRENGTH: (("psi", "ksi", "ksf", "MPa"), ("MPa", "kPa", "psi", "ksi")),
    Measure.STIFFNESS: (("ksi", "psi", "MPa"), ("MPa", "ksi")),
    Measure.FORCE: (("kip", "kN", "MN"), ("MN", "kN", "kip")),
    Measure.MINUTES: (("min", "s"), ("min", "s")),
    Measure.CONCRETE: (("yd3", "m3"), ("m3", "yd3")),
    Measure.FLOW: (("gal", "ft3", "m3", "L"), ("m3", "L", "gal")),
}


def units_of(measure: Measure, system: UnitSystem) -> tuple[str, ...]:
    """The units of a number on a project, the one that is shown first."""
    american, metric = _UNITS[measure]
    return american if system is UnitSystem.US else metric
