"""Water on the base of a dry shaft.  CLN-D, CLN-E and HEAD-7 are those of the checks."""

from __future__ import annotations

import pytest

from fieldapp.criteria.finding import Outcome, Work
from fieldapp.record.hole import StandingWater
from fieldapp.record.words import Happening
from tests.criteria.stories import found, passing, usual
from tests.support.journals import Journal, at, reading

MET, NOT_MET, NOT_SHOWN = Outcome.MET, Outcome.NOT_MET, Outcome.NOT_SHOWN


def dry() -> Journal:
    journal = Journal(usual())
    journal.set_up()
    journal.dry_plan()
    journal.drill(at("08:00"))
    journal.clean(1, at("08:10"), at("08:30"))
    return journal


def wet_base(
    depth: str | None = None, rise: str | None = None, window: str = "5 min", pumps_off: bool = True
) -> StandingWater:
    return StandingWater(
        pumps_off,
        depth=reading(depth) if depth else None,
        rise=reading(rise) if rise else None,
        window=reading(window) if rise else None,
    )


@pytest.mark.parametrize(
    ("depth", "outcome"),
    [pytest.param("3.0 in", MET, id="CLN-D"), pytest.param("3.1 in", NOT_MET, id="CLN-E")],
)
def test_standing_water_at_and_over_its_limit(depth, outcome):
    # US-A preset: not over 3 in (memory: sure).
    journal = dry()
    journal.say(wet_base(depth), at("08:40"))
    got = found(journal)["standing water"]
    assert got.outcome is outcome
    assert got.work is (Work.DEWATER_OR_FLOOD if outcome is NOT_MET else None)


@pytest.mark.parametrize(("rise", "outcome"), [("1 in", MET), ("1.01 in", NOT_MET), ("1 1/2 in", NOT_MET)])
def test_seepage_at_its_limit_is_not_over_it(rise, outcome):
    # HEAD-7: 1 in in 5 min is 12 in/h, and does not exceed 12 in/h.
    journal = dry()
    journal.say(wet_base(rise=rise), at("08:40"))
    got = found(journal)["seepage"]
    assert got.outcome is outcome
    if rise == "1 1/2 in":
        assert got.says == "Water rises 18 in/h, asked at most 12 in/h."


def test_seepage_read_too_briefly_or_with_a_pump_on_is_not_shown_unless_it_is_over_anyway():
    for values, outcome in (
        (wet_base(rise="1/4 in", window="4 min"), NOT_SHOWN),
        (wet_base(rise="1/4 in", pumps_off=False), NOT_SHOWN),
        (wet_base(rise="1 1/2 in", window="4 min", pumps_off=False), NOT_MET),
    ):
        journal = dry()
        journal.say(values, at("08:40"))
        assert found(journal)["seepage"].outcome is outcome


def test_water_not_measured_since_the_last_cleaning_is_not_shown():
    journal = dry()
    assert found(journal)["standing water"].outcome is NOT_SHOWN
    journal.say(wet_base("1 in", "1/4 in"), at("08:40"))
    assert found(journal)["seepage"].outcome is MET
    journal.clean(2, at("08:50"), at("09:00"))
    got = found(journal)
    assert (got["standing water"].outcome, got["seepage"].outcome) == (NOT_SHOWN, NOT_SHOWN)
    assert got["seepage"].work is Work.MEASURE_WATER


def test_a_flooded_hole_is_no_longer_dry():
    journal = dry()
    journal.say(wet_base("1 in", "1/4 in"), at("08:40"))
    journal.event(Happening.HOLE_FLOODED, at("09:00"))
    assert found(journal)["standing water"].outcome is NOT_SHOWN


def test_a_wet_shaft_is_not_asked():
    assert found(passing())["standing water"].outcome is Outcome.NOT_ASKED


def test_no_more_water_is_reckoned_than_the_hole_holds():
    """1 in in 5 min over a week would be 168 ft; the hole is 60 ft deep."""
    journal = dry()
    journal.say(wet_base("1 in", "1 in"), at("08:40"))
    got = found(journal, at("08:40", day=19))["standing water"]
    assert (got.outcome, got.measured) == (NOT_MET, "720 in")
