"""The credit model: every check by id, limiting cases, and properties held over random cells."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from fieldapp.base.base_curve import BaseCurve
from fieldapp.base.credit import Cover, as_built_mpa, credit, eccentricity_over_diameter
from fieldapp.base.credit_limits import thickness_for_credit_m
from fieldapp.base.credit_range import Displacements, credit_range
from fieldapp.base.sediment import Sediment, SedimentSpread, Spread, locking_strain
from fieldapp.units import OutOfRange
from tests.base.worth import CHECKS, hold, model_of, of_topic, sediment_of

REFERENCE = CHECKS["C9"]["inputs"]
MODEL = model_of(REFERENCE)
THICKNESS = st.lists(st.floats(0, 0.2), min_size=1, max_size=12)
MOVED = st.floats(1e-5, 0.3)
SEDIMENT = st.builds(Sediment, st.floats(0.05, 20), st.floats(0.05, 0.8))
CURVE = st.one_of(
    st.builds(BaseCurve, st.floats(30, 10_000), st.floats(0.3, 100)),
    st.builds(lambda k, cap: BaseCurve(k, cap_mpa=cap), st.floats(30, 10_000), st.floats(0.3, 60)),
)


def even(thickness_m):
    return Cover.of([thickness_m], [1.0])


def cover_of(inputs):
    thick = np.atleast_1d(inputs["thickness_mm"]) / 1000
    return Cover.of(thick, inputs.get("area_weight", np.ones(len(thick))))


def moved_of(inputs):
    return inputs["base_displacement_mm"] / 1000


def unit_base(inputs):
    stress = model_of(inputs).curve.over_sediment_mpa(
        moved_of(inputs), inputs["thickness_mm"] / 1000, sediment_of(inputs)
    )
    return {"unit_base_MPa": float(stress)}


def uniform_credit(inputs):
    ratio = credit(model_of(inputs).curve, cover_of(inputs), sediment_of(inputs), moved_of(inputs))
    return {"credit": float(ratio)}


def curve_constants(inputs):
    curve = model_of(inputs).curve
    return {"k_MPa_per_m": curve.stiffness_mpa_per_m, "q_inf_MPa": curve.asymptote_mpa}


def clean(inputs):
    return {"clean_unit_base_MPa": float(model_of(inputs).curve.clean_mpa(moved_of(inputs)))}


def compression(inputs):
    settled = sediment_of(inputs).compression_m(inputs["stress_MPa"], inputs["thickness_mm"] / 1000)
    return {"compression_mm": 1000 * float(settled)}


def log_uniform(rng, bounds, count):
    return np.exp(rng.uniform(*np.log(bounds), count))


def by_bracketing(curve, sediment, thick, moved):
    """The root of delta_ground + delta_sediment = w, found without the closed form."""

    def closes(q):
        ground = q / (curve.stiffness_mpa_per_m * (1 - q / curve.asymptote_mpa))
        return ground + float(sediment.compression_m(q, thick)) - moved

    clean_mpa = float(curve.clean_mpa(moved))
    if closes(clean_mpa) <= 0:
        return clean_mpa
    return brentq(closes, 0.0, clean_mpa, xtol=1e-300, rtol=4 * np.finfo(float).eps, maxiter=500)


def worst_difference(inputs, bilinear):
    rng = np.random.default_rng(2026)
    n = inputs["cells"]
    moved, thick = (log_uniform(rng, inputs[x], n) for x in ("base_displacement_m", "thickness_m"))
    k, m_0 = (log_uniform(rng, inputs[x], n) for x in ("k_MPa_per_m", "sediment_modulus_MPa"))
    most = log_uniform(rng, inputs["nominal_unit_base_MPa" if bilinear else "q_inf_MPa"], n)
    e_l = rng.uniform(*inputs["locking_strain"], n)
    worst = 0.0
    for i in range(n):
        curve = BaseCurve(k[i], cap_mpa=most[i]) if bilinear else BaseCurve(k[i], most[i])
        sediment = Sediment(m_0[i], e_l[i])
        root = by_bracketing(curve, sediment, thick[i], moved[i])
        closed = float(curve.over_sediment_mpa(moved[i], thick[i], sediment))
        worst = max(worst, abs(closed / root - 1))
    return {"worst_relative_difference": worst}


def bilinear_unit_base(inputs):
    curve = BaseCurve(inputs["k_MPa_per_m"], cap_mpa=inputs["nominal_unit_base_MPa"])
    thick = inputs["thickness_mm"] / 1000
    return {"unit_base_MPa": float(curve.over_sediment_mpa(moved_of(inputs), thick, sediment_of(inputs)))}


def with_and_without(inputs):
    return unit_base(inputs) | clean(inputs)


LINEAR_MOVED_M = 0.01


def linear(inputs, cover):
    never_locks = Sediment(inputs["sediment_modulus_MPa"], math.inf)
    return float(credit(BaseCurve(inputs["k_MPa_per_m"]), cover, never_locks, LINEAR_MOVED_M))


def rings(count):
    """Radii over R and areas of rings of equal width."""
    edges = np.linspace(0, 1, count + 1)
    return (edges[:-1] + edges[1:]) / 2, np.diff(edges**2)


def linear_cone(inputs, thick_at, top):
    """The cone by a mesh, sharpened by Richardson's step: midpoint rings err with the width squared."""
    meshes = []
    for count in (4000, 8000):
        radius, area = rings(count)
        meshes.append(linear(inputs, Cover.of(inputs[top] / 1000 * thick_at(radius), area)))
    a = inputs["k_MPa_per_m"] * inputs[top] / 1000 / inputs["sediment_modulus_MPa"]
    return {"a": a, "credit": meshes[1] + (meshes[1] - meshes[0]) / 3}


def dead_half(inputs):
    centroid = 4 * 0.75 / (3 * math.pi)
    halves = Cover.of([0.0, 1.0], [0.5, 0.5], [(centroid, 0.0), (-centroid, 0.0)])
    return {"eccentricity_over_B": eccentricity_over_diameter([1.0, 0.0], halves, 1.5)}


def rises_with_displacement(inputs):
    steps = (inputs["base_displacement_mm_from"], inputs["base_displacement_mm_to"], inputs["steps"])
    moved = np.linspace(*steps) / 1000
    load = as_built_mpa(model_of(inputs).curve, cover_of(inputs), sediment_of(inputs), moved)
    return {"holds": bool((np.diff(load) > 0).all())}


def parameter_range(inputs):
    low, best, high = inputs["sediment_modulus_MPa"]
    spread = SedimentSpread(Spread(low, best, high), Spread(*inputs["locking_strain"]))
    found = credit_range(model_of(inputs), cover_of(inputs), spread, Displacements(moved_of(inputs))).service
    return {
        "credit_least": found.least.credit,
        "credit_default": found.credit,
        "credit_greatest": found.greatest.credit,
    }


def inside_the_bounds(inputs):
    curve, sediment = model_of(inputs).curve, sediment_of(inputs)
    thick = np.array(inputs["thickness_mm"])[:, None] / 1000
    moved = np.array(inputs["base_displacement_mm"]) / 1000
    stress = curve.over_sediment_mpa(moved, thick, sediment)
    below = curve.clean_mpa(np.maximum(moved - sediment.locking_strain * thick, 0.0))
    return {"holds": bool(((below <= stress) & (stress <= curve.clean_mpa(moved))).all())}


def put_back(inputs):
    curve, sediment = model_of(inputs).curve, sediment_of(inputs)
    thick = thickness_for_credit_m(curve, sediment, inputs["target_credit"], moved_of(inputs))
    return {"credit_put_back": float(credit(curve, even(thick), sediment, moved_of(inputs)))}


ANSWERS = {
    "C0": curve_constants,
    "C1": clean,
    "C2": lambda i: worst_difference(i, bilinear=False),
    "C3": unit_base,
    "C4": unit_base,
    "C5": unit_base,
    "C6": compression,
    "C7": compression,
    "C8": uniform_credit,
    "C9": with_and_without,
    "C10": uniform_credit,
    "C12": lambda i: {"credit": linear(i, cover_of(i))},
    "C13": lambda i: linear_cone(i, lambda r: r, "rim_thickness_mm"),
    "C15": lambda i: linear_cone(i, lambda r: 1 - r, "centre_thickness_mm"),
    "C16": lambda i: {"locking_strain": locking_strain(i["deposit_porosity"], i["locked_porosity"])},
    "C17": dead_half,
    "C19": rises_with_displacement,
    "C21": bilinear_unit_base,
    "C22": lambda i: {"credit": linear(i, cover_of(i))},
    "C25": parameter_range,
    "C26": inside_the_bounds,
    "C27": put_back,
}


@of_topic("credit")
def test_credit_matches_the_check(check):
    inputs = check["inputs"]
    if check["id"] == "C21":
        return hold(check, worst_difference(inputs, bilinear=True))
    return hold(check, ANSWERS[check["id"].split("-")[0]](inputs))


def test_a_mesh_converges_to_the_cone_with_the_square_of_its_width():
    """C13, dirty rim: the closed form by integration."""
    inputs, exact = CHECKS["C13"]["inputs"], CHECKS["C13"]["expected"]["credit"]
    off = []
    for count in (20, 40, 80):
        radius, area = rings(count)
        off.append(abs(linear(inputs, Cover.of(0.025 * radius, area)) - exact))
    assert off[0] / off[1] == pytest.approx(4, rel=0.1)
    assert off[1] / off[2] == pytest.approx(4, rel=0.1)


@given(CURVE, MOVED, st.integers(1, 30))
def test_without_sediment_the_credit_is_exactly_one(curve, moved, cells):
    weights = np.linspace(0.1, 1.7, cells)
    assert credit(curve, Cover.of(np.zeros(cells), weights), Sediment(), moved) == 1.0


@given(CURVE, SEDIMENT, THICKNESS, MOVED)
def test_credit_is_never_above_one_and_never_below_zero(curve, sediment, thick, moved):
    assert 0 <= credit(curve, Cover.of(thick, np.ones(len(thick))), sediment, moved) <= 1


@given(CURVE, SEDIMENT, THICKNESS, MOVED, st.floats(0, 0.1), st.data())
def test_credit_falls_when_any_cell_gets_thicker(curve, sediment, thick, moved, more, data):
    at = data.draw(st.integers(0, len(thick) - 1))
    thicker = [t + more * (i == at) for i, t in enumerate(thick)]
    weights = np.ones(len(thick))
    before, after = (credit(curve, Cover.of(t, weights), sediment, moved) for t in (thick, thicker))
    assert after <= before + 1e-13


@given(CURVE, SEDIMENT, THICKNESS, MOVED, st.floats(1.0, 3.0))
def test_base_load_rises_with_displacement(curve, sediment, thick, moved, further):
    cover = Cover.of(thick, np.ones(len(thick)))
    near, far = as_built_mpa(curve, cover, sediment, [moved, moved * further])
    assert far >= near * (1 - 1e-12) - 1e-15


@given(SEDIMENT, THICKNESS, st.floats(0.001, 0.075), st.floats(1.0, 5.0))
def test_credit_rises_with_displacement_on_the_reference_base(sediment, thick, moved, further):
    cover = Cover.of(thick, np.ones(len(thick)))
    near, far = credit(MODEL.curve, cover, sediment, [moved, moved * further])
    assert far >= near - 1e-13


@given(CURVE, SEDIMENT, st.lists(st.tuples(st.floats(0, 0.2), st.floats(0.01, 3)), min_size=2), st.data())
def test_the_order_of_the_cells_does_not_matter(curve, sediment, cells, data):
    shuffled = data.draw(st.permutations(cells))
    one, two = (credit(curve, Cover.of(*zip(*c, strict=True)), sediment, 0.01) for c in (cells, shuffled))
    assert one == pytest.approx(float(two), abs=1e-13)


@given(CURVE, SEDIMENT, st.floats(0, 0.2), MOVED)
def test_stress_lies_between_a_clean_base_and_one_that_moved_by_the_locked_layer(
    curve, sediment, thick, moved
):
    stress = float(curve.over_sediment_mpa(moved, thick, sediment))
    late = max(moved - sediment.locking_strain * thick, 0.0)
    assert float(curve.clean_mpa(late)) * (1 - 1e-9) <= stress <= float(curve.clean_mpa(moved))


@given(CURVE, SEDIMENT, st.floats(1e-4, 0.2), MOVED)
def test_the_closed_form_is_what_a_root_finder_finds(curve, sediment, thick, moved):
    closed = float(curve.over_sediment_mpa(moved, thick, sediment))
    assert closed == pytest.approx(by_bracketing(curve, sediment, thick, moved), rel=1e-7)


@given(SEDIMENT, st.floats(0.02, 1.0), st.floats(0.001, 0.075))
def test_the_thickness_for_a_credit_gives_that_credit(sediment, wanted, moved):
    thick = thickness_for_credit_m(MODEL.curve, sediment, wanted, moved)
    assert float(credit(MODEL.curve, even(min(thick, 100.0)), sediment, moved)) == pytest.approx(
        wanted, rel=1e-9
    )


def test_bilinear_ground_past_its_yield_allows_some_sediment_at_full_credit():
    curve = BaseCurve(500.0, cap_mpa=10.0)
    thick = thickness_for_credit_m(curve, Sediment(), 1.0, 0.05)
    assert thick > 0.05
    assert credit(curve, even(thick * 0.999), Sediment(), 0.05) == 1.0
    assert credit(curve, even(thick * 1.01), Sediment(), 0.05) < 1.0


def test_maps_give_what_each_map_gives_by_itself():
    maps = np.random.default_rng(7).uniform(0, 0.05, (130, 300))
    weights = np.random.default_rng(8).uniform(0.5, 1.5, 300)
    together = credit(MODEL.curve, Cover.of(maps, weights), Sediment(), [0.01, 0.075])
    apart = [credit(MODEL.curve, Cover.of(each, weights), Sediment(), [0.01, 0.075]) for each in maps]
    assert together.shape == (2, 130)
    np.testing.assert_allclose(together, np.transpose(apart), rtol=1e-12)


@given(CURVE, SEDIMENT, st.lists(THICKNESS.map(lambda t: (t * 4)[:4]), min_size=1, max_size=5), MOVED)
def test_the_fast_way_over_maps_agrees_with_the_closed_form(curve, sediment, maps, moved):
    weights = [0.1, 0.4, 0.3, 0.2]
    together = credit(curve, Cover.of(maps, weights), sediment, moved)
    apart = [float(credit(curve, Cover.of(each, weights), sediment, moved)) for each in maps]
    np.testing.assert_allclose(together, apart, rtol=1e-9, atol=1e-12)
    assert (together <= 1).all()


@pytest.mark.parametrize("modulus", [1e-12, 1e-6, 1e-3])
def test_maps_of_next_to_no_modulus_lose_no_digits(modulus):
    """Where one branch of the root would cancel, the fast way takes the ordinary closed form."""
    curve, sediment = BaseCurve(1e4, 50.0), Sediment(modulus, 0.05)
    maps = np.array([[0.0, 0.001, 0.01, 0.2]] * 2)
    each = [by_bracketing(curve, sediment, t, 0.3) if t else curve.clean_mpa(0.3) for t in maps[0]]
    expected = np.mean(each) / curve.clean_mpa(0.3)
    np.testing.assert_allclose(credit(curve, Cover.of(maps, np.ones(4)), sediment, 0.3), expected, rtol=1e-9)


def test_clean_maps_have_exactly_full_credit():
    maps = Cover.of(np.zeros((30, 50)), np.linspace(0.1, 1.7, 50))
    assert (credit(MODEL.curve, maps, Sediment(), [0.003, 0.075]) == 1.0).all()


def test_a_dead_part_takes_its_own_share():
    """Limiting case of mechanics 3.4: a dead fraction f of the area leaves 1 - f."""
    cover = Cover.of([0.0, 100.0], [0.7, 0.3])
    assert float(credit(MODEL.curve, cover, Sediment(), 0.01)) == pytest.approx(0.7, abs=1e-4)


def test_pressing_leaves_less_to_compress_and_matches_its_definition():
    sediment = Sediment()
    pressed = sediment.pressed(0.2)
    left = float(sediment.compression_m(5.2, 0.025) - sediment.compression_m(0.2, 0.025))
    assert float(pressed.compression_m(5.0, 0.025)) == pytest.approx(left, rel=1e-12)
    assert left < float(sediment.compression_m(5.0, 0.025))


@pytest.mark.parametrize(
    ("call", "names"),
    [
        (lambda: Cover.of([0.01, math.nan], [1, 1]), "sediment thickness is nan m"),
        (lambda: Cover.of([0.01, -0.01], [1, 1]), "sediment thickness is -0.01 m"),
        (lambda: Cover.of([0.01, 0.01], [0, 0]), "weights"),
        (lambda: Cover.of([0.01, 0.01], [1, 1, 1]), "shape of the thicknesses"),
        (lambda: Cover.of([], []), "weights"),
        (lambda: Cover.of([0.01], [1], [(math.nan, 0)]), "centroids"),
        (lambda: credit(MODEL.curve, even(0.01), Sediment(), 0.0), "displacement is 0 m"),
        (lambda: MODEL.curve.over_sediment_mpa(0.01, math.nan, Sediment()), "sediment thickness"),
        (lambda: Sediment(0.0), "sediment modulus"),
        (lambda: Sediment(1.0, 1.2), "locking strain"),
        (lambda: locking_strain(0.3, 0.4), "porosity of the deposit"),
        (lambda: thickness_for_credit_m(MODEL.curve, Sediment(), 1.1, 0.01), "credit is 1.1"),
        (lambda: Spread(2.0, 1.0, 3.0), "rising order"),
    ],
)
def test_an_impossible_or_unknown_input_is_refused_and_named(call, names):
    with pytest.raises(OutOfRange, match=names):
        call()
