"""Limits under comparison, wanted credits, displacements and fluid of a reckoning file."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Final, TypeAlias

from fieldapp.base.credit_range import SERVICE_M, Displacements
from fieldapp.base.quantities import CREDIT, DISPLACEMENT, SEDIMENT
from fieldapp.criteria.limits import Case, limit_for
from fieldapp.exchange.reckoning import CurvesAsked, FluidAsked, ThicknessLimits
from fieldapp.exchange.reckoning_table import Table, in_both
from fieldapp.fluid.column import DENSITY, DEPTH
from fieldapp.fluid.deposit import COLUMN
from fieldapp.fluid.funnel import FunnelReading, cup_of
from fieldapp.fluid.settling_set import FluidKind
from fieldapp.fluid.suspended import FluidColumn, FluidSample
from fieldapp.record.acceptance import AcceptanceSet, Parameter
from fieldapp.record.reading import Impossible
from fieldapp.record.words import DesignBasis, StructureClass, UnitSystem
from fieldapp.units import Range, to_si

FindSet: TypeAlias = Callable[[str], AcceptanceSet]

LIMIT_KEYS: Final = (
    "name",
    "set",
    "design_basis",
    "structure_class",
    "share",
    "thickness",
    "strict",
    "cap",
    "cap_strict",
)
DISPLACEMENT_KEYS: Final = ("service", "strength", "base", "head")
WANTED_KEYS: Final = ("credits",)
FLUID_KEYS: Final = ("kind", "depth", "yield_stress", "until", "samples")
SAMPLE_KEYS: Final = ("depth", "sand", "funnel_time", "cup", "temperature", "density")
_OWN_KEYS: Final = ("share", "thickness", "strict", "cap", "cap_strict")
_MOST: Final = 20
_MOST_SAMPLES: Final = 50
_SHARE: Final = Range("share of the base within the limit", "", 0.0, 1.0, open_below=True)
_SAND: Final = Range("sand content", "", 0.0, 1.0)
_TIME: Final = Range("funnel time", "s", 0.0, 3600.0, open_below=True)
_CUP: Final = Range("cup volume", "m3", 0.0, 0.002, open_below=True)
_TEMPERATURE: Final = Range("temperature", "degC", -20.0, 80.0)
_YIELD: Final = Range("yield stress", "MPa", 0.0, 0.0002)
_UNTIL: Final = Range("time to look ahead", "s", 60.0, 30 * 86_400.0)
_HORIZON_S: Final = 12 * 3600.0
_BASE_MM: Final = (2.0, 5.0, 10.0, 15.0, 25.0, 50.0, 75.0)
_BASE_IN: Final = (0.1, 0.2, 0.4, 0.6, 1.0, 2.0, 3.0)


def read_limits(top: Table, find: FindSet) -> tuple[ThicknessLimits, ...]:
    """Every set of limits under comparison; ``find`` gives the acceptance set of a name."""
    tables = [_named(table) for table in top.tables("limits", LIMIT_KEYS, _MOST)]
    read = [_set(each, find) if "set" in each else _own(each) for each in tables]
    known = tuple(each for each in read if each is not None)
    names = [each.name for each in known]
    for name in sorted({each for each in names if names.count(each) > 1}):
        top.wrong("limits", name, "a name of its own for each set of limits")
    return known


def read_wanted(top: Table) -> tuple[float, ...]:
    """Wanted credits, more than 0 and at most 1."""
    read = top.table("wanted", WANTED_KEYS).quantities("credits", CREDIT, _MOST)
    return tuple(float(each) for each in read or ())


def read_curves(top: Table, units: UnitSystem, assumed: list[str]) -> CurvesAsked:
    """Displacements at which credit is told and curves are drawn; ``assumed`` grows by what was taken."""
    table = top.table("displacements", DISPLACEMENT_KEYS)
    service, strength = (table.quantity(key, DISPLACEMENT) for key in ("service", "strength"))
    if "service" not in table:
        assumed.append(f"service displacement of the base {in_both(SERVICE_M, 'mm', 'in')} (judgment)")
    symbol, usual = ("in", _BASE_IN) if units is UnitSystem.US else ("mm", _BASE_MM)
    steps = tuple(to_si(each, symbol) for each in usual)
    base, head = (table.quantities(key, DISPLACEMENT) for key in ("base", "head"))
    at = Displacements(
        SERVICE_M if service is None else float(service), None if strength is None else float(strength)
    )
    return CurvesAsked(
        at,
        steps if base is None else tuple(sorted(float(each) for each in base)),
        steps if head is None else tuple(sorted(float(each) for each in head)),
    )


def read_fluid(top: Table, assumed: list[str]) -> FluidAsked | None:
    """The fluid above the base as sampled; None when the file holds none."""
    if "fluid" not in top:
        return None
    table = top.table("fluid", FLUID_KEYS)
    if "kind" not in table:
        table.wrong("kind", "nothing", f"one of {', '.join(FluidKind)}")
    kind = table.word("kind", tuple(FluidKind))
    depth = table.quantity("depth", COLUMN, needed=True)
    stress, until = table.quantity("yield_stress", _YIELD), table.quantity("until", _UNTIL)
    tables = table.tables("samples", SAMPLE_KEYS, _MOST_SAMPLES)
    samples = [each for each in (_sample(sample) for sample in tables) if each is not None]
    if "until" not in table:
        assumed.append("forecast over 12 hours")
    if kind is None or depth is None or len(samples) < len(tables):
        return None
    pascal = None if stress is None else float(stress * 1_000_000)
    ordered = tuple(sorted(samples, key=lambda each: each.depth_m))
    column = table.faults.made("fluid", lambda: FluidColumn(FluidKind(kind), depth, ordered, pascal))
    return None if column is None else FluidAsked(column, _HORIZON_S if until is None else float(until))


def _named(table: Table) -> Table:
    if "name" not in table and "set" not in table:
        table.wrong("name", "nothing", 'a name for these limits, such as "1/2 in over half"')
    return table


def _own(table: Table) -> ThicknessLimits | None:
    """Limits that the file itself states."""
    for key in ("design_basis", "structure_class"):
        if key in table:
            table.wrong(key, table.content[key], "it only beside 'set'")
    limit, cap = table.quantity("thickness", SEDIMENT), table.quantity("cap", SEDIMENT)
    share = table.quantity("share", _SHARE)
    strict, cap_strict = table.flag("strict"), table.flag("cap_strict")
    if ("thickness" in table) != ("share" in table):
        table.wrong("share", "one of thickness and share", "both, or neither")
    if "thickness" not in table and "cap" not in table:
        table.wrong("", "no limit", "a 'set', or thickness with share, or a cap")
    for of, key in (("thickness", "strict"), ("cap", "cap_strict")):
        if of in table and key not in table:
            table.wrong(key, "nothing", f"true (less than the {of}) or false (the {of} itself is allowed)")
    if (limit is None or share is None) and cap is None:
        return None
    name = table.text("name")
    return ThicknessLimits(name, limit, bool(strict), share, cap, bool(cap_strict))


def _set(table: Table, find: FindSet) -> ThicknessLimits | None:
    """Limits of an acceptance set that comes with the program."""
    for key in _OWN_KEYS:
        if key in table:
            table.wrong(key, table.content[key], "own limits, or a 'set', not both")
    basis = table.word("design_basis", tuple(DesignBasis))
    group = table.word("structure_class", tuple(StructureClass))
    case = Case(
        design_basis=None if basis is None else DesignBasis(basis),
        structure_class=None if group is None else StructureClass(group),
    )
    called = table.text("set")
    try:
        accepted = find(called)
    except Impossible as refused:
        table.wrong("set", called, refused.expected)
        return None
    return _of_set(table, accepted, case)


def _of_set(table: Table, accepted: AcceptanceSet, case: Case) -> ThicknessLimits | None:
    limit, share = (limit_for(accepted, f"area_fraction_{end}", case) for end in ("limit", "min"))
    caps = [limit_for(accepted, each, case) for each in ("max_thickness_anywhere", "flat_cap_thickness")]
    stated = [(value, cap.strict) for cap in caps if cap is not None and (value := _value(cap)) is not None]
    cap_m, cap_strict = min(stated, key=lambda each: (each[0], not each[1]), default=(None, False))
    area, least = _value(limit), _value(share)
    if (area is None or least is None) and cap_m is None:
        table.wrong(
            "set",
            accepted.id,
            "a set that states a limit on thickness for this case; state design_basis or structure_class, "
            "or the limits themselves",
        )
        return None
    mean = limit_for(accepted, "mean_thickness_limit", case)
    says = ("Its limit on the mean thickness is not used.",) if mean is not None else ()
    both = area is not None and least is not None
    strict = both and limit is not None and limit.strict
    name = table.text("name", accepted.id)
    return ThicknessLimits(
        name, area if both else None, strict, least if both else None, cap_m, cap_strict, says
    )


def _value(parameter: Parameter | None) -> Fraction | None:
    if parameter is None or parameter.reading is None:
        return None
    return parameter.reading.si


def _sample(table: Table) -> FluidSample | None:
    depth, sand = table.quantity("depth", DEPTH, needed=True), table.quantity("sand", _SAND)
    density = table.quantity("density", DENSITY)
    time, cup = table.quantity("funnel_time", _TIME), table.quantity("cup", _CUP)
    temperature = table.quantity("temperature", _TEMPERATURE)
    if "funnel_time" in table and "cup" not in table:
        table.wrong("cup", "nothing", 'the volume that ran out: "946 mL" or "1 qt", or "1000 mL"')
    if depth is None:
        return None
    funnel = None
    if time is not None and cup is not None:
        funnel = table.faults.made(table.path, lambda: FunnelReading(time, cup_of(cup), temperature))
    return FluidSample(depth, sand, funnel, density)
