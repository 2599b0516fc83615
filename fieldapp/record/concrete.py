"""Entries on concrete: started, finished, and the shaft as built."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fieldapp.record.reading import (
    Reading,
    check_readings,
    check_text,
    maybe_depth,
    maybe_elevation,
    maybe_quantity,
    maybe_small_length,
)


@dataclass(frozen=True, slots=True)
class ConcreteStarted:
    """The first charge: the hole is no longer open at its base from here on."""

    KIND: ClassVar[str] = "concrete started"
    VERSION: ClassVar[int] = 1

    first_charge: str
    slump: Reading | None = maybe_small_length("0", "1000")
    tremie_depth: Reading | None = maybe_depth()

    def __post_init__(self) -> None:
        check_text("first_charge", self.first_charge)
        check_readings(self)


@dataclass(frozen=True, slots=True)
class ConcreteFinished:
    """The end of placing, with the volume placed."""

    KIND: ClassVar[str] = "concrete finished"
    VERSION: ClassVar[int] = 1

    text: str
    volume: Reading | None = maybe_quantity("volume", "0.05", "5000", "m3")
    top_elevation: Reading | None = maybe_elevation()

    def __post_init__(self) -> None:
        check_text("text", self.text)
        check_readings(self)


@dataclass(frozen=True, slots=True)
class AsBuilt:
    """Tip as built, and what integrity tests said of the toe."""

    KIND: ClassVar[str] = "as-built"
    VERSION: ClassVar[int] = 1

    text: str
    tip_elevation: Reading | None = maybe_elevation()
    toe_finding: str = ""
    toe_doubtful: bool = False

    def __post_init__(self) -> None:
        check_text("text", self.text)
        check_readings(self)
