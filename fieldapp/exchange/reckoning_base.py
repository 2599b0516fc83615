"""Ground and nominal base resistance of a reckoning file, stated or by a rule with its conditions."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final, cast

from fieldapp.base.base_curve import Ground, Nominal, Shape
from fieldapp.base.bearing import (
    UnitBase,
    clay_base,
    empirical_rock_base,
    intact_rock_base,
    jointed_rock_base,
    older_jointed_rock_base,
    sand_base,
    stated_base,
    structural_cap,
)
from fieldapp.base.conditions import BaseEvidence
from fieldapp.base.disk import DIAMETER
from fieldapp.base.quantities import DISPLACEMENT, POISSON, ROCK_MODULUS, STRENGTH, UNIT_BASE
from fieldapp.base.rock_mass import DISTURBANCE, GSI, HOEK_MI, HoekBrown, hoek_brown, rock_mass_modulus_mpa
from fieldapp.exchange.reckoning import BaseAsked
from fieldapp.exchange.reckoning_table import Table, in_both
from fieldapp.units import Range

_TO_READ_ON_M: Final = 1.0  # a diameter with which the other problems of a file are found
POISSON_RATIO: Final = 0.25
BASE_KEYS: Final = ("diameter", "structural_limit")
GROUND_KEYS: Final = (
    "modulus",
    "gsi",
    "disturbance",
    "m_i",
    "modulus_range",
    "poisson",
    "curve",
    "void",
    "karst",
    "tightly_jointed",
    "sound_rock",
    "weak_rock_at",
)
NOMINAL_KEYS: Final = (
    "unit_base",
    "rule",
    "displacement",
    "rock_strength",
    "overburden",
    "undrained_strength",
    "embedment",
    "blow_count",
)
_NEEDED_BY: Final[dict[str, tuple[str, ...]]] = {
    "intact rock": ("rock_strength",),
    "jointed rock": ("rock_strength", "overburden"),
    "older jointed rock": ("rock_strength",),
    "empirical rock": ("rock_strength",),
    "clay": ("undrained_strength", "embedment"),
    "sand": ("blow_count",),
}
_CURVES: Final = ("hyperbola", "bilinear")
_DEPTH: Final = Range("depth below the base", "m", 0.0, 300.0)
_INPUTS: Final = {
    "rock_strength": STRENGTH,
    "overburden": Range("effective overburden at the base", "MPa", 0.0, 50.0),
    "undrained_strength": Range("undrained shear strength", "MPa", 0.0, 2.0, open_below=True),
    "embedment": Range("embedment of the base", "m", 0.0, 300.0),
    "blow_count": Range("blow count N60", "", 0.0, 50.0),
}


@dataclass(frozen=True, slots=True)
class _Rock:
    """What the ground table says of the rock mass."""

    gsi: float | None
    disturbance: float
    m_i: float | None

    @property
    def constants(self) -> HoekBrown | None:
        """Hoek-Brown constants where GSI and m_i are given."""
        if self.gsi is None or self.m_i is None:
            return None
        return hoek_brown(self.gsi, self.m_i, self.disturbance)


def read_base(top: Table, socket_m: float | None, assumed: list[str]) -> BaseAsked | None:
    """Base, ground and nominal value of a file; None when there is no diameter to go by.

    ``socket_m`` is the length of the side that the file gives; ``assumed`` grows by what was taken.
    """
    base = top.table("base", BASE_KEYS)
    ground, nominal = top.table("ground", GROUND_KEYS), top.table("nominal", NOMINAL_KEYS)
    diameter = base.quantity("diameter", DIAMETER, needed=True)
    cap = _number(base.quantity("structural_limit", UNIT_BASE))
    rock = _rock(ground, assumed)
    shape = cast("Shape", ground.word("curve", _CURVES, "hyperbola"))
    across_m = float(diameter or _TO_READ_ON_M)
    evidence = _evidence(ground, across_m, socket_m)
    found, modulus_range = _ground(ground, across_m, rock, assumed), _modulus_range_mpa(ground)
    unit_base = None if evidence is None else _unit_base(nominal, rock, evidence)
    if unit_base is not None:
        unit_base = structural_cap(unit_base, cap)
    meant = _nominal(nominal, across_m, unit_base, assumed)
    return None if diameter is None else BaseAsked(diameter, found, modulus_range, unit_base, meant, shape)


def _number(value: Fraction | None) -> float | None:
    return None if value is None else float(value)


def _rock(ground: Table, assumed: list[str]) -> _Rock:
    gsi = _number(ground.quantity("gsi", GSI))
    disturbance = _number(ground.quantity("disturbance", DISTURBANCE))
    if gsi is not None and disturbance is None:
        assumed.append("disturbance factor D 0, for a drilled base (judgment)")
    return _Rock(gsi, disturbance or 0.0, _number(ground.quantity("m_i", HOEK_MI)))


def _evidence(ground: Table, diameter_m: float, socket_m: float | None) -> BaseEvidence | None:
    void, karst = ground.flag("void"), ground.flag("karst")
    jointed = ground.flag("tightly_jointed")
    sound, weak = (_number(ground.quantity(key, _DEPTH)) for key in ("sound_rock", "weak_rock_at"))
    return ground.faults.made(
        "ground", lambda: BaseEvidence(diameter_m, void, karst, None, jointed, sound, weak, socket_m)
    )


def _ground(table: Table, diameter_m: float, rock: _Rock, assumed: list[str]) -> Ground | None:
    modulus = _number(table.quantity("modulus", ROCK_MODULUS))
    if "modulus" in table and "gsi" in table:
        assumed.append("modulus of the ground as stated; the GSI serves the rule for the base only")
    if modulus is None and rock.gsi is not None:
        modulus = rock_mass_modulus_mpa(rock.gsi, rock.disturbance)
        assumed.append(
            f"modulus of the rock mass {in_both(modulus, 'MPa', 'ksi')}, from GSI {rock.gsi:g} "
            "(Hoek & Diederichs 2006, simplified form; memory: fair)"
        )
    ratio = _number(table.quantity("poisson", POISSON))
    if modulus is None:
        return None
    if "poisson" not in table:
        assumed.append(f"Poisson's ratio {POISSON_RATIO:g} (judgment)")
    usual = POISSON_RATIO if ratio is None else ratio
    return table.faults.made("ground", lambda: Ground(diameter_m, modulus, usual))


def _modulus_range_mpa(ground: Table) -> tuple[float, float] | None:
    ends = ground.quantities("modulus_range", ROCK_MODULUS)
    if ends is None:
        return None
    if len(ends) != 2 or ends[0] > ends[1]:
        ground.wrong("modulus_range", ground.content["modulus_range"], "the least and the greatest, in order")
        return None
    return float(ends[0]), float(ends[1])


def _nominal(
    table: Table, diameter_m: float, unit_base: UnitBase | None, assumed: list[str]
) -> Nominal | None:
    moved = table.quantity("displacement", DISPLACEMENT)
    if unit_base is None:
        return None
    if moved is not None:
        at = float(moved)
        return table.faults.made("nominal", lambda: Nominal(unit_base.unit_base_mpa, at))
    if "displacement" in table:
        return None
    usual = table.faults.made(
        "nominal", lambda: Nominal.at_usual_displacement(unit_base.unit_base_mpa, diameter_m)
    )
    if usual is not None:
        assumed.append(
            "nominal base resistance at 5 % of the diameter, "
            f"{in_both(usual.displacement_m, 'mm', 'in')} (judgment); if it is meant at less, state that"
        )
    return usual


def _unit_base(table: Table, rock: _Rock, evidence: BaseEvidence) -> UnitBase | None:
    kind = table.one_of("unit_base", "rule", needed=bool(table.content))
    stated, rule = table.quantity("unit_base", UNIT_BASE), table.word("rule", tuple(_NEEDED_BY))
    given = {key: table.quantity(key, limits) for key, limits in _INPUTS.items()}
    needed = _NEEDED_BY.get(rule or "", ())
    for key in given:
        if key not in table and key in needed:
            table.wrong(key, "nothing", f"its value, which the rule '{rule}' needs")
        if key in table and kind is not None and key not in needed and (rule or kind == "unit_base"):
            table.wrong(key, table.content[key], f"no such value: '{rule or kind}' does not use it")
    if kind == "unit_base":
        return None if stated is None else stated_base(float(stated), evidence)
    known = {key: float(value) for key, value in given.items() if value is not None}
    if rule is None or not set(needed) <= set(known):
        return None
    if "jointed" in rule and rock.constants is None:
        table.faults.add("ground", "not both gsi and m_i", f"both, for the rule '{rule}'")
        return None
    return table.faults.made("nominal", lambda: _by_rule(rule, known, rock, evidence))


def _by_rule(rule: str, known: dict[str, float], rock: _Rock, evidence: BaseEvidence) -> UnitBase:
    if rule == "clay":
        ratio = known["embedment"] / evidence.diameter_m
        return clay_base(known["undrained_strength"], ratio, evidence)
    if rule == "sand":
        return sand_base(known["blow_count"], evidence)
    q_u, constants = known["rock_strength"], rock.constants
    if rule == "intact rock":
        return intact_rock_base(q_u, evidence)
    if rule == "empirical rock" or constants is None:
        return empirical_rock_base(q_u, evidence)
    if rule == "jointed rock":
        return jointed_rock_base(q_u, constants, known["overburden"], evidence)
    return older_jointed_rock_base(q_u, constants, evidence)
