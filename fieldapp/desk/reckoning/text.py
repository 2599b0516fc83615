"""What the command line says of a reckoning, in the unit system of its file.

Credits, shares and the thickness that a credit allows are rounded down: no rounding lends a base what
it has not got.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from fieldapp.base.credit import CAVEATS
from fieldapp.base.credit_facts import Credit, CreditAt
from fieldapp.base.next_sounding import NextSounding
from fieldapp.base.sediment_map import NoMap, SedimentMap
from fieldapp.desk.reckoning.limits import LimitsHeld
from fieldapp.desk.reckoning.more_text import ahead_lines, head_lines, stake_lines, wanted_lines
from fieldapp.desk.reckoning.reckon import AreaCell, Reckoned
from fieldapp.desk.reckoning.show import Shown, percent, table
from fieldapp.exchange.reckoning import ThicknessLimits
from reports.worth_words import credit_text

_MOST_CELLS: Final = 30
_HOLDS: Final = {True: "stated", False: "does not hold", None: "asked for, not shown"}


def reckon_text(made: Reckoned) -> str:
    """Everything that a file asked, answered in its units; what was not shown and what was taken."""
    shown = Shown(made.asked.units)
    parts = [
        [f"{made.asked.title or made.asked.file}"],
        _base_lines(made, shown),
        _area_lines(made, shown),
        _credit_lines(made, shown),
        _limits_lines(made, shown),
        wanted_lines(made.wanted, shown),
        _curve_lines(made, shown),
        head_lines(made, shown),
        stake_lines(made, shown),
        ahead_lines(made.ahead, shown),
        _listed("Not shown:", made.missing),
        _listed("Taken, as the file does not state it:", made.asked.assumed),
        _listed("Read with care:", CAVEATS) if made.model is not None else [],
    ]
    return "\n\n".join("\n".join(part) for part in parts if part)


def _listed(head: str, said: Sequence[str]) -> list[str]:
    return [head, *(f"* {each}" for each in said)] if said else []


def _base_lines(made: Reckoned, shown: Shown) -> list[str]:
    base = made.asked.base
    lines = [f"Base {shown.long(base.diameter_m)} in diameter"]
    if base.ground is not None:
        lines.append(f"  modulus of the ground {shown.stress(base.ground.modulus_mpa)}, {base.shape}")
    if base.unit_base is not None:
        at = "" if base.nominal is None else f" at {shown.short(base.nominal.displacement_m)}"
        unit = base.unit_base
        lines.append(
            f"  nominal base resistance {shown.stress(unit.unit_base_mpa)}{at}: {unit.rule} ({unit.source})"
        )
        lines += [f"  {unit.says}"] if unit.says else []
        lines += [f"  {_HOLDS[each.holds]}: {_bare(each.says)}" for each in unit.conditions]
    for number, side in enumerate(made.asked.shaft.unit_sides, start=1):
        told = f"  side {number}: {shown.stress(side.unit_side_mpa)}, {side.rule} ({side.source})"
        lines.append(f"{told} {side.says}".rstrip())
    return lines


def _bare(says: str) -> str:
    return says.removeprefix("Shown: ").removeprefix("Not shown: ")


def _area_lines(made: Reckoned, shown: Shown) -> list[str]:
    rows = [
        [
            each.label,
            percent(each.share),
            "no reading" if each.thickness_m is None else shown.short(each.thickness_m),
        ]
        for each in made.cells[:_MOST_CELLS]
    ]
    if not rows:
        return []
    lines = ["Sediment", table(rows, ["part", "share of the base", "thickness"])]
    more = len(made.cells) - _MOST_CELLS
    lines += [f"and {more} more parts"] if more > 0 else []
    if isinstance(made.sediment, SedimentMap):
        length = made.sediment.length_over_radius
        lines.append(f"map: correlation length {length:.2f} of the radius ({made.sediment.length_from})")
    for name, place in made.next_places:
        held = f" for '{name}'" if name else ""
        if isinstance(place, NextSounding):
            where = f"r {shown.short(place.r_m)}, {place.angle_deg:.0f} deg"
            lines.append(f"next sounding{held}: tells most at {where} (by {place.reason})")
        else:
            lines.append(f"next sounding{held}: {place.why}")
    return lines


def _thickness(cell: AreaCell, shown: Shown) -> str:
    return "no reading" if cell.thickness_m is None else shown.short(cell.thickness_m)


def _credit_lines(made: Reckoned, shown: Shown) -> list[str]:
    credit = made.credit
    if credit is None:
        return []
    rows = [_credit_row(name, at, shown) for name, at in _both(credit)]
    head = ["base displacement", "low", "best", "high", "5 % of maps", "clean base", "as built", "e/B"]
    lines = [
        "Credit of the base over this sediment: an estimate, to be accepted or not",
        table(rows, head),
        f"nominal {shown.force(credit.nominal_mn)}; credited at strength {shown.force(credit.credited_mn)}, "
        f"lowest {shown.force(credit.credited_lowest_mn)}",
    ]
    return [*lines, *dict.fromkeys((*credit.service.warnings, *credit.strength.warnings))]


def _both(credit: Credit) -> tuple[tuple[str, CreditAt], tuple[str, CreditAt]]:
    return ("service", credit.service), ("strength", credit.strength)


def _credit_row(name: str, at: CreditAt, shown: Shown) -> list[str]:
    return [
        f"{name}, {shown.short(at.displacement_m)}",
        credit_text(at.lowest),
        credit_text(at.credit),
        credit_text(at.greatest.credit),
        "-" if at.maps is None else credit_text(at.maps.low),
        shown.force(at.clean_mn),
        shown.force(at.as_built_mn),
        "-" if at.eccentricity is None else f"{at.eccentricity:.2f}",
    ]


def _curve_lines(made: Reckoned, shown: Shown) -> list[str]:
    if not made.curve:
        return []
    rows = []
    for each in made.curve:
        at = each.credit
        told = (
            ["-"] * 3
            if at is None
            else [credit_text(credit) for credit in (at.lowest, at.credit, at.greatest.credit)]
        )
        built = "-" if at is None else shown.force(at.as_built_mn)
        rows.append([shown.short(each.displacement_m), shown.force(each.clean_mn), built, *told])
    head = ["base displacement", "clean base", "as built", "credit low", "best", "high"]
    without = "; without the doubt of the map" if isinstance(made.sediment, SedimentMap) else ""
    return [f"Base curve, credit over the range of the parameters{without}", table(rows, head)]


def _limits_lines(made: Reckoned, shown: Shown) -> list[str]:
    if not made.limits:
        return []
    lines = ["Limits, and the worst map that each lets pass"]
    if made.cells:
        rows = [_held_row(each, shown) for each in made.limits]
        lines += [table(rows, ["limits", "share within", "largest", "kept", "assured", "chance"]), ""]
    rows = [_worst_row(each, at, shown) for each in made.limits for at in (0, 1)]
    head = ["limits", "worst map that passes", "at base", "low", "best", "high", "demand reached by"]
    lines.append(table(rows, head))
    lines += [f"'{each.limits.name}': {said}" for each in made.limits for said in each.limits.says]
    lines += [f"'{each.limits.name}': {said}" for each in made.limits for said in _worst_warnings(each)]
    assured = next((each.assured for each in made.limits if each.assured is not None), None)
    if assured is not None:
        by_map = assured.by_map
        lines.append(
            "assured: by counting points / by the map"
            + ("" if isinstance(by_map, NoMap) else f", at {by_map.confidence:.3g} confidence, one-sided")
        )
        lines += [f"* {each}" for each in assured.caveats]
    return lines


def _held_row(each: LimitsHeld, shown: Shown) -> list[str]:
    measured, assured = each.measured, each.assured
    if measured is None:
        return [each.limits.name, "-", "-", "not shown", "-", "-"]
    if measured.share is None:
        share = f"{percent(measured.share_if_unknown_dirty)} to {percent(measured.share_if_unknown_clean)}"
    else:
        share = percent(measured.share)
    largest = measured.largest_m if measured.largest_m is not None else measured.largest_known_m
    kept = {True: "yes", False: "no", None: "not shown"}[each.holds]
    return [
        each.limits.name,
        share,
        "-" if largest is None else f"{'' if measured.unread == 0 else '>= '}{shown.short(largest)}",
        kept,
        "-" if assured is None else _assured(each),
        "-" if assured is None or isinstance(assured.by_map, NoMap) else percent(assured.by_map.chance),
    ]


def _assured(each: LimitsHeld) -> str:
    if each.assured is None:
        return "-"
    by_map = each.assured.by_map
    mapped = "-" if isinstance(by_map, NoMap) else percent(by_map.assured_share)
    return f"{percent(each.assured.share_by_counting)} / {mapped}"


def _worst_row(each: LimitsHeld, which: int, shown: Shown) -> list[str]:
    named = [each.limits.name, _limit_words(each.limits, shown)] if which == 0 else ["", ""]
    if each.worst_credit is None:
        return [*named, "not shown", "-", "-", "-", "-"]
    at = (each.worst_credit.service, each.worst_credit.strength)[which]
    told = [credit_text(credit) for credit in (at.lowest, at.credit, at.greatest.credit)]
    demand = None if each.worst_heads is None else each.worst_heads.demand
    reached = "-"
    if demand is not None and which == 0:
        reached = (
            "not reached" if demand.from_head_m is None else f"{shown.short(demand.from_head_m)} at head"
        )
    return [*named, shown.short(at.displacement_m), *told, reached]


def _reached(each: LimitsHeld, shown: Shown) -> str:
    demand = None if each.worst_heads is None else each.worst_heads.demand
    if demand is None:
        return "-"
    return "not reached" if demand.from_head_m is None else f"{shown.short(demand.from_head_m)} at head"


def _worst_warnings(each: LimitsHeld) -> tuple[str, ...]:
    if each.worst_credit is None:
        return ()
    both = (*each.worst_credit.service.warnings, *each.worst_credit.strength.warnings)
    heads = () if each.worst_heads is None else (each.worst_heads.curves.as_built.says,)
    return tuple(said for said in dict.fromkeys((*both, *heads)) if said)


def _limit_words(limits: ThicknessLimits, shown: Shown) -> str:
    """The worst map in words: shares at their thickness."""
    if limits.area_limit_m is None or limits.share_min is None:
        return f"all at {shown.short(limits.cap_m or 0)}"
    least = limits.area_limit_m if limits.cap_m is None else min(limits.area_limit_m, limits.cap_m)
    rest = "without limit" if limits.cap_m is None else f"at {shown.short(limits.cap_m)}"
    return f"{percent(limits.share_min)} at {shown.short(least)}, the rest {rest}"
