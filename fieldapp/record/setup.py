"""Entries that set the ground for all others: the project, its shafts, its instruments."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import ClassVar, Final

from fieldapp.record.acceptance import AcceptanceSet
from fieldapp.record.reading import (
    Impossible,
    Reading,
    check_readings,
    check_text,
    diameter,
    elevation,
    maybe_elevation,
    maybe_pressure,
    maybe_quantity,
    maybe_ratio,
    maybe_small_length,
    maybe_time,
)
from fieldapp.record.said import said
from fieldapp.record.words import (
    Caution,
    DesignBasis,
    Fluid,
    InstrumentType,
    Method,
    Purpose,
    Role,
    Salinity,
    StructureClass,
    UnitSystem,
)

NAME_BYTES: Final = 64  # X.520, ub-common-name; signing libraries count bytes of UTF-8


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who may make entries, with roles and, once made, a certificate (PEM text)."""

    name: str
    roles: tuple[Role, ...]
    certificate: str = ""

    def __post_init__(self) -> None:
        check_text("person", self.name, 120)
        if len(self.name.encode()) > NAME_BYTES:
            raise Impossible(
                "person",
                self.name,
                said("a name of at most {name_bytes} bytes, as a certificate holds", name_bytes=NAME_BYTES),
            )
        if not self.roles:
            raise Impossible("roles", "", said("one or more roles for {name}", name=self.name))


@dataclass(frozen=True, slots=True)
class ProjectSetup:
    """The project: its name, units, time zone, acceptance set, confidence asked, people.

    ``own_log_release`` lets somebody release on the log that he signed himself, and every report then says
    so.  ``authority`` is the certificate (PEM text) of the project's authority, where there is one.
    ``keep_picture_positions`` asks for the position, and nothing else, in the file of a picture to be kept.
    """

    KIND: ClassVar[str] = "project set-up"
    VERSION: ClassVar[int] = 3

    name: str
    units: UnitSystem
    time_zone: str
    acceptance: AcceptanceSet
    people: tuple[Person, ...]
    confidence: Reading | None = maybe_ratio()
    structure_class: StructureClass = StructureClass.BRIDGE
    salinity: Salinity = Salinity.FRESH
    own_log_release: bool = False
    authority: str = ""
    keep_picture_positions: bool = False

    def __post_init__(self) -> None:
        check_text("name", self.name, 120)
        check_readings(self)
        names = [person.name for person in self.people]
        if len(set(names)) != len(names):
            raise Impossible("people", ", ".join(names), said("each name once"))

    def person(self, name: str) -> Person | None:
        """The person of this name on the roster, or None."""
        return next((each for each in self.people if each.name == name), None)


@dataclass(frozen=True, slots=True)
class PiezometricLevel:
    """The piezometric level of one stratum."""

    stratum: str
    elevation: Reading = elevation()

    def __post_init__(self) -> None:
        check_text("stratum", self.stratum, 120)
        check_readings(self)


@dataclass(frozen=True, slots=True)
class DesignNumbers:
    """What the designer gives; all optional.  Stresses and forces are nominal."""

    rock_strength: Reading | None = maybe_pressure("0.05", "400")
    core_recovery: Reading | None = maybe_ratio()
    rock_quality: Reading | None = maybe_ratio()
    geological_strength_index: Reading | None = maybe_quantity("count", "5", "100", "count")
    rock_constant: Reading | None = maybe_quantity("count", "1", "40", "count")
    rock_modulus: Reading | None = maybe_pressure("1", "200000")
    nominal_base: Reading | None = maybe_pressure("0.01", "400")
    nominal_side: Reading | None = maybe_pressure("0.001", "20")
    base_factor: Reading | None = maybe_quantity("ratio", "0", "1", "ratio")
    side_factor: Reading | None = maybe_quantity("ratio", "0", "1", "ratio")
    demand: Reading | None = maybe_quantity("force", "0", "2000", "MN")
    service_displacement: Reading | None = maybe_small_length("0", "500")
    strength_displacement: Reading | None = maybe_small_length("0", "1000")

    def __post_init__(self) -> None:
        check_readings(self)


@dataclass(frozen=True, slots=True)
class ShaftScheduled:
    """A shaft as planned.  Elevations are of the project; depths are read from the reference."""

    KIND: ClassVar[str] = "shaft scheduled"
    VERSION: ClassVar[int] = 1

    location: str
    method: Method
    fluid: Fluid
    design_basis: DesignBasis
    diameter: Reading = diameter()
    reference_elevation: Reading = elevation()
    tip_elevation: Reading = elevation()
    socket_top_elevation: Reading | None = maybe_elevation()
    cautions: tuple[Caution, ...] = ()
    piezometric_levels: tuple[PiezometricLevel, ...] = ()
    purpose: Purpose = Purpose.PRODUCTION
    design: DesignNumbers | None = None

    def __post_init__(self) -> None:
        check_text("location", self.location, 200)
        check_readings(self)
        if self.tip_elevation.si >= self.reference_elevation.si:
            raise Impossible(
                "tip_elevation", str(self.tip_elevation), said("a tip below the reference elevation")
            )
        if (self.method is Method.DRY) != (self.fluid is Fluid.NONE):
            raise Impossible("fluid", self.fluid, said("'none' in a dry shaft, and a fluid in any other"))

    @property
    def plan_depth_m(self) -> Fraction:
        """Planned depth of the tip below the reference [m], exact."""
        return self.reference_elevation.si - self.tip_elevation.si


@dataclass(frozen=True, slots=True)
class Instrument:
    """An instrument and its check; a later entry of the same label is a later check.

    ``zero_offset`` is added to what the instrument reads (a tape that reads 10 mm long has -10 mm).
    """

    KIND: ClassVar[str] = "instrument"
    VERSION: ClassVar[int] = 1

    label: str
    type: InstrumentType
    passed: bool
    check: str
    zero_offset: Reading | None = maybe_small_length("-1000", "1000")
    cup_volume: Reading | None = maybe_quantity("volume", "0.5", "2", "L")
    water_time: Reading | None = maybe_time("10", "120", "s")

    def __post_init__(self) -> None:
        check_text("label", self.label, 60)
        check_text("check", self.check)
        check_readings(self)
        if self.type is InstrumentType.FUNNEL and self.cup_volume is None:
            raise Impossible("cup_volume", said("nothing"), said("the volume of the funnel's cup"))
