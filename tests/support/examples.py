"""One example of every entry kind, for tests that must cover them all.  Values are invented."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

from fieldapp.record.acceptance import AcceptanceSet, Applies, Parameter
from fieldapp.record.attesting import DeviceKey, PaperSigned, Revocation, StretchSigned
from fieldapp.record.cleaning import CleanoutPass, SoundingPoint, SoundingRound
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.concrete import AsBuilt, ConcreteFinished, ConcreteStarted
from fieldapp.record.decisions import (
    Amend,
    Basis,
    Disposition,
    Hold,
    LogSigned,
    Position,
    Release,
    Strike,
    Withdrawal,
)
from fieldapp.record.hole import (
    BaseSighting,
    Delay,
    DiameterAt,
    Event,
    ExcavationStage,
    GeometrySurvey,
    Note,
    Photo,
    StandingWater,
)
from fieldapp.record.kinds import Values
from fieldapp.record.reading import Reading
from fieldapp.record.setup import (
    DesignNumbers,
    Instrument,
    Person,
    PiezometricLevel,
    ProjectSetup,
    ShaftScheduled,
)
from fieldapp.record.words import (
    Caution,
    CleanoutMethod,
    Decision,
    DesignBasis,
    Fluid,
    FluidStage,
    Happening,
    InstrumentType,
    MakeUp,
    Method,
    PaperKind,
    Role,
    RoundWhy,
    Seen,
    UnitSystem,
)

MOUNTAIN = timezone(timedelta(hours=-6))
MORNING = datetime(2026, 5, 12, 7, 40, tzinfo=MOUNTAIN)
SOMETHING = "0" * 63 + "1"
AN_ID = "01890a5d-ac96-774b-bcce-b302099a8057"
BASIS = Basis((Position("tablet north", 7), Position("tablet south", 3)), SOMETHING)


def feet(read: str) -> Reading:
    return Reading(read, "ft-in")


EXAMPLES: tuple[Values, ...] = (
    ProjectSetup(
        name="Larkwater crossing",
        units=UnitSystem.US,
        time_zone="America/Denver",
        acceptance=AcceptanceSet(
            id="two-limits",
            title="Two limits",
            standard="none",
            parameters=(
                Parameter("area_fraction_limit", "1/2", "in", "invented", "judgment", strict=True),
                Parameter("sand_max", None, "", "invented", "none", applies=Applies(fluid=(Fluid.MINERAL,))),
            ),
        ),
        people=(
            Person("Inspector A", (Role.INSPECTOR,)),
            Person("Resident engineer", (Role.RESIDENT_ENGINEER,)),
            Person("Designer", (Role.DESIGNER, Role.INSPECTOR)),
        ),
        confidence=Reading("90", "%"),
    ),
    ShaftScheduled(
        location="Pier 1, north",
        method=Method.WET,
        fluid=Fluid.MINERAL,
        design_basis=DesignBasis.BOTH,
        diameter=Reading("6", "ft"),
        reference_elevation=Reading("5104.5", "ft"),
        tip_elevation=Reading("5043", "ft"),
        cautions=(Caution.ARTESIAN,),
        piezometric_levels=(PiezometricLevel("sandstone", Reading("5098.2", "ft")),),
        design=DesignNumbers(rock_strength=Reading("1450", "psi"), base_factor=Reading("0.5", "ratio")),
    ),
    Instrument(
        label="funnel 1",
        type=InstrumentType.FUNNEL,
        passed=True,
        check="water 26.1 s at 70 F",
        cup_volume=Reading("946", "mL"),
        water_time=Reading("26.1", "s"),
    ),
    ExcavationStage(
        tool="rock auger",
        material="weathered shale",
        from_depth=feet("40' 0\""),
        to_depth=feet("61' 5\""),
        started_at=MORNING,
        ended_at=MORNING + timedelta(hours=3),
        drilled_depth=feet("61' 5\""),
    ),
    FluidTest(
        stage=FluidStage.BEFORE_CONCRETE,
        set=2,
        sample_depth=feet("60' 6\""),
        density=Reading("68.5", "pcf"),
        funnel_time=Reading("41", "s"),
        cup_volume=Reading("946", "mL"),
        temperature=Reading("62", "degF"),
        sand=Reading("1.5", "%"),
        ph=Reading("9.2", "pH"),
        instruments=("balance 1", "funnel 1"),
    ),
    HeadReading(fluid_level=feet("1' 2\""), make_up=MakeUp.ON),
    CleanoutPass(
        number=2,
        method=CleanoutMethod.AIRLIFT,
        started_at=MORNING,
        ended_at=MORNING + timedelta(minutes=35),
        came_up="fine sand, then clear",
        depth_before=feet("61' 2\""),
        depth_after=feet("61' 5\""),
        air_pressure=Reading("55", "psi"),
    ),
    SoundingRound(
        number=1,
        why=RoundWhy.AFTER_PASS,
        after_pass=2,
        instrument="tape 1",
        points=(
            SoundingPoint(
                "C", Reading("0", "in"), Reading("0", "deg"), feet("61' 4 1/2\""), feet("61' 5 1/4\"")
            ),
            SoundingPoint("N", Reading("25", "in"), Reading("0", "deg"), no_reading="cage in the way"),
            SoundingPoint("E", Reading("25", "in"), Reading("90", "deg"), first_contact=feet("61' 4\"")),
            SoundingPoint("S", Reading("25", "in"), Reading("180", "deg"), thickness=Reading("1/4", "in")),
        ),
    ),
    GeometrySurvey(
        means=InstrumentType.CALIPER,
        diameters=(DiameterAt(feet("50' 0\""), Reading("6.1", "ft")),),
        plumbness=Reading("0.8", "%"),
    ),
    BaseSighting(
        means="camera from the surface", seen=(Seen.LOOSE_MATERIAL,), text="thin film", picture=SOMETHING
    ),
    StandingWater(
        pumps_off=True, depth=Reading("2", "in"), rise=Reading("1", "in"), window=Reading("5", "min")
    ),
    Photo(picture=SOMETHING, caption="bucket after pass 2"),
    Note(text="rig moved"),
    Delay(why="cage late", started_at=MORNING, ended_at=MORNING + timedelta(hours=2)),
    Event(what=Happening.OVERREAMING, text="bottom 5 ft", amount=Reading("1", "in")),
    Amend(
        target=AN_ID,
        says=HeadReading(fluid_level=feet("1' 3\"")),
        why="read the wrong mark",
        observed_at=MORNING.astimezone(UTC),
    ),
    Strike(target=AN_ID, why="entered twice"),
    LogSigned(basis=BASIS, statement="Recorded as seen."),
    Release(basis=BASIS, until=MORNING + timedelta(hours=9), conditions="sound again after 15:00"),
    Hold(basis=BASIS, reason="sand near the base"),
    Withdrawal(release=AN_ID, reason="tremie delayed"),
    Disposition(
        basis=BASIS,
        decision=Decision.REDUCED_CREDIT,
        why="soft layer",
        credit=Reading("0.7", "ratio"),
        displacement=Reading("0.4", "in"),
    ),
    ConcreteStarted(first_charge="plug in place", slump=Reading("8", "in")),
    ConcreteFinished(text="to cut-off", volume=Reading("62", "yd3")),
    AsBuilt(text="filed", tip_elevation=Reading("5043.1", "ft")),
    DeviceKey(certificate="-----BEGIN CERTIFICATE-----\nMIIB\n-----END CERTIFICATE-----\n"),
    StretchSigned(
        seq=3,
        hash=SOMETHING,
        device_signature="30" * 71,
        person_fingerprint=SOMETHING,
        person_signature="30" * 70,
    ),
    PaperSigned(
        paper=PaperKind.SHAFT_LOG,
        about="P1-1",
        file_name="p1-1-log.pdf",
        file_digest=SOMETHING,
        record_digest=SOMETHING,
        field="Inspector",
        role=Role.INSPECTOR,
        fingerprint=SOMETHING,
        drawn="0.1,0.2 0.3,0.25;0.5,0.5 0.6,0.4",
    ),
    Revocation(holder="Inspector A", fingerprint=SOMETHING, since=MORNING, why="tablet lost"),
)
