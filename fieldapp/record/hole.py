"""Entries on the hole: drilling, geometry, sightings, water on the base, events, delays, notes."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from fieldapp.record.reading import (
    Impossible,
    Reading,
    check_readings,
    check_text,
    depth,
    diameter,
    maybe_depth,
    maybe_elevation,
    maybe_quantity,
    maybe_ratio,
    maybe_small_length,
    maybe_time,
)
from fieldapp.record.said import said
from fieldapp.record.said_lists import listed
from fieldapp.record.words import Happening, InstrumentType, Seen

_DIGEST = re.compile(r"[0-9a-f]{64}")


def check_span(started_at: datetime | None, ended_at: datetime | None) -> None:
    """Refuse a time without offset and an end before its start.  Raises Impossible."""
    for name, moment in (("started_at", started_at), ("ended_at", ended_at)):
        if moment is not None and moment.utcoffset() is None:
            raise Impossible(name, moment.isoformat(), said("a time with its offset from UTC"))
    if started_at is not None and ended_at is not None and ended_at < started_at:
        raise Impossible(
            "ended_at",
            ended_at.isoformat(),
            said("a time not before {started_at}", started_at=started_at.isoformat()),
        )


def check_digest(name: str, digest: str) -> None:
    """Refuse what is not a SHA-256 in lower-case hex.  Raises Impossible."""
    if not _DIGEST.fullmatch(digest):
        raise Impossible(name, digest[:70], said("64 characters 0-9 a-f (SHA-256)"))


def check_place(r: Reading | None, angle: Reading | None) -> None:
    """Refuse half a position.  Raises Impossible."""
    if (r is None) != (angle is None):
        raise Impossible(
            "position", said("r {r}, angle {angle}", r=r, angle=angle), said("both r and angle, or neither")
        )


@dataclass(frozen=True, slots=True)
class ExcavationStage:
    """A stretch of drilling; with ``drilled_depth`` the base was reached."""

    KIND: ClassVar[str] = "excavation stage"
    VERSION: ClassVar[int] = 1

    tool: str
    material: str
    from_depth: Reading = depth()
    to_depth: Reading = depth()
    started_at: datetime | None = None
    ended_at: datetime | None = None
    drilled_depth: Reading | None = maybe_depth()
    firm_reference: Reading | None = maybe_depth()

    def __post_init__(self) -> None:
        check_text("tool", self.tool, 200)
        check_text("material", self.material, 400)
        check_readings(self)
        check_span(self.started_at, self.ended_at)
        if self.to_depth.si < self.from_depth.si:
            raise Impossible(
                "to_depth",
                str(self.to_depth),
                said("a depth not above {from_depth}", from_depth=self.from_depth),
            )
        if self.firm_reference is not None and self.drilled_depth is None:
            raise Impossible(
                "firm_reference", str(self.firm_reference), said("the drilled depth of the base with it")
            )


@dataclass(frozen=True, slots=True)
class DiameterAt:
    """Diameter measured at a depth."""

    depth: Reading = depth()
    diameter: Reading = diameter()

    def __post_init__(self) -> None:
        check_readings(self)


@dataclass(frozen=True, slots=True)
class GeometrySurvey:
    """Shape and place of the hole by caliper or tape, made from the surface."""

    KIND: ClassVar[str] = "geometry survey"
    VERSION: ClassVar[int] = 1

    means: InstrumentType
    diameters: tuple[DiameterAt, ...] = ()
    plumbness: Reading | None = maybe_ratio("20")
    plan_offset: Reading | None = maybe_small_length("0", "3000")
    tip_elevation: Reading | None = maybe_elevation()

    def __post_init__(self) -> None:
        check_readings(self)


@dataclass(frozen=True, slots=True)
class BaseSighting:
    """What a camera or the eye saw of the base from the surface, and where."""

    KIND: ClassVar[str] = "base sighting"
    VERSION: ClassVar[int] = 1

    means: str
    seen: tuple[Seen, ...]
    text: str
    r: Reading | None = maybe_small_length("0", "3000")
    angle: Reading | None = maybe_quantity("angle", "0", "360", "deg")
    picture: str = ""

    def __post_init__(self) -> None:
        check_text("means", self.means, 200)
        check_text("text", self.text)
        check_readings(self)
        check_place(self.r, self.angle)
        if self.picture:
            check_digest("picture", self.picture)
        if not self.seen:
            raise Impossible("seen", said("nothing"), said("one or more of {names}", names=listed(Seen)))


@dataclass(frozen=True, slots=True)
class StandingWater:
    """Water on the base of a dry shaft, and how far it rose with the pumps off."""

    KIND: ClassVar[str] = "standing water"
    VERSION: ClassVar[int] = 1

    pumps_off: bool
    depth: Reading | None = maybe_depth()
    rise: Reading | None = maybe_small_length("0", "5000")
    window: Reading | None = maybe_time("10", "7200", "s")

    def __post_init__(self) -> None:
        check_readings(self)
        if (self.rise is None) != (self.window is None):
            raise Impossible(
                "rise",
                said("rise {rise}, window {window}", rise=self.rise, window=self.window),
                said("the rise and the time it took"),
            )
        if self.depth is None and self.rise is None:
            raise Impossible("depth", said("nothing"), said("a depth of water or a rise over minutes"))


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture, named by the SHA-256 of its file."""

    KIND: ClassVar[str] = "photo"
    VERSION: ClassVar[int] = 1

    picture: str
    caption: str
    r: Reading | None = maybe_small_length("0", "3000")
    angle: Reading | None = maybe_quantity("angle", "0", "360", "deg")

    def __post_init__(self) -> None:
        check_digest("picture", self.picture)
        check_text("caption", self.caption)
        check_readings(self)
        check_place(self.r, self.angle)


@dataclass(frozen=True, slots=True)
class Note:
    """Free text; a file may be attached by the SHA-256 of its content."""

    KIND: ClassVar[str] = "note"
    VERSION: ClassVar[int] = 1

    text: str
    attached: str = ""
    attached_name: str = ""

    def __post_init__(self) -> None:
        check_text("text", self.text)
        if self.attached:
            check_digest("attached", self.attached)
            check_text("attached_name", self.attached_name, 120)


@dataclass(frozen=True, slots=True)
class Delay:
    """A time in which the work stood."""

    KIND: ClassVar[str] = "delay"
    VERSION: ClassVar[int] = 1

    why: str
    started_at: datetime
    ended_at: datetime | None = None

    def __post_init__(self) -> None:
        check_text("why", self.why)
        check_span(self.started_at, self.ended_at)


@dataclass(frozen=True, slots=True)
class Event:
    """Something that bears on the base: slough, loss of head, overreaming, cage set ...

    ``amount`` is what was cut off the wall by overreaming, measured radially.
    """

    KIND: ClassVar[str] = "event"
    VERSION: ClassVar[int] = 1

    what: Happening
    text: str
    from_depth: Reading | None = maybe_depth()
    to_depth: Reading | None = maybe_depth()
    amount: Reading | None = maybe_small_length("0", "500")

    def __post_init__(self) -> None:
        check_text("text", self.text)
        check_readings(self)
