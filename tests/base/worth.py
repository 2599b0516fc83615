"""The checks of what the base is worth, by id, and how one is held against an answer."""

import json
from pathlib import Path

import pytest

from fieldapp.base.base_curve import Ground, Nominal
from fieldapp.base.conditions import BaseEvidence
from fieldapp.base.credit_range import BaseModel
from fieldapp.base.sediment import Sediment

CHECKS = {
    c["id"]: c for c in json.loads((Path(__file__).parent / "worth_checks.json").read_text(encoding="utf-8"))
}
NOTHING_KNOWN = BaseEvidence(1.5)


def of_topic(*topics):
    """Parametrize a test over every check of these topics."""
    chosen = [c for c in CHECKS.values() if c["topic"] in topics]
    return pytest.mark.parametrize("check", chosen, ids=[f"{c['id']}: {c['source']}" for c in chosen])


def hold(check, answer):
    """Every expected number of a check against the answer, within the tolerance of the check."""
    assert answer.keys() == check["expected"].keys()
    rel, absolute = check["tolerance"].get("rel", 0.0), check["tolerance"].get("abs", 0.0)
    for name, expected in check["expected"].items():
        if isinstance(expected, bool):
            assert answer[name] is expected
        else:
            assert answer[name] == pytest.approx(expected, rel=rel, abs=absolute), name


def model_of(inputs, shape="hyperbola"):
    """The base of a check."""
    ground = Ground(inputs["diameter_m"], inputs["rock_mass_modulus_MPa"], inputs["poisson_ratio"])
    nominal = Nominal(inputs["nominal_unit_base_MPa"], inputs["nominal_displacement_mm"] / 1000)
    return BaseModel(ground, nominal, shape)


def sediment_of(inputs):
    """The sediment of a check."""
    return Sediment(inputs["sediment_modulus_MPa"], inputs["locking_strain"])
