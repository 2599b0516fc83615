"""Low, best and high: corners, the scan over the ground's modulus, maps, warnings, and what is credited."""

import itertools

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from fieldapp.base.base_curve import Ground, Nominal
from fieldapp.base.credit import Cover, credit
from fieldapp.base.credit_limits import PassingLimits, worst_passing_map
from fieldapp.base.credit_range import BaseModel, Displacements, credit_range
from fieldapp.base.sediment import Sediment, SedimentSpread, Spread
from fieldapp.units import OutOfRange
from tests.base.worth import CHECKS, model_of

MODEL = model_of(CHECKS["C9"]["inputs"])
SPREAD = SedimentSpread()
UNEVEN = Cover.of([0.0, 0.005, 0.012, 0.030], [1, 2, 2, 1])
SETTLED = Displacements()
ONE_BY_ONE = {"max_examples": 40, "deadline": None}


def simulated(maps=60, cells=80, seed=3):
    return Cover.of(np.random.default_rng(seed).uniform(0, 0.04, (maps, cells)), np.ones(cells))


def measured(thickness, **kwargs):
    return credit_range(MODEL, Cover.of(thickness, np.ones(len(thickness)), **kwargs), SPREAD, SETTLED)


def test_the_corners_bound_every_combination_of_the_parameters():
    """C25 looks at all nine combinations; here a fine grid lies between the two corners too."""
    found = credit_range(MODEL, UNEVEN, SPREAD, SETTLED)
    pairs = itertools.product(np.geomspace(0.2, 5, 12), np.linspace(0.15, 0.6, 12))
    everywhere = [credit(MODEL.curve, UNEVEN, Sediment(*pair), [0.01, 0.075]) for pair in pairs]
    low, high = np.min(everywhere, axis=0), np.max(everywhere, axis=0)
    assert (found.service.least.credit, found.strength.least.credit) == pytest.approx(tuple(low))
    assert (found.service.greatest.credit, found.strength.greatest.credit) == pytest.approx(tuple(high))
    assert found.service.least.sediment == Sediment(0.2, 0.6)
    assert found.service.greatest.sediment == Sediment(5.0, 0.15)


@settings(**ONE_BY_ONE)
@given(
    st.lists(st.floats(0, 0.1), min_size=1, max_size=6),
    st.floats(0.002, 0.1),
    st.floats(0.3, 20),
    st.floats(1.1, 10),
)
@example([0.00524], 0.00415, 6.388, 5.262)
def test_the_scan_over_the_modulus_misses_less_than_half_a_hundredth(thick, moved, q_n, times):
    """Credit may rise or fall with the modulus, so ends alone are not a bound; a scan ten times finer."""
    model = BaseModel(Ground(1.5, 600.0 / times, 0.25), Nominal(q_n, 0.075))
    spread = SedimentSpread(ground_modulus_mpa=(600.0 / times, 600.0 * times))
    cover = Cover.of(thick, np.ones(len(thick)))
    found = credit_range(model, cover, spread, Displacements(moved)).service
    fine = [model.curve_at(e) for e in np.geomspace(600 / times, 600 * times, 91)]
    low = min(float(credit(curve, cover, spread.softest, moved)) for curve in fine)
    high = max(float(credit(curve, cover, spread.stiffest, moved)) for curve in fine)
    assert found.least.credit <= low + 0.005
    assert found.greatest.credit >= high - 0.005


def test_a_stiffer_ground_lowers_the_credit_at_service_and_raises_it_at_strength():
    """Mechanics 3.6: stiffer rock makes the same sediment hurt more; with q_N at w_N held it turns there."""
    soft, stiff = (credit(MODEL.curve_at(e), UNEVEN, Sediment(), [0.003, 0.075]) for e in (300.0, 3000.0))
    assert stiff[0] < soft[0]
    assert stiff[1] > soft[1]


def test_service_and_strength_are_told_at_their_own_displacements():
    found = credit_range(MODEL, UNEVEN, SPREAD, Displacements(0.008))
    assert (found.service.displacement_m, found.strength.displacement_m) == (0.008, 0.075)
    stated = credit_range(MODEL, UNEVEN, SPREAD, Displacements(0.008, 0.030))
    assert stated.strength.displacement_m == 0.030
    assert stated.credited_mn < found.credited_mn


def test_what_is_credited_is_the_nominal_times_the_credit_at_strength():
    found = credit_range(MODEL, UNEVEN, SPREAD, SETTLED)
    assert found.nominal_mn == found.supported_mn == pytest.approx(10.0 * np.pi * 1.5**2 / 4)
    assert found.credited_mn == pytest.approx(found.nominal_mn * found.strength.credit)
    assert found.credited_lowest_mn == pytest.approx(found.nominal_mn * found.strength.least.credit)
    assert found.strength.as_built_mn == pytest.approx(found.strength.clean_mn * found.strength.credit)


def test_a_nominal_out_of_reach_supports_only_what_the_stiffness_gives_and_warns():
    model = BaseModel(Ground(1.5, 600.0, 0.25), Nominal(10.0, 0.010))
    found = credit_range(model, Cover.of([0.0], [1]), SPREAD, SETTLED)
    assert found.supported_mn == pytest.approx(5.4325 * np.pi * 1.5**2 / 4, rel=1e-4)
    assert found.credited_mn == found.supported_mn < found.nominal_mn
    assert "is not reached" in found.strength.warnings[0]


def test_clean_everywhere_is_full_credit_whatever_the_parameters():
    found = measured([0.0, 0.0, 0.0])
    three = [found.service.least.credit, found.service.credit, found.service.greatest.credit]
    assert three == [1.0, 1.0, 1.0]
    assert found.credited_mn == found.nominal_mn


def test_maps_give_their_five_percent_value_rounded_down_to_a_map():
    maps = simulated()
    found = credit_range(MODEL, UNEVEN, SPREAD, SETTLED, maps).service.maps
    each = np.sort(credit(MODEL.curve, maps, Sediment(), 0.01))
    assert found.maps == 60
    assert found.low == each[2]
    assert found.low <= np.quantile(each, 0.05) <= found.median <= found.high
    assert found.low_softest < found.low
    assert found.high_stiffest > found.high


def test_the_lowest_of_all_holds_both_doubts():
    thick = simulated(seed=4).thickness_m + 0.03
    found = credit_range(MODEL, UNEVEN, SPREAD, SETTLED, Cover.of(thick, np.ones(80)))
    assert found.service.lowest == found.service.maps.low_softest < found.service.least.credit
    assert credit_range(MODEL, UNEVEN, SPREAD, SETTLED).service.lowest == found.service.least.credit


@settings(**ONE_BY_ONE)
@given(st.lists(st.floats(0, 0.1), min_size=1, max_size=6), st.floats(0.001, 0.2))
def test_least_best_and_greatest_stand_in_order_and_never_above_one(thick, moved):
    found = credit_range(MODEL, Cover.of(thick, np.ones(len(thick))), SPREAD, Displacements(moved)).service
    assert 0 <= found.least.credit <= found.credit <= found.greatest.credit <= 1


def test_sediment_on_one_side_warns_of_the_eccentricity_and_cells_without_place_do_not():
    places = [(0.3, 0.0), (-0.3, 0.0)]
    found = measured([0.0, 0.05], xy_m=places)
    assert found.service.eccentricity > 0.1
    assert "off the centre" in found.service.warnings[0]
    assert measured([0.01, 0.01], xy_m=places).service.eccentricity == pytest.approx(0, abs=1e-15)
    assert measured([0.0, 0.05]).service.eccentricity is None
    assert measured([0.0, 0.05]).service.warnings == ()


def test_every_credit_carries_the_caveats():
    said = " ".join(measured([0.01]).caveats)
    for words in ("for the engineer to accept", "judgment", "Not modelled", "no load test has calibrated"):
        assert words in said


@pytest.mark.parametrize(("thick", "rounded"), [(0.0127, (0.37, 0.69, 0.88)), (0.0381, (0.02, 0.17, 0.64))])
def test_parameters_dominate_as_the_findings_say(thick, rounded):
    """Mechanics finding 3: 12.7 mm at 10 mm displacement is 0.37 to 0.69 to 0.88; 38.1 mm is C25."""
    found = measured([thick]).service
    triple = (found.least.credit, found.credit, found.greatest.credit)
    assert triple == pytest.approx(rounded, abs=0.006)


def test_the_worst_map_that_the_usual_rule_lets_pass_is_far_from_full_stiffness():
    """Mechanics finding 2; half at 12.7 mm and half at 38.1 mm from rows of C8: (0.6857 + 0.1716)/2."""
    worst = worst_passing_map(PassingLimits(0.5, 0.0127, 0.0381))
    found = credit_range(MODEL, worst, SPREAD, SETTLED)
    assert found.service.credit == pytest.approx((0.685748245532 + 0.171585059181) / 2, rel=1e-6)
    assert found.strength.credit == pytest.approx((0.985318719339 + 0.951653142425) / 2, rel=1e-6)


@settings(**ONE_BY_ONE)
@given(st.data(), st.integers(2, 10), st.floats(0.001, 0.02), st.floats(0, 0.04))
def test_no_map_that_passes_is_worse_than_the_worst_map(data, cells, limit, over):
    limits = PassingLimits(0.5, limit, limit + over)
    within = -(-cells // 2)
    thick = [data.draw(st.floats(0, limit if i < within else limit + over)) for i in range(cells)]
    passing = credit(MODEL.curve, Cover.of(thick, np.ones(cells)), Sediment(), 0.01)
    assert passing >= credit(MODEL.curve, worst_passing_map(limits), Sediment(), 0.01) - 1e-12


def test_a_set_without_a_cap_lets_the_rest_carry_next_to_nothing():
    worst = worst_passing_map(PassingLimits(0.5, 0.0127, None))
    found = float(credit(MODEL.curve, worst, Sediment(), 0.01))
    assert found == pytest.approx(0.685748245532 / 2, abs=1e-4)


def test_a_set_with_a_cap_alone_has_the_whole_base_at_the_cap():
    worst = worst_passing_map(PassingLimits(0.0, None, 0.0381))
    assert float(credit(MODEL.curve, worst, Sediment(), 0.01)) == pytest.approx(0.171585059181, rel=1e-6)


@pytest.mark.parametrize(
    ("call", "names"),
    [
        (lambda: credit_range(MODEL, simulated(), SPREAD, SETTLED), "one map"),
        (lambda: credit_range(MODEL, UNEVEN, SPREAD, SETTLED, simulated(19)), "20 maps or more"),
        (lambda: credit_range(MODEL, UNEVEN, SPREAD, SETTLED, UNEVEN), "20 maps or more"),
        (lambda: Displacements(0.0), "displacement is 0 m"),
        (lambda: SedimentSpread(ground_modulus_mpa=(0.0, 500.0)), "modulus of the ground"),
        (lambda: SedimentSpread(ground_modulus_mpa=(900.0, 500.0)), "must be rising"),
        (lambda: SedimentSpread(modulus_mpa=Spread(0.0, 1.0, 5.0)), "sediment modulus"),
        (lambda: PassingLimits(0.5, None, None), "area limit, a cap, or both"),
        (lambda: PassingLimits(1.5, 0.01, 0.02), "share of the base"),
    ],
)
def test_an_impossible_question_is_refused_and_named(call, names):
    with pytest.raises(OutOfRange, match=names):
        call()
