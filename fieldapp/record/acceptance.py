"""An acceptance set as a project adopted it: every limit with its source and confidence.

The whole content stands in the project set-up entry, so that a later edition of a preset never
changes what a shaft was held against.  Values stay as text, like every reading.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from fieldapp.record.reading import Impossible, Reading, check_text, reading_of
from fieldapp.record.said import said
from fieldapp.record.said_lists import listed
from fieldapp.record.words import (
    DesignBasis,
    Fluid,
    FluidStage,
    InstrumentType,
    Method,
    Salinity,
    StructureClass,
)

CONFIDENCES: Final = (
    "read",
    "read (transcription)",
    "second-hand",
    "memory: sure",
    "memory: fair",
    "common practice",
    "judgment",
    "calculated",
    "contract",
    "none",
)


@dataclass(frozen=True, slots=True)
class Applies:
    """Where a parameter applies; an empty tuple means everywhere."""

    method: tuple[Method, ...] = ()
    fluid: tuple[Fluid, ...] = ()
    stage: tuple[FluidStage, ...] = ()
    salinity: tuple[Salinity, ...] = ()
    design_basis: tuple[DesignBasis, ...] = ()
    structure_class: tuple[StructureClass, ...] = ()
    instrument: tuple[InstrumentType, ...] = ()
    diameter_under: Reading | None = None
    diameter_from: Reading | None = None


@dataclass(frozen=True, slots=True)
class Parameter:
    """One limit or switch.

    ``value`` is text in ``unit`` (empty unit: a word), or None when a person must enter it.
    ``strict`` says whether a value exactly at the limit is refused.
    """

    name: str
    value: str | None
    unit: str
    source: str
    confidence: str
    strict: bool = False
    edition: str = ""
    clause: str = ""
    verified_by: str = ""
    note: str = ""
    applies: Applies = Applies()

    def __post_init__(self) -> None:
        check_text(said("parameter name"), self.name, 60)
        if self.confidence not in CONFIDENCES:
            raise Impossible(
                said("confidence of {name}", name=self.name),
                self.confidence,
                said("one of {names}", names=listed(CONFIDENCES)),
            )
        if self.value is not None and self.unit:
            Reading(self.value, self.unit)

    @property
    def reading(self) -> Reading | None:
        """The value as a reading, or None when it has still to be entered or is a word."""
        return reading_of(self.value, self.unit) if self.value is not None and self.unit else None


@dataclass(frozen=True, slots=True)
class AcceptanceSet:
    """The limits that a project has adopted, named, with the standard they follow."""

    id: str
    title: str
    standard: str
    parameters: tuple[Parameter, ...]
    note: str = ""

    def __post_init__(self) -> None:
        check_text(said("acceptance set id"), self.id, 60)
        seen = set()
        for each in self.parameters:
            if (each.name, each.applies) in seen:
                raise Impossible(
                    said("acceptance set"), each.name, said("each parameter once for the same case")
                )
            seen.add((each.name, each.applies))
