"""An invented shaft for the tests of the paper: one story told through the record itself."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from zoneinfo import ZoneInfo

from fieldapp.criteria.finding import (
    BaseStanding,
    Finding,
    Group,
    NextStep,
    Outcome,
    ReleaseState,
    ReleaseStatus,
    Standing,
    Work,
)
from fieldapp.record.acceptance import AcceptanceSet, Parameter
from fieldapp.record.chain import heads_of
from fieldapp.record.cleaning import CleanoutPass, SoundingPoint, SoundingRound
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.concrete import ConcreteStarted
from fieldapp.record.decisions import Amend, Basis, LogSigned, Position, Release, Strike
from fieldapp.record.entry import ChainHead, Draft, Entry, seal
from fieldapp.record.fold import Line, lines_of
from fieldapp.record.hole import Delay, Event, ExcavationStage, Note, Photo
from fieldapp.record.kinds import Values
from fieldapp.record.reading import Reading
from fieldapp.record.setup import Instrument, Person, PiezometricLevel, ProjectSetup, ShaftScheduled
from fieldapp.record.shaft import shaft_record
from fieldapp.record.words import (
    Caution,
    CleanoutMethod,
    DesignBasis,
    Fluid,
    FluidStage,
    Happening,
    InstrumentType,
    MakeUp,
    Method,
    Role,
    RoundWhy,
    UnitSystem,
)
from fieldapp.units import INCH_M, show_feet_inch
from reports.facts import ShaftFacts

ZONE = ZoneInfo("America/Denver")
DAY = datetime(2026, 5, 12, tzinfo=ZONE)
INSPECTOR, ENGINEER, DESIGNER = "Inspector A", "Engineer B", "Designer C"
BOTTOM = "61' 5\""
CAUTIONS = (
    "Nobody enters the hole. Every reading in this log was made from the surface.",
    "An open hole is a fall of many metres: cover or guard it whenever nobody works at it.",
)


@dataclass
class Tape:
    """Makes sealed entries one after another; times are hours of the story's day."""

    shaft: str | None = "P2-3"
    project: str = "larkwater"
    entries: list[Entry] = field(default_factory=list)
    stamp: int = 0

    def add(self, values: Values, hour: float, *, device: str = "tablet north", **more: object) -> Entry:
        self.stamp += 1
        mine = [each for each in self.entries if each.device == device]
        head = ChainHead(device, mine[-1].seq, mine[-1].hash) if mine else ChainHead(device)
        observed = DAY + timedelta(hours=hour)
        late = timedelta(hours=float(more.pop("late", 0.02)))
        draft = Draft(
            id=f"01890a5d-ac96-774b-bcce-{self.stamp:012x}",
            project=self.project,
            shaft=self.shaft,
            values=values,
            observed_at=observed,
            recorded_at=observed + late,
            author=str(more.pop("author", INSPECTOR)),
            **more,
        )
        entry = seal(draft, head, self.stamp)
        self.entries.append(entry)
        return entry

    def amend(self, target: Entry, says: Values, hour: float, why: str, **more: object) -> Entry:
        parent = more.pop("parent", target)
        moved = more.pop("observed_at", None)
        return self.add(Amend(target.id, says, why, moved), hour, parents=(parent.id,), **more)


def ft(text: str) -> Reading:
    return Reading(text, "ft-in")


def limit(name: str, value: str | None, unit: str, **more: object) -> Parameter:
    return Parameter(name, value, unit, "project special provision 5", "contract", **more)


PARAMETERS = (
    limit("area_fraction_limit", "1/2", "in", strict=True),
    limit("area_fraction_min", "50", "%"),
    limit("max_thickness_anywhere", "1 1/2", "in"),
    limit("density_min", "64.3", "pcf"),
    limit("density_max", "72", "pcf"),
    limit("viscosity_min", "28", "s"),
    limit("viscosity_max", "45", "s"),
    limit("sand_max", "4", "%"),
    limit("ph_min", "8", "pH"),
    limit("ph_max", "11", "pH"),
    limit("sample_bottom_within", "1", "ft"),
    limit("min_head", "5", "ft"),
    limit("max_head_gap", "2", "h"),
    limit("late_entry_after", "2", "h"),
)


def setup_us(**more: object) -> ProjectSetup:
    given = {
        "name": "Larkwater crossing",
        "units": UnitSystem.US,
        "time_zone": "America/Denver",
        "acceptance": AcceptanceSet("us-classic", "Classic area-share limits", "project set", PARAMETERS),
        "people": (
            Person(INSPECTOR, (Role.INSPECTOR,)),
            Person(ENGINEER, (Role.RESIDENT_ENGINEER,)),
            Person(DESIGNER, (Role.DESIGNER,)),
        ),
        "confidence": Reading("90", "%"),
    }
    return ProjectSetup(**{**given, **more})


def plan_us(**more: object) -> ShaftScheduled:
    given = {
        "location": "Pier 2, third from upstation",
        "method": Method.WET,
        "fluid": Fluid.MINERAL,
        "design_basis": DesignBasis.BOTH,
        "diameter": Reading("6", "ft"),
        "reference_elevation": Reading("5104.5", "ft"),
        "tip_elevation": Reading("5043.0", "ft"),
        "socket_top_elevation": Reading("5061.0", "ft"),
        "cautions": (Caution.ARTESIAN,),
        "piezometric_levels": (
            PiezometricLevel("alluvium", Reading("5090.5", "ft")),
            PiezometricLevel("sandstone", Reading("5097.0", "ft")),
        ),
    }
    return ShaftScheduled(**{**given, **more})


def round_us(
    number: int, eighths: list[int | None], why: RoundWhy, after: int | None = None
) -> SoundingRound:
    """Nine points: centre and eight at r 31 in; thickness in eighths of an inch, None for no reading."""
    bottom = ft(BOTTOM).si
    points = []
    for i, each in enumerate(eighths):
        place = (Reading("0" if i == 0 else "31", "in"), Reading(str(45 * max(0, i - 1)), "deg"))
        label = "C" if i == 0 else f"R{i}"
        if each is None:
            points.append(SoundingPoint(label, *place, no_reading="cage in the way"))
        else:
            top = ft(show_feet_inch(bottom - Fraction(each, 8) * INCH_M))
            points.append(SoundingPoint(label, *place, first_contact=top, firm=ft(BOTTOM)))
    return SoundingRound(number, why, "tape 1", tuple(points), after)


def fluid_set(number: int, stage: FluidStage, rows: list[tuple[str, str, str, str, str]]) -> list[FluidTest]:
    return [
        FluidTest(
            stage=stage,
            set=number,
            sample_depth=ft(at),
            density=Reading(density, "pcf"),
            funnel_time=Reading(funnel, "s"),
            cup_volume=Reading("946", "mL"),
            temperature=Reading("61", "degF"),
            sand=Reading(sand, "%") if sand else None,
            ph=Reading(ph, "pH"),
            instruments=("balance 1", "funnel 1"),
        )
        for at, density, funnel, sand, ph in rows
    ]


def full_tape() -> Tape:
    """Nine-point rounds, two fluid sets at three depths, eight head readings, three passes, changes."""
    tape = Tape()
    tape.add(plan_us(), 5.5, author=ENGINEER)
    tape.add(
        ExcavationStage(
            "rock auger",
            "weathered, then fresh sandstone",
            ft("43' 6\""),
            ft(BOTTOM),
            DAY + timedelta(hours=6),
            DAY + timedelta(hours=8.5),
            ft(BOTTOM),
            ft(BOTTOM),
        ),
        8.5,
    )
    levels = [(8.6, "0' 10\""), (9.2, "1' 1\""), (10.0, "2' 3\""), (10.8, "1' 5\""), (11.5, "3' 1\"")]
    levels += [(14.6, "1' 2\""), (15.4, "1' 0\""), (16.2, "0' 11\"")]
    heads = [tape.add(HeadReading(ft(read), MakeUp.ON), hour) for hour, read in levels]
    for i, (hour, before, after) in enumerate(
        [(9.0, "61' 1\"", "61' 3\""), (9.8, "61' 3\"", "61' 4 1/2\""), (14.0, "61' 4\"", BOTTOM)], start=1
    ):
        span = (DAY + timedelta(hours=hour), DAY + timedelta(hours=hour + 0.5))
        up = ("sand and rock chips", "fine sand, then clear", "clear from the start")[i - 1]
        tape.add(
            CleanoutPass(i, CleanoutMethod.AIRLIFT, *span, up, ft(before), ft(after), Reading("55", "psi")),
            hour + 0.5,
        )
    tape.add(round_us(1, [6, 5, 4, 9, 13, 11, 6, None, 3], RoundWhy.AFTER_PASS, 2), 10.6)
    first = tape.add(round_us(2, [2, 2, 3, 4, 6, 3, 2, 1, 2], RoundWhy.AFTER_PASS, 3), 14.9)
    rows = [("5' 0\"", "66.1", "36", "0.5", "9.1"), ("31' 0\"", "67.4", "38", "1.5", "9.2")]
    for test in fluid_set(
        1, FluidStage.BEFORE_FINAL_CLEANING, [*rows, ("61' 0\"", "72.6", "44", "6", "9.4")]
    ):
        tape.add(test, 10.3)
    rows = [("5' 0\"", "65.8", "35", "0.25", "9.0"), ("31' 0\"", "66.2", "36", "", "9.1")]
    second = [
        tape.add(test, 15.2)
        for test in fluid_set(2, FluidStage.BEFORE_CONCRETE, [*rows, ("61' 0\"", "86.8", "39", "1.5", "9.2")])
    ]
    told = replace(second[2].values, density=Reading("68.8", "pcf"))
    tape.amend(
        second[2], told, 15.4, "Balance misread: 86.8 should be 68.8; read again with the same sample."
    )
    points = list(first.values.points)
    points[4] = replace(points[4], first_contact=ft("61' 4 1/2\""))
    tape.amend(first, replace(first.values, points=tuple(points)), 15.1, "R4 written on the wrong line.")
    double = tape.add(HeadReading(ft("9' 2\""), MakeUp.OFF), 11.6, confirmed=("level-jump",))
    strike = Strike(double.id, "Read at shaft P2-4 and entered here by mistake.")
    tape.add(strike, 12.1, parents=(double.id,), author=ENGINEER, device="tablet south")
    start = DAY + timedelta(hours=11.6)
    tape.add(Delay("Cage late: crane held at pier 1.", start, start + timedelta(hours=2.4)), 14.0)
    tape.add(Event(Happening.CAGE_SET, "cage set, spacers checked at the top"), 15.8)
    tape.add(Photo("ab" * 32, "Bucket after pass 2, fine sand."), 10.4, device="tablet south")
    tape.add(Note("Rain from 11:30 to 13:00; the hole was covered."), 11.7, late=9.5)
    assert heads
    basis = Basis((Position("tablet north", 20), Position("tablet south", 2)), "0c" * 32)
    tape.add(LogSigned(basis, "Recorded as seen from the surface."), 16.3)
    release = Release(basis, DAY + timedelta(hours=18.5), "Sound again if concrete starts after 17:30.")
    tape.add(release, 16.5, author=ENGINEER, device="tablet south")
    return tape


def findings_us(tape: Tape) -> tuple[Finding, ...]:
    """Findings as the rules would hand them over; written by hand for the paper's sake."""
    own = "project special provision 5 (contract)"
    seen = DAY + timedelta(hours=14.9)
    return (
        Finding(
            "base area share",
            Group.BASE,
            Outcome.MET,
            "78 % of the base is under 1/2 in.",
            "78 % under 1/2 in",
            "at least 50 %",
            "9 points",
            seen,
            (tape.entries[0].id,),
            own,
        ),
        Finding(
            "largest thickness",
            Group.BASE,
            Outcome.MET,
            "Largest 1/2 in.",
            "0.5 in",
            "at most 1 1/2 in",
            "points R3, R4",
            seen,
            source=own,
        ),
        Finding(
            "head over the piezometric level",
            Group.HEAD,
            Outcome.NOT_MET,
            "Head fell to 4.42 ft at 11:30: at least 5 ft is asked.",
            "4.42 ft lowest",
            "at least 5 ft",
            "sandstone",
            DAY + timedelta(hours=11.5),
            source=own,
            work=Work.RESTORE_HEAD,
            weight=80,
        ),
        Finding(
            "head watched",
            Group.HEAD,
            Outcome.NOT_SHOWN,
            "No head reading from 11:30 to 14:36.",
            "",
            "a reading every 2 h",
            "",
            DAY + timedelta(hours=11.5),
            source=own,
            work=Work.READ_HEAD,
            weight=60,
        ),
        Finding(
            "sand at every depth",
            Group.FLUID,
            Outcome.NOT_SHOWN,
            "Set 2: sand was not tested at 31 ft.",
            "1.5 % at 61 ft",
            "at most 4 %",
            "set 2, 31' 0\"",
            DAY + timedelta(hours=15.2),
            source=own,
            work=Work.TEST_FLUID,
            weight=40,
        ),
        Finding(
            "density", Group.FLUID, Outcome.MET, "68.8 pcf.", "65.8 to 68.8 pcf", "64.3 to 72 pcf", "set 2"
        ),
        Finding("flatness", Group.BASE, Outcome.NOT_ASKED, "Not asked."),
        Finding("fluid loss", Group.FLUID, Outcome.NOT_ASKED, "Not asked."),
        Finding("standing water", Group.WATER, Outcome.NOT_ASKED, "Not asked."),
    )


def standing_us(found: tuple[Finding, ...]) -> BaseStanding:
    reasons = tuple(sorted((each for each in found if each.weight), key=lambda each: -each.weight))
    step = NextStep("Restore the head to 5 ft or more and read it.", Work.RESTORE_HEAD, "head")
    return BaseStanding(Standing.REWORK, reasons, step)


def instruments_us() -> tuple[Line[Instrument], ...]:
    tape = Tape(shaft=None)
    funnel = Instrument(
        "funnel 1",
        InstrumentType.FUNNEL,
        True,
        "water 26.1 s at 70 degF",
        cup_volume=Reading("946", "mL"),
        water_time=Reading("26.1", "s"),
    )
    tape.add(funnel, 5.0)
    tape.add(
        Instrument("tape 1", InstrumentType.TAPE, True, "against steel tape", Reading("-1/4", "in")), 5.1
    )
    tape.add(Instrument("tape 9", InstrumentType.TAPE, True, "spare"), 5.2)
    return lines_of(tape.entries)


def facts_us(tape: Tape | None = None, **more: object) -> ShaftFacts:
    tape = tape or full_tape()
    record = shaft_record("P2-3", tape.entries)
    found = findings_us(tape)
    given = {
        "project_id": "larkwater",
        "setup": setup_us(),
        "record": record,
        "findings": found,
        "standing": standing_us(found),
        "release": ReleaseState(
            ReleaseStatus.RELEASED,
            until=DAY + timedelta(hours=18.5),
            conditions="Sound again if concrete starts after 17:30.",
            author=ENGINEER,
        ),
        "record_digest": record.digest,
        "at": DAY + timedelta(hours=16.6),
        "heads": tuple(heads_of(tape.entries).values()),
        "printed_at": datetime(2026, 5, 12, 22, 45, tzinfo=UTC),
        "printed_by": INSPECTOR,
        "cautions": CAUTIONS,
        "instruments": instruments_us(),
    }
    return ShaftFacts(**{**given, **more})


def facts_only_scheduled() -> ShaftFacts:
    tape = Tape()
    tape.add(plan_us(piezometric_levels=(), cautions=()), 5.5, author=ENGINEER)
    step = NextStep("Sound the base.", Work.SOUND, "base area share")
    return facts_us(
        tape,
        findings=(),
        standing=BaseStanding(Standing.NOT_SHOWN, (), step),
        release=ReleaseState(ReleaseStatus.NONE),
        instruments=(),
    )


def concrete(tape: Tape, hour: float) -> None:
    tape.add(ConcreteStarted("plug in the tremie", Reading("8", "in")), hour)
