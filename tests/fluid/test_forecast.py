"""How long a clean base stays clean: courses by hand calculation, what is missing, what must always hold."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.fluid.deposit import Suspension, deposit_m
from fieldapp.fluid.forecast import (
    BoundOnly,
    Forecast,
    NotForecast,
    Outlook,
    RiseOnly,
    ThicknessLimit,
    compare,
    forecast,
)
from fieldapp.fluid.funnel import Cup, FunnelReading
from fieldapp.fluid.settling_set import BEST, HIGH, LOW, Assumption, FluidKind, GrainSet, SettlingSet
from fieldapp.fluid.suspended import FluidColumn, FluidSample
from fieldapp.units import INCH_M, OutOfRange

TIMES = (0.0, 600.0, 3600.0, 4 * 3600.0, 12 * 3600.0, 48 * 3600.0)
LIMIT = ThicknessLimit(0.0381)


def sample(depth, sand, seconds=36.0, density=1070.0, cup=Cup.QUART):
    funnel = None if seconds is None else FunnelReading(seconds, cup)
    return FluidSample(depth, sand, funnel, density)


def column(*samples, kind=FluidKind.POLYMER, base=20.0, yield_stress=None):
    return FluidColumn(kind, base, tuple(samples), yield_stress)


def one_size(size_m, factor=1.0, stress=0.0, hold=0.2):
    grains = GrainSet("one size", (size_m,), (1.0,))
    return SettlingSet(Assumption.BEST, grains, factor, 0.001, stress, 1.0, hold)


def thicknesses(answer):
    return [each.thickness_m for each in answer.courses]


def test_one_size_in_an_even_column_follows_the_hand_calculation():
    """D17's numbers by hand: Ferguson and Church for 0.15 mm at 16.5 cP, n 4.65, then the volume balance."""
    made = forecast(
        column(sample(10.0, 0.02, 40.0, 1100.0)), Outlook(0.005, (3600.0,), LIMIT), (one_size(0.15e-3),)
    )
    nu = 0.0165 / 1100
    pull = 1550 / 1100 * 9.80665
    free = pull * 0.15e-3**2 / (18 * nu + math.sqrt(0.75 * pull * 0.15e-3**3))
    velocity = free * (1 - 0.01) ** 4.65
    wanted = 0.005 + deposit_m(Suspension(0.01, 20.0, 0.5), velocity, 3600.0)
    assert isinstance(made, Forecast)
    assert made.courses[0].thickness_m[0] == pytest.approx(wanted, rel=1e-9)
    assert made.courses[0].broken_at_s == pytest.approx((0.0381 - 0.005) * 3600 / (wanted - 0.005), rel=1e-6)


def test_low_best_and_high_come_in_this_order_and_say_what_they_assume():
    made = forecast(column(sample(19.0, 0.01)), Outlook(0.003, TIMES, LIMIT))
    assert [each.course.assumption for each in made.courses] == list(Assumption)
    low, best, high = thicknesses(made)
    assert all(a <= b <= c for a, b, c in zip(low, best, high, strict=True))
    assert high[1] > low[1]
    assert made.of(Assumption.HIGH).broken_at_s < made.of(Assumption.BEST).broken_at_s
    assert all("(judgment)" in each.course.assumed for each in made.courses)


def test_in_the_end_all_the_sand_lies_on_the_base_and_not_more():
    """D19: 1 % over 20 m is 200 mm."""
    made = forecast(column(sample(19.0, 0.01), kind=FluidKind.WATER), Outlook(0.002, (1e8,)))
    assert made.most_m == pytest.approx(0.202)
    assert thicknesses(made) == [pytest.approx((0.202,))] * 3


def test_mineral_slurry_holds_small_grains_up_and_polymer_and_water_hold_none():
    """D14: 0.329 mm at 1 Pa, Y 0.2, in a fluid of 1100 kg/m3."""
    outlook = Outlook(0.002, (3600.0,))
    for size, held in ((0.32e-3, 1.0), (0.34e-3, 0.0)):
        assumed = (one_size(size, stress=1.0),)
        samples = (sample(10.0, 0.01, 40.0, 1100.0),)
        mineral = forecast(column(*samples, kind=FluidKind.MINERAL), outlook, assumed)
        assert mineral.courses[0].course.held_share == held
        assert (mineral.courses[0].thickness_m[0] == 0.002) is bool(held)
        for kind in (FluidKind.POLYMER, FluidKind.WATER):
            other = forecast(column(*samples, kind=kind), outlook, assumed)
            assert other.courses[0].course.held_share == 0
            assert other.courses[0].thickness_m[0] > 0.002


def test_a_measured_yield_stress_is_used_and_half_of_it_for_the_high_course():
    kind = FluidKind.MINERAL
    made = forecast(
        column(sample(10.0, 0.01, 40.0, 1100.0), kind=kind, yield_stress=1.3), Outlook(0.0, (600.0,))
    )
    low, best, high = made.courses
    assert low.course.held_share == pytest.approx(1.0)
    assert best.course.held_share == pytest.approx(1.0)
    # 0.65 Pa holds 0.214 mm: 0.10 and 0.20 mm stay up, 0.40 mm falls
    assert high.course.held_share == pytest.approx(0.7)
    assert "1.3 Pa" in best.course.assumed


def test_the_best_course_in_mineral_slurry_lets_the_coarse_twentieth_fall():
    """By hand: 1 Pa holds 0.32 mm at 1070 kg/m3 (0.316 by D14's formula), so 5 % of 200 mm comes down."""
    made = forecast(column(sample(10.0, 0.01), kind=FluidKind.MINERAL), Outlook(0.0, (1e7,)))
    low, best, high = (each.thickness_m[0] for each in made.courses)
    assert low == 0
    assert best == pytest.approx(0.010)
    assert high == pytest.approx(0.200)


def test_layers_are_half_way_between_the_samples():
    """By hand: 1 % from 0 to 6 m, 2 % to 15 m, 4 % to 20 m: 60 + 180 + 200 mm."""
    made = forecast(column(sample(2.0, 0.01), sample(10.0, 0.02), sample(20.0, 0.04)), Outlook(0.0, (1e8,)))
    assert made.most_m == pytest.approx(0.440)


def test_the_best_course_says_when_to_sound_again_and_the_earliest_time_stands_beside_it():
    made = forecast(column(sample(19.0, 0.01)), Outlook(0.003, TIMES, LIMIT))
    again = made.sound_again
    assert again.by_best
    assert again.by_s == made.of(Assumption.BEST).broken_at_s
    assert (again.earliest_s, again.earliest) == (made.of(Assumption.HIGH).broken_at_s, Assumption.HIGH)


def test_when_no_course_breaks_the_limit_the_horizon_is_the_time_to_sound_again():
    made = forecast(column(sample(19.0, 0.0001)), Outlook(0.003, TIMES, LIMIT))
    assert [each.broken_at_s for each in made.courses] == [None] * 3
    assert made.sound_again.by_s == TIMES[-1]
    assert (made.sound_again.by_best, made.sound_again.earliest_s) == (False, None)


def test_a_break_after_the_horizon_is_not_within_it():
    near = forecast(column(sample(19.0, 0.01)), Outlook(0.003, (10.0,), LIMIT), (BEST,))
    far = forecast(column(sample(19.0, 0.01)), Outlook(0.003, (1e6,), LIMIT), (BEST,))
    assert near.courses[0].broken_at_s is None
    assert far.courses[0].broken_at_s > 10.0


def test_a_limit_broken_now_is_broken_at_once():
    half = INCH_M / 2
    made = forecast(column(sample(19.0, 0.01)), Outlook(half, TIMES, ThicknessLimit(half, strict=True)))
    assert [each.broken_at_s for each in made.courses] == [0.0] * 3
    assert made.sound_again.by_s == 0
    allowed = forecast(column(sample(19.0, 0.0)), Outlook(half, TIMES, ThicknessLimit(half)))
    assert [each.broken_at_s for each in allowed.courses] == [None] * 3


def test_without_a_limit_there_is_no_time_to_sound_again():
    assert forecast(column(sample(19.0, 0.01)), Outlook(0.003, TIMES)).sound_again is None


def test_without_sand_content_nothing_is_forecast():
    answer = forecast(column(sample(10.0, None), sample(19.0, None)), Outlook(0.003, TIMES, LIMIT))
    assert answer == NotForecast(("sand content",))
    assert forecast(column(), Outlook(None, TIMES)) == NotForecast(("sand content", "thickness now"))


@pytest.mark.parametrize(
    ("given_sample", "missing"),
    [
        (sample(19.0, 0.01, None), "funnel time"),
        (sample(19.0, 0.01, 36.0, None), "density"),
        (sample(19.0, 0.01, 36.0, 1070.0, Cup.LITRE), "funnel time with the 946 mL cup"),
    ],
)
def test_without_a_viscosity_only_the_bound_is_given(given_sample, missing):
    for kind in (FluidKind.MINERAL, FluidKind.POLYMER):
        answer = forecast(column(given_sample, kind=kind), Outlook(0.003, TIMES, LIMIT))
        assert isinstance(answer, BoundOnly)
        assert answer.missing == (missing,)
        assert answer.most_m == pytest.approx(0.203)
        assert answer.bound_keeps_limit is False


def test_a_funnel_time_for_which_the_formula_is_not_stated_gives_only_the_bound():
    answer = forecast(column(sample(19.0, 0.001, 200.0)), Outlook(0.003, TIMES, LIMIT))
    assert isinstance(answer, BoundOnly)
    assert "funnel time is 200 s" in answer.missing[0]
    assert answer.bound_keeps_limit is True


def test_so_much_sand_that_no_law_holds_gives_only_the_bound():
    answer = forecast(column(sample(10.0, 0.01), sample(19.0, 0.3)), Outlook(None, TIMES, LIMIT))
    assert isinstance(answer, BoundOnly)
    assert answer.missing == ("a settling law for sand content over 20 %", "thickness now")
    assert (answer.most_m, answer.bound_keeps_limit) == (None, None)


def test_without_a_thickness_now_only_the_rise_is_given():
    answer = forecast(column(sample(19.0, 0.01)), Outlook(None, TIMES, LIMIT))
    whole = forecast(column(sample(19.0, 0.01)), Outlook(0.0, TIMES, LIMIT))
    assert isinstance(answer, RiseOnly)
    assert answer.missing == ("thickness now",)
    for rise, course in zip(answer.courses, whole.courses, strict=True):
        assert [rise.rise.at(time) for time in TIMES] == pytest.approx(list(course.thickness_m))


def test_water_needs_no_funnel_time():
    made = forecast(column(FluidSample(19.0, 0.01), kind=FluidKind.WATER), Outlook(0.0, TIMES))
    assert isinstance(made, Forecast)
    assert made.basis.density_assumed
    assert "Density was not read; that of water is assumed." in made.basis.notes


def test_what_a_sample_lacks_is_taken_from_the_nearest_and_said():
    samples = (
        sample(2.0, 0.01, 60.0),
        FluidSample(12.0, 0.01),
        FluidSample(13.0, None),
        sample(15.0, 0.01, 30.0),
    )
    made = forecast(column(*samples), Outlook(0.0, TIMES))
    full = forecast(
        column(sample(2.0, 0.01, 60.0), sample(12.0, 0.01, 30.0), sample(15.0, 0.01, 30.0)),
        Outlook(0.0, TIMES),
    )
    assert thicknesses(made) == [pytest.approx(each) for each in thicknesses(full)]
    basis = made.basis
    assert (basis.sand_depths, basis.sand_not_tested, basis.viscosity_from_neighbour) == (3, 1, 1)
    assert basis.lowest_above_base_m == 5
    assert len(basis.notes) == 3


def test_a_thickness_measured_later_is_held_against_every_course():
    made = forecast(column(sample(19.0, 0.01)), Outlook(0.004, TIMES, LIMIT))
    best = made.of(Assumption.BEST).thickness_m[2]
    found = compare(made, TIMES[2], best)
    by_name = {each.assumption: each for each in found.held}
    assert found.within
    assert by_name[Assumption.BEST].thickness_ratio == pytest.approx(1.0)
    assert by_name[Assumption.BEST].rise_ratio == pytest.approx(1.0)
    assert by_name[Assumption.LOW].thickness_ratio > 1 > by_name[Assumption.HIGH].thickness_ratio
    assert not compare(made, TIMES[2], 1.0).within
    assert compare(made, TIMES[2], 0.004).held[1].rise_ratio == 0


def test_a_forecast_of_nothing_has_no_ratio():
    made = forecast(column(sample(19.0, 0.0)), Outlook(0.0, TIMES))
    held = compare(made, 600.0, 0.01).held[1]
    assert (held.forecast_m, held.thickness_ratio, held.rise_ratio) == (0.0, None, None)


SANDS = st.floats(0.0, 0.2)
SAMPLES = st.lists(
    st.tuples(SANDS, st.floats(27.0, 120.0), st.floats(1000.0, 1200.0)), min_size=1, max_size=5
)
KINDS = st.sampled_from(list(FluidKind))


def made_of(drawn, kind, outlook, sands=None):
    sands = sands or [sand for sand, _, _ in drawn]
    spacing = 20.0 / len(drawn)
    samples = [
        sample((k + 1) * spacing, sand, seconds, density)
        for k, (sand, (_, seconds, density)) in enumerate(zip(sands, drawn, strict=True))
    ]
    return forecast(column(*samples, kind=kind), outlook)


@settings(max_examples=40, deadline=None)
@given(SAMPLES, KINDS, st.floats(0.0, 0.1))
def test_thickness_never_falls_and_never_passes_the_bound(drawn, kind, now):
    made = made_of(drawn, kind, Outlook(now, TIMES, LIMIT))
    for each in thicknesses(made):
        assert each[0] >= now
        assert list(each) == sorted(each)
        assert each[-1] <= made.most_m * (1 + 1e-9)


@settings(max_examples=40, deadline=None)
@given(SANDS, SANDS, st.floats(27.0, 120.0), KINDS, st.floats(0.0, 1e6))
def test_more_sand_in_an_even_column_never_gives_less_on_the_base(sand, other, seconds, kind, time):
    less, more = sorted((sand, other))
    outlook = Outlook(0.0, (time,))
    little = forecast(column(sample(19.0, less, seconds), kind=kind), outlook)
    much = forecast(column(sample(19.0, more, seconds), kind=kind), outlook)
    for a, b in zip(thicknesses(little), thicknesses(much), strict=True):
        assert b[0] >= a[0] - 1e-12


@settings(max_examples=40, deadline=None)
@given(SAMPLES, KINDS, st.floats(1.0, 2.0))
def test_more_sand_at_any_depth_never_gives_less_in_the_end(drawn, kind, more):
    """Before the end a front may come a little later, because sand among sand falls more slowly."""
    little = made_of(drawn, kind, Outlook(0.0, (1e8,)))
    richer = [min(sand * more, 0.2) if k == 0 else sand for k, (sand, _, _) in enumerate(drawn)]
    much = made_of(drawn, kind, Outlook(0.0, (1e8,)), richer)
    for a, b in zip(thicknesses(little), thicknesses(much), strict=True):
        assert b[0] >= a[0] - 1e-12


@settings(max_examples=40, deadline=None)
@given(SAMPLES, KINDS, st.floats(0.001, 0.1))
def test_a_break_of_the_limit_is_where_the_course_passes_it(drawn, kind, limit_m):
    made = made_of(drawn, kind, Outlook(0.0, (1e7,), ThicknessLimit(limit_m)))
    for each in made.courses:
        if each.broken_at_s is None:
            assert each.thickness_m[-1] <= limit_m + 1e-12
        else:
            assert each.course.rise.at(each.broken_at_s) == pytest.approx(limit_m, rel=1e-6)
            assert each.course.rise.at(each.broken_at_s * (1 + 1e-6) + 1e-6) >= limit_m * (1 - 1e-9)


@pytest.mark.parametrize(
    "make",
    [
        lambda: FluidSample(-1.0, 0.01),
        lambda: FluidSample(1.0, 1.5),
        lambda: FluidSample(1.0, math.nan),
        lambda: FluidSample(1.0, 0.01, None, 1.07),
        lambda: column(sample(10.0, 0.01), sample(10.0, 0.02)),
        lambda: column(sample(21.0, 0.01)),
        lambda: column(base=0.0),
        lambda: Outlook(-0.1, TIMES),
        lambda: Outlook(0.0, ()),
        lambda: Outlook(0.0, (10.0, 5.0)),
        lambda: ThicknessLimit(-0.01),
        lambda: GrainSet("uneven", (0.001,), (0.9,)),
        lambda: GrainSet("short", (0.001,), (0.5, 0.5)),
        lambda: forecast(column(sample(19.0, 0.01)), Outlook(0.0, TIMES), ()),
    ],
)
def test_what_cannot_be_is_refused(make):
    with pytest.raises(OutOfRange):
        make()


def test_the_sets_that_come_with_the_program_are_ordered_low_to_high():
    assert [each.assumption for each in (LOW, BEST, HIGH)] == list(Assumption)
    assert LOW.viscosity_factor > BEST.viscosity_factor > HIGH.viscosity_factor
    assert LOW.yield_stress_pa > BEST.yield_stress_pa > HIGH.yield_stress_pa == 0
