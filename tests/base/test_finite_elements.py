"""The combined curve against an independent finite-element model that solves series and parallel by itself.

The library is optional: without it these tests skip and say why.  Where CI is set and it is installed,
they may not skip.
"""

import os

import numpy as np
import pytest

from fieldapp.base.credit import Cover
from fieldapp.base.head_curve import head_curves
from fieldapp.base.head_march import ShaftBody
from fieldapp.base.side_curve import Side, SideLayer
from tests.base.finite_elements import LIBRARY, installed
from tests.base.oracle import ask, case_of
from tests.base.worth import CHECKS, hold, model_of, sediment_of

HEADS_M = (0.002, 0.005, 0.010, 0.015, 0.025, 0.040, 0.075)
ROWS = ["J-w2", "J-w10", "J-w25", "J-w75"]


@pytest.fixture(scope="module")
def oracle():
    if not installed():
        pytest.skip(f"{LIBRARY} is not installed; it is an optional oracle")
    question = {"cases": {name: case_of(HEADS_M, name == "clean") for name in ("clean", "as built")}}
    answer, why = ask(question | {"bar": CHECKS["B9"]["inputs"]})
    if answer is None and os.environ.get("CI"):
        pytest.fail(f"{LIBRARY} is installed but does not load: {why}")
    if answer is None:
        pytest.skip(f"{LIBRARY} does not load: {why}")
    return answer


def test_the_oracle_gives_the_closed_form_of_the_linear_bar(oracle):
    """Expect 8085.21 of 200 bars against 8085.195 MN/m of the closed form (B9)."""
    expected = CHECKS["B9"]["expected"]["head_stiffness_MN_per_m"]
    assert oracle["bar"] == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize("row", ROWS)
def test_the_oracle_rebuilds_the_row_of_the_check(oracle, row):
    at = HEADS_M.index(CHECKS[row]["inputs"]["head_displacement_mm"] / 1000)
    clean, built = (oracle[name]["rows"][at] for name in ("clean", "as built"))
    hold(
        CHECKS[row],
        {
            "clean_head_load_MN": clean[0],
            "clean_base_load_MN": clean[1],
            "head_load_MN": built[0],
            "base_load_MN": built[1],
            "base_credit": built[1] / clean[1],
            "total_ratio": built[0] / clean[0],
        },
    )


def test_our_head_curves_are_those_of_the_oracle(oracle):
    inputs = CHECKS["J-w2"]["inputs"]
    layer = SideLayer(inputs["length_m"], CHECKS["J1"]["expected"]["unit_side_MPa"], 0.006)
    shaft = ShaftBody(inputs["diameter_m"], Side((layer,)), inputs["concrete_modulus_MPa"])
    cover = Cover.of(np.array(inputs["thickness_mm"]) / 1000, inputs["area_weight"])
    ours = head_curves(shaft, model_of(inputs), cover, sediment_of(inputs), HEADS_M)
    for curve, name in ((ours.clean, "clean"), (ours.as_built, "as built")):
        theirs = np.array(oracle[name]["rows"])
        mine = np.column_stack([curve.head_mn, curve.base_mn, curve.base_m])
        np.testing.assert_allclose(mine, theirs, rtol=1e-4)
