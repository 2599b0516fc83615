"""What the command line says of credit and forecast: text for people, plain values for programs.

Credits and shares are rounded down, so that no rounding lends a base what it has not got.
"""

from __future__ import annotations

from typing import Final

from tabulate import tabulate

from fieldapp.base.assured import AssuredShare
from fieldapp.base.credit_facts import Credit, CreditAt
from fieldapp.base.next_sounding import NextSounding, Settled
from fieldapp.base.sediment_map import NoMap
from fieldapp.criteria.finding import Standing
from fieldapp.criteria.phrasing import clock
from fieldapp.desk.worth.worth import BaseWorth
from fieldapp.record.words import UnitSystem
from fieldapp.units import show
from reports.worth_words import credit_text, least_share

LENGTH: Final = {UnitSystem.US: ("in", 2), UnitSystem.SI: ("mm", 1)}
_LONG: Final = {UnitSystem.US: ("ft", 1), UnitSystem.SI: ("m", 2)}
_FORCE: Final = {UnitSystem.US: ("kip", 0), UnitSystem.SI: ("MN", 2)}


def credit_cell(worth: BaseWorth) -> str:
    """Two lines for a table: estimated credit at service and strength, with the range."""
    if worth.credit is None:
        return "none" if worth.now.standing.standing is Standing.NOT_CREDITABLE else "not shown"
    return f"service {_range(worth.credit.service)}\nstrength {_range(worth.credit.strength)}"


def _range(at: CreditAt) -> str:
    span = f"{credit_text(at.lowest)}-{credit_text(at.greatest.credit)}"
    return f"{credit_text(at.credit)} ({span})"


def worth_text(worth: BaseWorth, units: UnitSystem) -> str:
    """Everything that can be said of the worth of one base."""
    lines = [
        f"{worth.now.shaft.id}, as of {clock(worth.now.at)}: {worth.now.standing.standing}",
        worth.round_title or "no round",
    ]
    lines += _share_lines(worth.assured)
    lines += _place_lines(worth, units)
    if worth.credit is not None:
        lines += ["", _credit_table(worth.credit, units)]
        lines += [*_warnings(worth.credit), *_stake_lines(worth, units), ""]
        lines += [f"* {each}" for each in worth.credit.caveats]
    if worth.missing:
        lines += ["", "not shown, for want of:", *(f"* {each}" for each in worth.missing)]
    return "\n".join(lines)


def _share_lines(assured: AssuredShare | None) -> list[str]:
    if assured is None:
        return []
    measured = assured.measured.share
    shown = "not shown" if measured is None else least_share(measured)
    lines = [f"share of the base within the limit: measured {shown}"]
    if not isinstance(assured.by_map, NoMap):
        by_map = assured.by_map
        lines.append(
            f"  assured by the map {least_share(by_map.assured_share)} at {100 * by_map.confidence:g} % "
            f"confidence, chance that the requirement holds {least_share(by_map.chance)}"
        )
    lines.append(f"  assured by counting points alone {least_share(assured.share_by_counting)} (indicative)")
    return lines


def _place_lines(worth: BaseWorth, units: UnitSystem) -> list[str]:
    place = worth.next_place
    if isinstance(place, NextSounding):
        where = f"r {show(place.r_m, *LENGTH[units])}, {place.angle_deg:.0f} deg from upstation"
        return [f"the next sounding tells most at {where} (by {place.reason})"]
    if isinstance(place, Settled):
        return [place.why]
    return []


def _credit_table(credit: Credit, units: UnitSystem) -> str:
    rows = [
        [
            f"{name}, {show(each.displacement_m, *LENGTH[units])}",
            credit_text(each.lowest),
            credit_text(each.credit),
            credit_text(each.greatest.credit),
            "-" if each.maps is None else credit_text(each.maps.low),
            show(each.clean_mn, *_FORCE[units]),
            show(each.as_built_mn, *_FORCE[units]),
        ]
        for name, each in (("service", credit.service), ("strength", credit.strength))
    ]
    head = ["base displacement", "low", "best", "high", "5 % of maps", "clean base", "as built"]
    return str(tabulate(rows, head, tablefmt="simple", disable_numparse=True))


def _warnings(credit: Credit) -> list[str]:
    return list(dict.fromkeys((*credit.service.warnings, *credit.strength.warnings)))


def _stake_lines(worth: BaseWorth, units: UnitSystem) -> list[str]:
    stake = worth.stake
    if stake is None:
        return []
    force, length = _FORCE[units], _LONG[units]
    lines = [
        f"at stake: factored base {show(stake.factored_base_mn, *force)}, "
        f"{100 * stake.share_of_factored:.0f} % of the shaft; "
        f"{show(stake.replaces_factored_m, *length)} more socket would replace it"
    ]
    if worth.demand is not None:
        reached = worth.demand.from_head_m
        said = (
            "not reached" if reached is None else f"reached from {show(reached, *LENGTH[units])} at the head"
        )
        lines.append(f"demand {show(worth.demand.demand_mn, *force)}, factored and as built: {said}")
    return lines


def worth_json(worth: BaseWorth) -> dict[str, object]:
    """The same for another program; lengths in m, loads in MN."""
    return {
        "shaft": worth.now.shaft.id,
        "as_of": worth.now.at.isoformat(),
        "base_standing": worth.now.standing.standing,
        "round": worth.round_title,
        "assured": _assured_json(worth.assured),
        "credit": None if worth.credit is None else _credit_json(worth.credit),
        "head_curves": _heads_json(worth),
        "at_stake": _stake_json(worth),
        "missing": list(worth.missing),
    }


def _assured_json(assured: AssuredShare | None) -> dict[str, object] | None:
    if assured is None:
        return None
    measured, by_map = assured.measured.share, assured.by_map
    return {
        "measured_share": None if measured is None else float(measured),
        "share_by_counting": assured.share_by_counting,
        "share_by_map": None if isinstance(by_map, NoMap) else by_map.assured_share,
        "chance": None if isinstance(by_map, NoMap) else by_map.chance,
        "confidence": None if isinstance(by_map, NoMap) else by_map.confidence,
        "no_map": by_map.why if isinstance(by_map, NoMap) else None,
    }


def _credit_json(credit: Credit) -> dict[str, object]:
    def at(each: CreditAt) -> dict[str, object]:
        return {
            "displacement_m": each.displacement_m,
            "low": each.lowest,
            "best": each.credit,
            "high": each.greatest.credit,
            "maps_low": None if each.maps is None else each.maps.low,
            "clean_mn": each.clean_mn,
            "as_built_mn": each.as_built_mn,
            "eccentricity_over_diameter": each.eccentricity,
            "warnings": list(each.warnings),
        }

    return {
        "service": at(credit.service),
        "strength": at(credit.strength),
        "nominal_mn": credit.nominal_mn,
        "credited_mn": credit.credited_mn,
        "credited_lowest_mn": credit.credited_lowest_mn,
        "caveats": list(credit.caveats),
    }


def _heads_json(worth: BaseWorth) -> dict[str, object] | None:
    if worth.heads is None:
        return None
    clean, built = worth.heads.clean, worth.heads.as_built
    return {
        "head_m": clean.head_m.tolist(),
        "clean_mn": clean.head_mn.tolist(),
        "clean_base_mn": clean.base_mn.tolist(),
        "as_built_mn": built.head_mn.tolist(),
        "as_built_base_mn": built.base_mn.tolist(),
    }


def _stake_json(worth: BaseWorth) -> dict[str, object] | None:
    if worth.stake is None:
        return None
    stake = worth.stake
    return {
        "nominal_base_mn": stake.nominal_base_mn,
        "factored_base_mn": stake.factored_base_mn,
        "share_of_factored": stake.share_of_factored,
        "replaces_factored_m": stake.replaces_factored_m,
        "factored_credited_mn": stake.factored_credited_mn,
    }
