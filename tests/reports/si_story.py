"""The same kind of story in SI: a bored pile whose names are Greek and Cyrillic."""

from __future__ import annotations

from dataclasses import replace

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
from fieldapp.record.acceptance import AcceptanceSet
from fieldapp.record.cleaning import SoundingPoint, SoundingRound
from fieldapp.record.column import HeadReading
from fieldapp.record.hole import ExcavationStage
from fieldapp.record.reading import Reading
from fieldapp.record.setup import Person, PiezometricLevel
from fieldapp.record.shaft import shaft_record
from fieldapp.record.words import (
    FluidStage,
    MakeUp,
    Role,
    RoundWhy,
    UnitSystem,
)
from reports.facts import ShaftFacts
from tests.reports.story import Tape, facts_us, fluid_set, limit, plan_us, setup_us

SI_PARAMETERS = (
    limit("mean_thickness_limit", "25", "mm"),
    limit("max_thickness_anywhere", "50", "mm"),
    limit("weighting", "area cells", ""),
    limit("density_max", "1.15", "g/cm3", strict=True),
    limit("sand_max", None, "%"),
    limit("min_head", "1.5", "m"),
)


def facts_si() -> ShaftFacts:
    """A bored pile in SI with one point unread, a Greek and a Cyrillic name, a contested head reading."""
    tape = Tape(shaft="B3", project="vesker")
    mm = Reading("0", "mm")
    tape.add(
        plan_us(
            location="Quay wall, axis Ω, pile of the Northern corner",
            diameter=Reading("1500", "mm"),
            reference_elevation=Reading("4.20", "m"),
            tip_elevation=Reading("-18.30", "m"),
            socket_top_elevation=None,
            cautions=(),
            piezometric_levels=(PiezometricLevel("песок, верхний", Reading("0.85", "m")),),
        ),
        6,
        author="Ελένη Παπαδοπούλου",
    )
    stage = ExcavationStage("bucket", "gravel", Reading("0", "m"), Reading("22.5", "m"))
    tape.add(replace(stage, drilled_depth=Reading("22.50", "m")), 9)
    head = tape.add(HeadReading(Reading("1.20", "m"), MakeUp.ON), 9.5, author="Иван Щербаков")
    tape.amend(head, HeadReading(Reading("1.25", "m"), MakeUp.ON), 9.6, "Two people read.", device="tablet b")
    tape.amend(
        head, HeadReading(Reading("1.35", "m"), MakeUp.OFF), 9.7, "Two people read.", device="tablet c"
    )
    tape.add(HeadReading(Reading("1.10", "m"), MakeUp.ON), 10.5)
    tests = fluid_set(1, FluidStage.BEFORE_CONCRETE, [("71' 0\"", "71.8", "41", "2", "9.5")])
    tape.add(replace(tests[0], density=Reading("1.15", "g/cm3"), sample_depth=Reading("22.3", "m")), 10.6)
    place = (Reading("600", "mm"), Reading("90", "deg"))
    points = (
        SoundingPoint("1", mm, Reading("0", "deg"), Reading("22.488", "m"), Reading("22.50", "m")),
        SoundingPoint(
            "2", Reading("600", "mm"), Reading("0", "deg"), Reading("22.448", "m"), Reading("22.5", "m")
        ),
        SoundingPoint("3", *place, first_contact=Reading("22.47", "m")),
        SoundingPoint("4", Reading("600", "mm"), Reading("180", "deg"), thickness=Reading("2 1/2", "in")),
        SoundingPoint(
            "5", Reading("600", "mm"), Reading("270", "deg"), Reading("22.48", "m"), Reading("22.5", "m")
        ),
    )
    tape.add(SoundingRound(1, RoundWhy.BEFORE_CONCRETE, "tape 1", points), 11)
    accepted = AcceptanceSet(
        "eu-project", "Project limits", "EN 1536 with project limits", SI_PARAMETERS, "Draft."
    )
    people = (
        Person("Ελένη Παπαδοπούλου", (Role.RESIDENT_ENGINEER,)),
        Person("Иван Щербаков", (Role.INSPECTOR,)),
    )
    setup = setup_us(
        name="Vesker quay — Пристань 世",
        units=UnitSystem.SI,
        time_zone="Europe/Athens",
        acceptance=accepted,
        people=people,
    )
    found = (
        Finding(
            "mean thickness", Group.BASE, Outcome.NOT_SHOWN, "Point 3 was not read to firm bottom.", weight=5
        ),
    )
    step = NextStep("Sound point 3 again.", Work.SOUND, "mean thickness")
    record = shaft_record("B3", tape.entries)
    return facts_us(
        tape, project_id="vesker", setup=setup, record=record, findings=found, record_digest=record.digest,
        standing=BaseStanding(Standing.NOT_SHOWN, found, step), instruments=(),
        release=ReleaseState(ReleaseStatus.HELD, reason="One point is open.", author="Ελένη Παπαδοπούλου"),
        printed_by="Иван Щербаков",
    )  # fmt: skip
