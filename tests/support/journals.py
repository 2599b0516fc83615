"""Journals out of python calls, for tests: real drafts in real chains, on a clock that is set by hand.

A ``Journal`` is one or more devices writing to one project.  Identifiers count up, so a test that runs
twice makes the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime, timedelta, timezone

from fieldapp.record.acceptance import AcceptanceSet, Applies, Parameter
from fieldapp.record.cleaning import CleanoutPass, SoundingPoint, SoundingRound
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.concrete import ConcreteStarted
from fieldapp.record.decisions import Amend, Basis, Hold, LogSigned, Position, Release, Strike
from fieldapp.record.entry import ChainHead, Draft, Entry, seal
from fieldapp.record.hole import Event, ExcavationStage
from fieldapp.record.kinds import PROJECT_KINDS, Values
from fieldapp.record.reading import Reading
from fieldapp.record.setup import Instrument, Person, PiezometricLevel, ProjectSetup, ShaftScheduled
from fieldapp.record.shaft import ProjectRecord, ShaftRecord, digest_of, project_record
from fieldapp.record.words import (
    CleanoutMethod,
    DesignBasis,
    Fluid,
    FluidStage,
    Happening,
    InstrumentType,
    Method,
    Role,
    RoundWhy,
    UnitSystem,
)

ZONE = timezone(timedelta(hours=-6))
DAY = datetime(2026, 5, 12, tzinfo=ZONE)
INSPECTOR = "Ana Inspector"
ENGINEER = "Rob Engineer"
DESIGNER = "Dee Designer"
SHAFT = "S1"
EVERYWHERE = Applies()


def at(clock: str, day: int = 12) -> datetime:
    """The moment of ``"14:05"`` on a day of May 2026."""
    hour, minute = clock.split(":")
    return DAY.replace(day=day, hour=int(hour), minute=int(minute))


def reading(text: str) -> Reading:
    """``"1/2 in"``, ``"61' 4\\""`` or ``"9 pH"`` as a reading."""
    if "'" in text:
        return Reading(text, "ft-in")
    number, _, unit = text.rpartition(" ")
    return Reading(number, unit)


def parameter(
    name: str, value: str | None, strict: bool = False, applies: Applies = EVERYWHERE, unit: str = ""
) -> Parameter:
    """A limit out of the contract: ``parameter("sand_max", "4 %")``; a word has no unit."""
    if value is not None and value[0].isdigit():
        number = reading(value)
        return Parameter(name, number.read, number.unit, "test contract", "contract", strict, applies=applies)
    return Parameter(name, value, unit, "test contract", "contract", strict, applies=applies)


def accepted(*parameters: Parameter) -> AcceptanceSet:
    """An acceptance set of these parameters."""
    return AcceptanceSet("test", "Test limits", "test", parameters)


@dataclass
class Journal:
    """A project in the making.  ``say`` appends, ``record`` folds."""

    acceptance: AcceptanceSet
    units: UnitSystem = UnitSystem.US
    entries: list[Entry] = field(default_factory=list)
    count: int = 0
    now: datetime = DAY

    def say(
        self,
        values: Values,
        when: datetime,
        *,
        device: str = "tablet-a",
        author: str = INSPECTOR,
        recorded: datetime | None = None,
        shaft: str | None = SHAFT,
        parents: Iterable[str] = (),
        unaware_of: Iterable[Entry] = (),
        confirmed: Iterable[str] = (),
    ) -> Entry:
        """Append one entry observed at ``when``; recorded then too unless said otherwise."""
        self.count += 1
        draft = Draft(
            id=f"01900000-0000-7000-8000-{self.count:012x}",
            project="test-job",
            shaft=None if values.KIND in PROJECT_KINDS else shaft,
            values=values,
            observed_at=when,
            recorded_at=recorded or when,
            author=author,
            parents=tuple(parents),
            confirmed=tuple(confirmed),
        )
        unknown = {each.id for each in unaware_of}
        chain = [each for each in self.entries if each.device == device]
        head = ChainHead(device, chain[-1].seq, chain[-1].hash) if chain else ChainHead(device)
        known = [each.stamp for each in self.entries if each.id not in unknown]
        entry = seal(draft, head, max(known, default=0) + 1)
        self.entries.append(entry)
        self.now = max(self.now, when)
        return entry

    def set_up(self, **changes: object) -> Entry:
        """The project set-up, with three people."""
        people = (
            Person(INSPECTOR, (Role.INSPECTOR,)),
            Person(ENGINEER, (Role.RESIDENT_ENGINEER,)),
            Person(DESIGNER, (Role.DESIGNER,)),
        )
        fields = {"name": "Test job", "units": self.units, "time_zone": "Etc/GMT+6", "people": people}
        made = ProjectSetup(acceptance=self.acceptance, **(fields | changes))  # type: ignore[arg-type]
        return self.say(made, at("05:00"))

    def plan(self, **changes: object) -> Entry:
        """A wet shaft of 5 ft in mineral slurry, 60 ft deep; fields can be changed."""
        fields: dict[str, object] = {
            "location": "bent 1",
            "method": Method.WET,
            "fluid": Fluid.MINERAL,
            "design_basis": DesignBasis.BOTH,
            "diameter": reading("5 ft"),
            "reference_elevation": reading("100 ft"),
            "tip_elevation": reading("40 ft"),
            "piezometric_levels": (PiezometricLevel("sand", reading("90 ft")),),
        }
        return self.say(ShaftScheduled(**(fields | changes)), at("05:05"))  # type: ignore[arg-type]

    def dry_plan(self, **changes: object) -> Entry:
        """The same shaft, dry."""
        return self.plan(**({"method": Method.DRY, "fluid": Fluid.NONE} | changes))

    def check(self, label: str, kind: InstrumentType, when: datetime, passed: bool = True) -> Entry:
        """A check of an instrument."""
        cup = reading("946 mL") if kind is InstrumentType.FUNNEL else None
        return self.say(Instrument(label, kind, passed, "by comparison", cup_volume=cup), when)

    def drill(
        self,
        when: datetime,
        depths: tuple[str, str] = ("0 ft", "60 ft"),
        base: bool = True,
        began: datetime | None = None,
    ) -> Entry:
        """A stretch of drilling that ended at ``when``; to the base unless said otherwise."""
        top, bottom = (reading(each) for each in depths)
        stage = ExcavationStage(
            "auger", "rock", top, bottom, began, when, drilled_depth=bottom if base else None
        )
        return self.say(stage, when)

    def clean(self, number: int, began: datetime, ended: datetime) -> Entry:
        """A cleanout pass by airlift."""
        return self.say(CleanoutPass(number, CleanoutMethod.AIRLIFT, began, ended), ended)

    def head(self, when: datetime, level: str = "3 ft", **changes: object) -> Entry:
        """A head reading by tape from the reference."""
        return self.say(HeadReading(fluid_level=reading(level), **changes), when)  # type: ignore[arg-type]

    def sound(
        self,
        number: int,
        when: datetime,
        points: tuple[SoundingPoint, ...],
        why: RoundWhy = RoundWhy.BEFORE_CONCRETE,
        **where: object,
    ) -> Entry:
        """A round of soundings."""
        return self.say(SoundingRound(number, why, "tape 1", points), when, **where)  # type: ignore[arg-type]

    def test_fluid(self, number: int, when: datetime, depth: str = "59 ft", **changes: object) -> Entry:
        """A sample before concrete that keeps every usual limit; fields can be changed."""
        fields: dict[str, object] = {
            "stage": FluidStage.BEFORE_CONCRETE,
            "set": number,
            "sample_depth": reading(depth),
            "density": reading("68 pcf"),
            "funnel_time": reading("35 s"),
            "cup_volume": reading("946 mL"),
            "temperature": reading("60 degF"),
            "sand": reading("1 %"),
            "ph": reading("9 pH"),
        }
        return self.say(FluidTest(**(fields | changes)), when)  # type: ignore[arg-type]

    def event(self, what: Happening, when: datetime, **changes: object) -> Entry:
        """An event."""
        return self.say(Event(what, str(what), **changes), when)  # type: ignore[arg-type]

    def amend(self, target: Entry, says: Values, when: datetime, **changes: object) -> Entry:
        """An amendment that follows the entry itself, or the parents given."""
        parents = changes.pop("parents", (target.id,))
        moment = changes.pop("observed_at", None)
        return self.say(
            Amend(target.id, says, "misread", moment), when, parents=parents, shaft=target.shaft, **changes
        )  # type: ignore[arg-type]

    def strike(self, target: Entry, when: datetime) -> Entry:
        """A strike of an entry."""
        return self.say(Strike(target.id, "entered twice"), when, parents=(target.id,), shaft=target.shaft)

    def basis(self, shaft: str = SHAFT) -> Basis:
        """Everything that is in the journal now."""
        last = {each.device: each.seq for each in self.entries}
        mine = [each for each in self.entries if each.shaft == shaft]
        positions = tuple(Position(device, seq) for device, seq in sorted(last.items()))
        return Basis(positions, digest_of(mine))

    def sign(self, when: datetime) -> Entry:
        """The inspector signs the log as it is."""
        return self.say(LogSigned(self.basis(), "As observed."), when)

    def release(self, when: datetime, until: datetime, reason: str = "", **where: object) -> Entry:
        """The resident engineer releases concrete on the record as it is."""
        values = Release(self.basis(), until, reason=reason)
        return self.say(values, when, **({"author": ENGINEER} | where))  # type: ignore[arg-type]

    def hold(self, when: datetime, reason: str = "wait") -> Entry:
        """The resident engineer holds concrete."""
        return self.say(Hold(self.basis(), reason), when, author=ENGINEER)

    def concrete(self, when: datetime, **changes: object) -> Entry:
        """The first charge."""
        return self.say(ConcreteStarted("closed tip", **changes), when)  # type: ignore[arg-type]

    def record(self) -> ProjectRecord:
        """The project folded from the journal."""
        return project_record("test-job", self.entries)

    def shaft(self) -> ShaftRecord:
        """The shaft folded from the journal."""
        return self.record().shafts[SHAFT]


def five_points(*thickness_in: str | None, radius: str = "26 in") -> tuple[SoundingPoint, ...]:
    """Centre and four points near the wall; None has first contact only."""
    places = (("0 in", "0 deg"), *((radius, f"{angle} deg") for angle in (0, 90, 180, 270)))
    return tuple(
        point(str(number), place, thickness)
        for number, (place, thickness) in enumerate(zip(places, thickness_in, strict=True), start=1)
    )


def point(label: str, place: tuple[str, str], thickness_in: str | None) -> SoundingPoint:
    """A point whose firm depth is 60 ft; the thickness in inches, or first contact only."""
    r, angle = (reading(each) for each in place)
    if thickness_in is None:
        return SoundingPoint(label, r, angle, first_contact=reading("59 ft"))
    firm_in = 720
    first = Reading(_inches(firm_in, thickness_in), "in")
    return SoundingPoint(label, r, angle, first_contact=first, firm=Reading(str(firm_in), "in"))


def _inches(firm_in: int, thickness_in: str) -> str:
    left = firm_in - Reading(thickness_in, "in").si / Reading("1", "in").si
    whole, part = divmod(left, 1)
    return f"{whole} {part}" if part else str(whole)
