"""Base curves with their band: the same credits as the table, from 0, never out of order."""

import numpy as np
import pytest

from fieldapp.base.credit import Cover
from fieldapp.base.credit_range import Displacements, credit_range
from fieldapp.base.curve_band import band_displacements_m, curve_band
from fieldapp.base.sediment import SedimentSpread
from fieldapp.units import OutOfRange
from tests.base.worth import CHECKS, model_of

MODEL = model_of(CHECKS["C9"]["inputs"])
SPREAD = SedimentSpread()
UNEVEN = Cover.of([0.0, 0.005, 0.012, 0.030], [1, 2, 2, 1])


@pytest.mark.parametrize("thickness_mm", [12.7, 38.1])
def test_a_uniform_layer_has_the_credits_of_the_checks_along_its_curves(thickness_mm):
    """C25 of the mechanics survey: least, default and greatest at 10 and 25 mm, maps set aside."""
    cover = Cover.of([thickness_mm / 1000], [1.0])
    band = curve_band(MODEL, cover, SPREAD, [0.010, 0.025, 0.075])
    for at, moved_mm in ((1, 10), (2, 25)):
        expected = CHECKS[f"C25-t{thickness_mm:g}-w{moved_mm}"]["expected"]
        curves = (band.low_mn, band.best_mn, band.high_mn)
        found = [float(each[at] / band.clean_mn[at]) for each in curves]
        names = ("credit_least", "credit_default", "credit_greatest")
        assert found == pytest.approx([expected[each] for each in names], rel=1e-6)
    # 10 MPa on a base of 1.5 m at 75 mm: 10 pi 1.5^2/4, geometry
    assert band.clean_mn[3] == pytest.approx(17.6714586764)


def test_the_curves_begin_at_nothing_rise_and_stay_in_order():
    band = curve_band(MODEL, UNEVEN, SPREAD, band_displacements_m(0.010, 0.075))
    curves = (band.low_mn, band.best_mn, band.high_mn, band.clean_mn)
    assert all(each[0] == 0 and (np.diff(each) > 0).all() for each in (band.moved_m, *curves))
    assert (np.diff(np.stack(curves), axis=0) >= 0).all()


def test_curve_and_table_tell_the_same_also_with_the_doubt_of_the_map():
    maps = Cover.of(np.random.default_rng(5).uniform(0, 0.05, (40, 60)), np.ones(60))
    moved = band_displacements_m(0.010, 0.075)
    band = curve_band(MODEL, UNEVEN, SPREAD, moved, maps)
    told = credit_range(MODEL, UNEVEN, SPREAD, Displacements(0.010, 0.075), maps)
    for each in (told.service, told.strength):
        at = int(np.flatnonzero(band.moved_m == each.displacement_m)[0])
        assert each.lowest < each.least.credit
        assert band.low_mn[at] == pytest.approx(each.lowest * each.clean_mn)
        assert band.best_mn[at] == pytest.approx(each.as_built_mn)
        assert band.high_mn[at] == pytest.approx(each.greatest.credit * each.clean_mn)


@pytest.mark.parametrize("moved", [[], [0.0, 0.01], [0.02, 0.01], [0.01, 0.01], [0.01, float("nan")], 0.01])
def test_displacements_that_do_not_rise_from_more_than_nothing_are_refused(moved):
    with pytest.raises(OutOfRange):
        curve_band(MODEL, UNEVEN, SPREAD, moved)
