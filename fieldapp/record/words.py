"""The closed lists of words that entries use.  The stored word is the value, and never changes."""

from __future__ import annotations

from enum import StrEnum
from typing import Final


class Role(StrEnum):
    """What a person is on the project."""

    INSPECTOR = "inspector"
    RESIDENT_ENGINEER = "resident engineer"
    DESIGNER = "designer"


class PaperKind(StrEnum):
    """What a signed paper is: of one shaft, or the summary of a project."""

    SHAFT_LOG = "shaft log"
    RELEASE_SHEET = "release sheet"
    BASE_CONDITION = "base condition report"
    PROJECT_SUMMARY = "project summary"


class Method(StrEnum):
    """How the hole is kept open."""

    DRY = "dry"
    WET = "wet"
    CASED = "cased"


class Fluid(StrEnum):
    """What stands in the hole."""

    NONE = "none"
    WATER = "water"
    MINERAL = "mineral"
    POLYMER = "polymer"


class FluidStage(StrEnum):
    """When in the work a fluid sample was taken."""

    INTRODUCED = "introduced"
    DRILLING = "drilling"
    BEFORE_FINAL_CLEANING = "before final cleaning"
    BEFORE_CONCRETE = "before concrete"


class Salinity(StrEnum):
    """Water that the fluid is mixed with or stands in."""

    FRESH = "fresh"
    SALT = "salt"


class DesignBasis(StrEnum):
    """What the designer counts on."""

    SIDE = "side"
    BASE = "base"
    BOTH = "both"


class StructureClass(StrEnum):
    """What the shafts carry, where an agency asks less of a sign than of a bridge."""

    BRIDGE = "bridge"
    MISCELLANEOUS = "miscellaneous"


class Purpose(StrEnum):
    """Whether a shaft stays in the works."""

    PRODUCTION = "production"
    SACRIFICIAL_TEST = "sacrificial test"


class Caution(StrEnum):
    """What the ground is known to do."""

    KARST = "karst"
    ARTESIAN = "artesian"
    SLAKING_SHALE = "slaking shale"
    VARIABLE_ROCK = "variable rock"


class InstrumentType(StrEnum):
    """What a reading was taken with."""

    TAPE = "weighted tape"
    PROBE_ROD = "probe rod"
    BALANCE = "mud balance"
    FUNNEL = "funnel"
    SAND_TUBE = "sand tube"
    PH_METER = "pH meter"
    CAMERA = "camera"
    CALIPER = "caliper"
    BASE_PENETROMETER = "base penetrometer"


class CleanoutMethod(StrEnum):
    """Means of a cleanout pass."""

    AIRLIFT = "airlift"
    PUMP = "submersible pump"
    CLEANOUT_BUCKET = "cleanout bucket"
    VACUUM = "vacuum"
    AUGER = "auger"
    FLUID_EXCHANGE = "fluid exchange"


class RoundWhy(StrEnum):
    """Why a round of soundings was made."""

    AFTER_PASS = "after pass"
    AFTER_CAGE = "after cage"
    BEFORE_CONCRETE = "before concrete"
    OTHER = "other"


class Happening(StrEnum):
    """Events that bear on the base, and two that bear on what the record can show of it."""

    SLOUGH = "slough"
    LOSS_OF_HEAD = "loss of head"
    OVERREAMING = "overreaming"
    CAGE_SET = "cage set"
    TREMIE_SET = "tremie set"
    HOLE_FLOODED = "hole flooded"
    CLOCK_CORRECTED = "clock corrected"
    ENTRIES_LOST = "entries lost"


OF_THE_RECORD: Final = frozenset({Happening.CLOCK_CORRECTED, Happening.ENTRIES_LOST})
"""Events that say something of the record and nothing of the hole."""


class Seen(StrEnum):
    """What a sighting of the base from the surface showed."""

    NOTHING_LOOSE = "nothing loose"
    LOOSE_MATERIAL = "loose material"
    WATER = "water"
    VOID = "void"
    OPEN_JOINT = "open joint"
    OBSCURED = "obscured"


class MakeUp(StrEnum):
    """Whether fluid was being added."""

    ON = "on"
    OFF = "off"


class Decision(StrEnum):
    """The designer's disposition."""

    FULL_CREDIT = "full credit"
    REDUCED_CREDIT = "reduced credit"
    NO_CREDIT = "no credit"
    REMEDY = "remedy asked for"


class UnitSystem(StrEnum):
    """Units shown to people on the project."""

    US = "US"
    SI = "SI"
