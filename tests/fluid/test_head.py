"""Head at readings, over time, and seepage."""

import json
import math
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldapp.fluid.head import (
    Gap,
    HeadReading,
    head_m,
    head_over_highest_m,
    head_record,
    heads_over,
    lowest_head,
    seepage_inflow_m3_per_s,
    seepage_rate_m_per_s,
)
from fieldapp.units import OutOfRange, from_si, read_si, to_si

CHECKS = {c["id"]: c for c in json.loads((Path(__file__).parent / "checks.json").read_text(encoding="utf-8"))}


def test_head_against_three_rules_matches_the_check():
    """HEAD-1."""
    inputs, expected = CHECKS["HEAD-1"]["inputs"], CHECKS["HEAD-1"]["expected"]
    fluid, water = (
        read_si(str(inputs[key]), "ft") for key in ("fluid_elevation_ft", "piezometric_elevation_ft")
    )
    head = head_m(fluid, water)
    assert from_si(head, "ft") == pytest.approx(expected["head_ft"], abs=1e-9)
    assert [head >= read_si(str(r), "ft") for r in inputs["minimum_head_rules_ft"]] == expected["meets"]


def test_a_head_at_its_limit_is_a_tie_in_fractions():
    assert head_m(read_si("103' 0 1/8\"", "ft-in"), read_si("98' 0 1/8\"", "ft-in")) == read_si("5", "ft")


def test_the_highest_of_several_strata_counts():
    assert head_over_highest_m(Fraction(100), [Fraction(95), Fraction(983, 10), Fraction(90)]) == Fraction(
        17, 10
    )


def test_an_artesian_stratum_makes_the_head_negative():
    assert head_over_highest_m(100.0, [95.0, 101.5]) == pytest.approx(-1.5)


def test_one_unknown_stratum_leaves_the_head_unknown():
    assert head_over_highest_m(100.0, [95.0, None]) is None


def test_no_stratum_at_all_is_refused():
    with pytest.raises(OutOfRange, match="number of piezometric levels"):
        head_over_highest_m(100.0, [])


@pytest.mark.parametrize("levels", [(math.nan, 95.0), (100.0, math.inf), (20_000.0, 0.0)])
def test_an_elevation_that_cannot_be_is_refused(levels):
    with pytest.raises(OutOfRange):
        head_m(*levels)
    with pytest.raises(OutOfRange):
        head_over_highest_m(levels[0], [levels[1], None])


MINUTES = 60.0


def readings(*pairs):
    return [HeadReading(minute * MINUTES, head) for minute, head in pairs]


def test_the_lowest_head_and_when_it_was_seen():
    seen = readings((0, 2.0), (20, 1.4), (40, 1.8), (60, 1.4))
    assert lowest_head(seen) == HeadReading(20 * MINUTES, 1.4)
    record = head_record(seen, 30 * MINUTES, 0.0, 60 * MINUTES)
    assert record.lowest == HeadReading(20 * MINUTES, 1.4)
    assert record.shown_throughout
    assert record.not_shown_s == 0


def test_heads_come_from_fluid_elevations_over_the_same_strata():
    made = heads_over([(0.0, Fraction(101)), (60.0, Fraction(100))], [Fraction(98), Fraction(99)])
    assert made == (HeadReading(0.0, Fraction(2)), HeadReading(60.0, Fraction(1)))


def test_a_stretch_longer_than_allowed_is_a_gap_from_reading_to_reading():
    seen = readings((0, 2.0), (30, 2.0), (61, 2.0), (80, 2.0))
    record = head_record(seen, 30 * MINUTES, 0.0, 80 * MINUTES)
    assert record.gaps == (Gap(30 * MINUTES, 61 * MINUTES),)
    assert record.not_shown_s == 31 * MINUTES
    assert not record.shown_throughout


def test_the_ends_of_the_period_need_a_reading_near_them():
    record = head_record(readings((50, 2.0)), 30 * MINUTES, 0.0, 120 * MINUTES)
    assert record.gaps == (Gap(0.0, 50 * MINUTES), Gap(50 * MINUTES, 120 * MINUTES))


def test_a_reading_with_an_unknown_head_closes_no_gap():
    record = head_record(readings((0, 2.0), (20, None), (40, 2.0)), 30 * MINUTES, 0.0, 40 * MINUTES)
    assert record.readings == 2
    assert record.gaps == (Gap(0.0, 40 * MINUTES),)


def test_without_a_reading_the_whole_period_is_not_shown_however_short():
    record = head_record([], 30 * MINUTES, 0.0, 10 * MINUTES)
    assert record.lowest is None
    assert record.gaps == (Gap(0.0, 10 * MINUTES),)
    assert not record.shown_throughout


def test_readings_outside_the_period_do_not_count():
    record = head_record(readings((-5, 0.1), (5, 2.0), (25, 0.2)), 30 * MINUTES, 0.0, 20 * MINUTES)
    assert record.readings == 1
    assert record.lowest == HeadReading(5 * MINUTES, 2.0)


def test_a_period_of_no_length_needs_a_reading_at_that_time():
    assert not head_record([], MINUTES, 5.0, 5.0).shown_throughout
    assert head_record([HeadReading(5.0, 1.0)], MINUTES, 5.0, 5.0).shown_throughout


@pytest.mark.parametrize(
    ("seen", "interval", "start", "end"),
    [
        (readings((20, 2.0), (10, 2.0)), 60.0, 0.0, 3600.0),
        (readings((20, 2.0), (math.nan, 2.0)), 60.0, 0.0, 3600.0),
        ([], 0.0, 0.0, 3600.0),
        ([], 60.0, 3600.0, 0.0),
        ([], 60.0, math.nan, 0.0),
    ],
)
def test_times_that_cannot_be_are_refused(seen, interval, start, end):
    with pytest.raises(OutOfRange):
        head_record(seen, interval, start, end)


@given(st.lists(st.tuples(st.integers(0, 600), st.floats(-2, 5)), max_size=20), st.integers(1, 120))
def test_one_more_reading_never_raises_the_lowest_head_nor_adds_time_not_shown(pairs, interval):
    seen = readings(*sorted(pairs))
    period = (interval * MINUTES, 0.0, 600 * MINUTES)
    fewer, all_of_them = head_record(seen[:-1], *period), head_record(seen, *period)
    assert all_of_them.not_shown_s <= fewer.not_shown_s
    if fewer.lowest is not None:
        assert all_of_them.lowest.head_m <= fewer.lowest.head_m


def test_seepage_at_the_limit_matches_the_check():
    """HEAD-7: 1 in in 5 min is 12 in/h and not over it."""
    inputs, expected = CHECKS["HEAD-7"]["inputs"], CHECKS["HEAD-7"]["expected"]
    rise, time = read_si(str(inputs["rise_in"]), "in"), read_si(str(inputs["time_min"]), "min")
    area = math.pi / 4 * to_si(inputs["diameter_ft"], "ft") ** 2
    inflow_per_min = 60 * seepage_inflow_m3_per_s(rise, time, area)
    assert from_si(inflow_per_min, "ft3") == pytest.approx(expected["inflow_ft3_per_min"], rel=1e-9)
    assert from_si(inflow_per_min, "gal") == pytest.approx(expected["inflow_us_gal_per_min"], rel=1e-9)
    rate = seepage_rate_m_per_s(rise, time)
    assert from_si(rate, "in/h") == pytest.approx(expected["rate_in_per_h"], rel=1e-9)
    assert (rate > read_si("12", "in/h")) is expected["exceeds_12_in_per_h"]
    assert seepage_rate_m_per_s(read_si("1.001", "in"), time) > read_si("12", "in/h")


@pytest.mark.parametrize("arguments", [(-0.01, 300.0, 1.0), (0.01, 0.0, 1.0), (0.01, 300.0, 0.0)])
def test_a_seepage_reading_that_cannot_be_is_refused(arguments):
    with pytest.raises(OutOfRange):
        seepage_inflow_m3_per_s(*arguments)
