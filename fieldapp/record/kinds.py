"""The register of entry kinds: a short stable word for each, never a path into this code."""

from __future__ import annotations

from typing import Final, TypeAlias

from fieldapp.record.attesting import ATTESTING, DeviceKey, PaperSigned, Revocation, StretchSigned
from fieldapp.record.cleaning import CleanoutPass, SoundingRound
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.concrete import AsBuilt, ConcreteFinished, ConcreteStarted
from fieldapp.record.decisions import Amend, Disposition, Hold, LogSigned, Release, Strike, Withdrawal
from fieldapp.record.hole import (
    BaseSighting,
    Delay,
    Event,
    ExcavationStage,
    GeometrySurvey,
    Note,
    Photo,
    StandingWater,
)
from fieldapp.record.setup import Instrument, ProjectSetup, ShaftScheduled

Values: TypeAlias = (
    ProjectSetup
    | ShaftScheduled
    | Instrument
    | ExcavationStage
    | FluidTest
    | HeadReading
    | CleanoutPass
    | SoundingRound
    | GeometrySurvey
    | BaseSighting
    | StandingWater
    | Photo
    | Note
    | Delay
    | Event
    | Amend
    | Strike
    | LogSigned
    | Release
    | Hold
    | Withdrawal
    | Disposition
    | ConcreteStarted
    | ConcreteFinished
    | AsBuilt
    | DeviceKey
    | StretchSigned
    | PaperSigned
    | Revocation
)

ALL: Final[tuple[type[Values], ...]] = Values.__args__

KINDS: Final[dict[str, type[Values]]] = {each.KIND: each for each in ALL}

# Kinds that a person can type; the others are made where the keys are.
TYPED_KINDS: Final = {
    kind: made for kind, made in KINDS.items() if made not in {DeviceKey, StretchSigned, PaperSigned}
}

# Entries of the project as a whole; every other entry belongs to one shaft.
PROJECT_KINDS: Final = frozenset({ProjectSetup.KIND, Instrument.KIND, *(each.KIND for each in ATTESTING)})
