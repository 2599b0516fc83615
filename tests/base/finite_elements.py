"""The reference shaft in a general finite-element library, an optional and independent oracle.

Run as a program (``python -m tests.base.finite_elements``) it reads a question from its input and writes
the answer, both JSON: in a process of its own, because the library loads its own linear algebra.
It is for tests only and never part of the program.  Units MN, MPa, m.
"""

import ctypes
import importlib.util
import json
import math
import sys
import time
from pathlib import Path

import numpy as np

LIBRARY = "openseespy"
STEP_M = 1e-4
HEAD, BARS, LAST = 1, 100, 101


def installed():
    """Whether the library and its binaries are there at all."""
    return all(importlib.util.find_spec(name) for name in (LIBRARY, "openseespylinux"))


def load():
    """Import it; its parts do not find each other, so they are loaded first, in this order."""
    where = Path(importlib.util.find_spec("openseespylinux").submodule_search_locations[0]) / "lib"
    for part in ("libquadmath.so.0", "libgfortran.so.4", "libblas.so.3", "liblapack.so.3"):
        ctypes.CDLL(str(where / part), mode=ctypes.RTLD_GLOBAL)
    return importlib.import_module("openseespy.opensees")


def mirrored(values):
    return np.concatenate([-values[:0:-1], values]).tolist()


def build_shaft(ops, asked):
    """Head at node 1, base at the last; bars between, a side spring to a fixed node at each."""
    ops.wipe()
    ops.model("basic", "-ndm", 1, "-ndf", 1)
    height, diameter = asked["length_m"] / BARS, asked["diameter_m"]
    for i in range(LAST):
        ops.node(i + 1, i * height)
    ops.uniaxialMaterial("Elastic", 1, asked["concrete_modulus_MPa"])
    for i in range(BARS):
        ops.element("Truss", i + 1, i + 1, i + 2, math.pi * diameter**2 / 4, 1)
    full = asked["side_full_displacement_mm"] / 1000
    for material, share in ((2, 1.0), (3, 0.5)):
        force = asked["unit_side_MPa"] * math.pi * diameter * height * share
        ops.uniaxialMaterial("ElasticPP", material, force / full, full)
    for i in range(LAST):
        ops.node(1001 + i, i * height)
        ops.fix(1001 + i, 1)
        material = 3 if i in {0, BARS} else 2
        ops.element("zeroLength", 1001 + i, 1001 + i, i + 1, "-mat", material, "-dir", 1)


def build_base(ops, asked):
    """Every cell: fixed node, rock spring, interface, sediment spring, base node."""
    area = math.pi * asked["diameter_m"] ** 2 / 4
    moved = np.concatenate([[0.0], np.geomspace(1e-6, 0.5, 900)])
    rock = moved / (1 / asked["k_MPa_per_m"] + moved / asked["q_inf_MPa"])
    locks = asked["locking_strain"]
    strain = np.union1d(np.linspace(0, 0.9 * locks, 600), locks * (1 - np.geomspace(1, 1e-3, 900)))
    stress = asked["sediment_modulus_MPa"] * strain / (1 - strain / locks)
    for i, (thick, weight) in enumerate(zip(asked["thickness_m"], asked["area_weight"], strict=True)):
        fixed, material, share = 3000 + 3 * i, 10 + 2 * i, area * weight
        ops.node(fixed, asked["length_m"])
        ops.fix(fixed, 1)
        ops.uniaxialMaterial(
            "ElasticMultiLinear", material, "-strain", *mirrored(moved), "-stress", *mirrored(share * rock)
        )
        if thick == 0:
            ops.element("zeroLength", fixed, fixed, LAST, "-mat", material, "-dir", 1)
            continue
        ops.node(fixed + 1, asked["length_m"])
        ops.element("zeroLength", fixed, fixed, fixed + 1, "-mat", material, "-dir", 1)
        curve = ("-strain", *mirrored(thick * strain), "-stress", *mirrored(share * stress))
        ops.uniaxialMaterial("ElasticMultiLinear", material + 1, *curve)
        ops.element("zeroLength", fixed + 1, fixed + 1, LAST, "-mat", material + 1, "-dir", 1)


def push(ops, asked):
    """Displacement control at the head; head load, base load and base displacement at each head asked for.

    The base load is the force in the last bar less the half-slice side spring at the base node.
    """
    ops.timeSeries("Linear", 1)
    ops.pattern("Plain", 1, 1)
    ops.load(HEAD, 1.0)
    ops.system("BandGeneral")
    ops.numberer("RCM")
    ops.constraints("Plain")
    ops.test("NormUnbalance", 1e-9, 100)
    ops.algorithm("Newton")
    axial = asked["concrete_modulus_MPa"] * math.pi * asked["diameter_m"] ** 2 / 4
    height, full = asked["length_m"] / BARS, asked["side_full_displacement_mm"] / 1000
    half_side = asked["unit_side_MPa"] * math.pi * asked["diameter_m"] * height / 2
    rows, done = [], 0.0
    for head in asked["head_m"]:
        steps = max(1, round((head - done) / asked.get("step_m", STEP_M)))
        ops.integrator("DisplacementControl", HEAD, 1, (head - done) / steps)
        ops.analysis("Static", "-noWarnings")
        if ops.analyze(steps) != 0:
            sys.exit(f"no equilibrium at a head displacement of {head} m")
        done = head
        base, above = ops.nodeDisp(LAST, 1), ops.nodeDisp(LAST - 1, 1)
        load = axial * (above - base) / height - half_side * min(base / full, 1.0)
        rows.append([ops.getLoadFactor(1), load, base])
    return rows


def linear_bar(ops, asked):
    """Head stiffness of a bar on even side springs and one base spring, 200 bars, one unit of load."""
    bars = 200
    ops.wipe()
    ops.model("basic", "-ndm", 1, "-ndf", 1)
    height = asked["length_m"] / bars
    ops.uniaxialMaterial("Elastic", 1, asked["concrete_modulus_MPa"])
    for material, share in ((2, 1.0), (3, 0.5)):
        stiffness = asked["side_spring_MN_per_m_per_m"] * height * share
        ops.uniaxialMaterial("Elastic", material, stiffness)
    ops.uniaxialMaterial("Elastic", 4, asked["base_spring_MN_per_m"])
    for i in range(bars + 1):
        ops.node(i + 1, i * height)
        ops.node(1001 + i, i * height)
        ops.fix(1001 + i, 1)
    area = math.pi * asked["diameter_m"] ** 2 / 4
    for i in range(bars):
        ops.element("Truss", i + 1, i + 1, i + 2, area, 1)
    for i in range(bars + 1):
        ops.element("zeroLength", 1001 + i, 1001 + i, i + 1, "-mat", 3 if i in {0, bars} else 2, "-dir", 1)
    ops.element("zeroLength", 3000, 1001 + bars, bars + 1, "-mat", 4, "-dir", 1)
    ops.timeSeries("Linear", 1)
    ops.pattern("Plain", 1, 1)
    ops.load(HEAD, 1.0)
    ops.system("BandGeneral")
    ops.integrator("LoadControl", 1.0)
    ops.analysis("Static", "-noWarnings")
    if ops.analyze(1) != 0:
        sys.exit("no equilibrium of the linear bar")
    return 1 / ops.nodeDisp(HEAD, 1)


def solve(ops, asked):
    """Rows of head load, base load, base displacement, and the seconds that it took."""
    started = time.perf_counter()
    build_shaft(ops, asked)
    build_base(ops, asked)
    rows = push(ops, asked)
    return {"rows": rows, "seconds": time.perf_counter() - started}


def main():
    asked = json.load(sys.stdin)
    ops = load()
    answers = {name: solve(ops, case) for name, case in asked["cases"].items()}
    if "bar" in asked:
        answers["bar"] = linear_bar(ops, asked["bar"])
    sys.stdout.write("\n" + json.dumps(answers) + "\n")


if __name__ == "__main__":
    main()
