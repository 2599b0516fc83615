"""Share, largest and mean: the checks by id, ties, and what an unread point does."""

import json
import math
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldapp.base.cleanliness import points_needed, share_within
from fieldapp.units import INCH_M, OutOfRange, read_si

CHECKS = {c["id"]: c for c in json.loads((Path(__file__).parent / "checks.json").read_text(encoding="utf-8"))}
DECISIONS = [
    c for c in CHECKS.values() if c["topic"] == "cleanliness decision" and "thickness_in" in c["inputs"]
]
HALF_INCH = INCH_M / 2


def as_read(inches):
    return None if inches is None else read_si(str(inches), "in")


@pytest.mark.parametrize("check", DECISIONS, ids=[c["id"] for c in DECISIONS])
def test_share_largest_and_mean_match_the_check(check):
    inputs, expected = check["inputs"], check["expected"]
    facts = share_within(
        [as_read(t) for t in inputs["thickness_in"]],
        inputs["area_weight"],
        as_read(inputs["clean_limit_in"]),
        inputs["clean_limit_strict"],
    )
    in_inches = [None if m is None else float(m / INCH_M) for m in (facts.largest_m, facts.mean_m)]
    share = None if facts.share is None else float(facts.share)
    wanted = [expected["clean_fraction"], expected["max_thickness_in"], expected["mean_thickness_in"]]
    for got, want in zip([share, *in_inches], wanted, strict=True):
        assert got == (want if want is None else pytest.approx(want, abs=1e-9))


def test_an_unread_point_leaves_only_the_bounds():
    """CLN-F: four of five at 1/4 in, one without a reading."""
    quarter = INCH_M / 4
    facts = share_within([quarter, quarter, None, quarter, quarter], [Fraction(1, 5)] * 5, HALF_INCH, True)
    assert (facts.share, facts.largest_m, facts.mean_m, facts.unread) == (None, None, None, 1)
    assert (facts.share_if_unknown_dirty, facts.share_if_unknown_clean) == (Fraction(4, 5), 1)
    assert facts.largest_known_m == quarter


def test_with_no_reading_at_all_nothing_is_known():
    facts = share_within([None, None], [1, 1], HALF_INCH, False)
    assert (facts.share_if_unknown_dirty, facts.share_if_unknown_clean) == (0, 1)
    assert facts.largest_known_m is None
    assert facts.unread == 2


def test_a_tie_is_exact_in_fractions():
    for text, unit in (("1/2", "in"), ("0.5", "in"), ("12.7", "mm"), ("1.27", "cm")):
        reading = read_si(text, unit)
        assert share_within([reading], [1], HALF_INCH, True).share == 0
        assert share_within([reading], [1], HALF_INCH, False).share == 1


def test_two_of_four_quadrants_by_area_are_exactly_half():
    """Float areas of equal quadrants differ in the last digit; half of the base must stay half."""
    quadrant = math.pi * 0.75**2 / 4
    areas = [quadrant, quadrant * (1 + 1e-15), quadrant * (1 + 3e-15), quadrant]
    facts = share_within([Fraction(0), Fraction(1, 10), Fraction(1, 10), Fraction(0)], areas, HALF_INCH, True)
    assert facts.share == Fraction(1, 2)


def test_weights_need_not_add_up_to_one():
    facts = share_within([0.0, 0.05], [0.3, 0.9], 0.0127, True)
    assert float(facts.share) == pytest.approx(0.25)
    assert float(facts.mean_m) == pytest.approx(0.0375)


def test_points_needed_matches_the_check():
    """CLN-G: steps of 1/5, 3 of 5 for a 50 % rule."""
    check = CHECKS["CLN-G"]
    inputs, expected = check["inputs"], check["expected"]
    assert points_needed(inputs["points"], inputs["clean_fraction_min"]) == expected["points_needed"]
    assert 1 / inputs["points"] == pytest.approx(expected["step"], abs=1e-12)
    assert [points_needed(n, Fraction(1, 2)) for n in (9, 13, 4)] == [5, 7, 2]


thickness = st.one_of(st.none(), st.fractions(0, Fraction(1, 5), max_denominator=10_000))
rounds = st.lists(st.tuples(thickness, st.floats(0.01, 3)), min_size=1, max_size=15)


@given(rounds, st.booleans())
def test_the_truth_lies_between_the_two_bounds_whatever_the_unread_points_are(points, strict):
    values, weights = [t for t, _ in points], [w for _, w in points]
    facts = share_within(values, weights, HALF_INCH, strict)
    assert 0 <= facts.share_if_unknown_dirty <= facts.share_if_unknown_clean <= 1
    clean, dirty = ([fill if t is None else t for t in values] for fill in (Fraction(0), Fraction(1)))
    assert share_within(clean, weights, HALF_INCH, strict).share == facts.share_if_unknown_clean
    assert share_within(dirty, weights, HALF_INCH, strict).share == facts.share_if_unknown_dirty
    assert (facts.share is None) == (facts.unread > 0) == (facts.mean_m is None) == (facts.largest_m is None)


@given(rounds)
def test_strict_never_counts_more_than_inclusive(points):
    values, weights = [t for t, _ in points], [w for _, w in points]
    strict, inclusive = (share_within(values, weights, HALF_INCH, s) for s in (True, False))
    assert strict.share_if_unknown_dirty <= inclusive.share_if_unknown_dirty


@pytest.mark.parametrize(
    ("values", "weights", "limit"),
    [
        ([Fraction(-1, 1000)], [1], HALF_INCH),
        ([math.nan], [1], HALF_INCH),
        ([0.01], [1, 1], HALF_INCH),
        ([], [], HALF_INCH),
        ([0.01], [0], HALF_INCH),
        ([0.01], [-1], HALF_INCH),
        ([0.01], [math.nan], HALF_INCH),
        ([0.01], [1], math.nan),
    ],
)
def test_what_cannot_be_is_refused(values, weights, limit):
    with pytest.raises(OutOfRange):
        share_within(values, weights, limit, True)
