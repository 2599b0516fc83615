"""Asks the finite-element oracle in a process of its own."""

import json
import subprocess
import sys
from pathlib import Path

from tests.base.worth import CHECKS

ROOT = Path(__file__).parents[2]


def case_of(head_m, clean, step_m=1e-4):
    """The reference shaft of checks J-w2 to J-w75 as a question to the oracle."""
    inputs = CHECKS["J-w2"]["inputs"]
    ground = CHECKS["C0"]["expected"]
    thick = [0.0 if clean else t / 1000 for t in inputs["thickness_mm"]]
    return inputs | {
        "unit_side_MPa": CHECKS["J1"]["expected"]["unit_side_MPa"],
        "k_MPa_per_m": ground["k_MPa_per_m"],
        "q_inf_MPa": ground["q_inf_MPa"],
        "thickness_m": thick,
        "head_m": list(head_m),
        "step_m": step_m,
    }


def ask(question):
    """The oracle's answer, or what it said when it could not be loaded: (answer, None) or (None, why)."""
    asked = subprocess.run(
        [sys.executable, "-m", "tests.base.finite_elements"],
        input=json.dumps(question),
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=False,
        timeout=120,
    )
    lines = [line for line in asked.stdout.splitlines() if line.startswith("{")]
    if asked.returncode or not lines:
        return None, (asked.stderr.strip().splitlines() or ["it ended without an answer"])[-1]
    return json.loads(lines[-1]), None
