"""Limits and a passing shaft that tests of rules start from: each test then breaks one thing."""

from __future__ import annotations

from datetime import datetime

from fieldapp.criteria.finding import BaseStanding, Finding, ReleaseState
from fieldapp.criteria.findings import findings
from fieldapp.criteria.release import release_state
from fieldapp.criteria.standing import base_standing
from fieldapp.record.acceptance import AcceptanceSet, Applies, Parameter
from fieldapp.record.words import Fluid, Happening, InstrumentType, Method, RoundWhy
from tests.support.journals import SHAFT, Journal, accepted, at, five_points, parameter

MINERAL = Applies(fluid=(Fluid.MINERAL,))
DRY = Applies(method=(Method.DRY,))

# Numbers of preset US-A (standards survey, section 2; memory: sure) and S2; the rest is ours for the test.
USUAL = (
    parameter("area_fraction_limit", "1/2 in", strict=True),
    parameter("area_fraction_min", "50 %"),
    parameter("max_thickness_anywhere", "1 1/2 in"),
    parameter("standing_water_limit", "3 in", applies=DRY),
    parameter("seepage_rate_limit", "12 in/h", applies=DRY),
    parameter("seepage_window", "5 min", applies=DRY),
    parameter("min_points", "5 count"),
    parameter("edge_offset", "6 in"),
    parameter("require_firm_bottom", "yes"),
    parameter("rounds_required", "after cage, before concrete"),
    parameter("resound_events", "slough, loss of head, cage set"),
    parameter("max_hours_inspect_to_concrete", "4 h"),
    parameter("max_slurry_contact_bottom_h", "4 h", applies=MINERAL),
    parameter("contact_zone_length", "5 ft", applies=MINERAL),
    parameter("overream_min", "1/2 in"),
    parameter("overream_max", "3 in"),
    parameter("density_min", "64.3 pcf", applies=MINERAL),
    parameter("density_max", "75 pcf", applies=MINERAL),
    parameter("viscosity_min", "28 s", applies=MINERAL),
    parameter("viscosity_max", "45 s", applies=MINERAL),
    parameter("viscosity_cup", "946 mL"),
    parameter("ph_min", "8 pH", applies=MINERAL),
    parameter("ph_max", "11 pH", applies=MINERAL),
    parameter("sand_max", "4 %", applies=MINERAL),
    parameter("temp_min_test", "40 degF", applies=MINERAL),
    parameter("sample_bottom_within", "2 ft", applies=MINERAL),
    parameter("include_midheight", "yes", applies=MINERAL),
    parameter("consecutive_sets", "2 count", applies=MINERAL),
    parameter("fluid_test_max_age", "4 h", applies=MINERAL),
    parameter("min_head", "5 ft", applies=MINERAL),
    parameter("max_head_gap", "2 h"),
    parameter("instrument_check_max_age", "30 day", applies=Applies(instrument=(InstrumentType.TAPE,))),
    parameter("late_entry_after", "12 h"),
    parameter("base_requires", "clean_verified, no_voids"),
)


def usual(*changes: Parameter, without: tuple[str, ...] = ()) -> AcceptanceSet:
    """The usual limits with some replaced by name, and some left out."""
    out = {*without, *(each.name for each in changes)}
    return accepted(*(each for each in USUAL if each.name not in out), *changes)


def drilled(journal: Journal, **plan: object) -> Journal:
    """Set up, planned, drilled to the base by 08:00 and cleaned by 09:00, with the head kept."""
    journal.set_up()
    journal.plan(**plan)
    journal.check("tape 1", InstrumentType.TAPE, at("06:00"))
    journal.head(at("07:30"))
    journal.drill(at("08:00"), began=at("07:00"))
    journal.head(at("08:20"))
    journal.clean(1, at("08:30"), at("09:00"))
    journal.head(at("09:30"))
    return journal


def with_tests(journal: Journal) -> Journal:
    """Two passing sets, near the base and at mid-height."""
    for number, clock in ((1, "09:40"), (2, "10:00")):
        journal.test_fluid(number, at(clock), "31 ft")
        journal.test_fluid(number, at(clock), "59 ft")
    return journal


def caged(journal: Journal) -> Journal:
    """The cage in, with the head read."""
    journal.event(Happening.CAGE_SET, at("10:10"))
    journal.head(at("10:20"))
    return journal


def passing(*thickness_in: str | None, acceptance: AcceptanceSet | None = None, **plan: object) -> Journal:
    """A shaft ready for concrete at 10:30; five points, clean unless said otherwise."""
    journal = caged(with_tests(drilled(Journal(acceptance or usual()), **plan)))
    thickness = thickness_in or ("1/4", "1/4", "1/4", "1/2", "3/4")
    journal.sound(1, at("10:30"), five_points(*thickness), RoundWhy.BEFORE_CONCRETE)
    return journal


def found(journal: Journal, moment: datetime | None = None) -> dict[str, Finding]:
    """Findings of the shaft by requirement, at the last entry unless said otherwise."""
    record = journal.record()
    made = findings(record, record.shafts[SHAFT], moment or journal.now)
    assert len({each.requirement for each in made}) == len(made)
    return {each.requirement: each for each in made}


def stands(journal: Journal, moment: datetime | None = None) -> BaseStanding:
    """The base standing of the shaft."""
    record = journal.record()
    shaft = record.shafts[SHAFT]
    moment = moment or journal.now
    state = release_state(record, shaft, moment)
    return base_standing(record, shaft, findings(record, shaft, moment), state)


def state(journal: Journal, clock: str) -> ReleaseState:
    record = journal.record()
    return release_state(record, record.shafts[SHAFT], at(clock))


def released() -> Journal:
    journal = passing()
    journal.sign(at("10:40"))
    journal.release(at("10:45"), at("11:50"))
    return journal
