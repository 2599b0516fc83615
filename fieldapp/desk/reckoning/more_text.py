"""Head curves, stake, wanted thickness and forecast of a reckoning as text."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from fieldapp.base.factored import AgainstDemand
from fieldapp.base.head_curve import HeadCurves
from fieldapp.base.stake import Stake
from fieldapp.desk.reckoning.limits import WantedThickness
from fieldapp.desk.reckoning.reckon import Reckoned
from fieldapp.desk.reckoning.settling import LimitsAhead, SettlingAhead
from fieldapp.desk.reckoning.show import Shown, hours, table
from fieldapp.fluid.forecast import Answer, BoundOnly, Forecast, NotForecast, RiseOnly
from reports.worth_words import credit_text

_ROWS: Final = 6


def wanted_lines(wanted: Sequence[WantedThickness], shown: Shown) -> list[str]:
    """Even thickness for wanted credits, rounded down."""
    if not wanted:
        return []
    rows = [
        [
            credit_text(each.credit),
            shown.short(each.displacement_m),
            *(shown.short_down(thick) for thick in (each.low_m, each.best_m, each.high_m)),
        ]
        for each in wanted
    ]
    return [
        "Even thickness that leaves a wanted credit",
        table(rows, ["credit", "base displacement", "low", "best", "high"]),
        "It can exceed what the model is meant for; hold it against the limits.",
    ]


def head_lines(made: Reckoned, shown: Shown) -> list[str]:
    """Head curves over the stated sediment, with the best parameters."""
    if made.heads is None:
        return []
    curves = made.heads.curves
    rows = [_head_row(curves, at, shown) for at in range(len(curves.clean.head_m))]
    head = ["head", "clean", "its base", "as built", "its base", "base share", "base ratio", "total ratio"]
    lines = [
        "Head curve, best parameters; ratios at the same head displacement, so not the credit",
        table(rows, head),
    ]
    return [*lines, *dict.fromkeys(said for said in (curves.clean.says, curves.as_built.says) if said)]


def _head_row(curves: HeadCurves, at: int, shown: Shown) -> list[str]:
    clean, built = curves.clean, curves.as_built
    return [
        shown.short(float(clean.head_m[at])),
        *(
            shown.force(float(load[at]))
            for load in (clean.head_mn, clean.base_mn, built.head_mn, built.base_mn)
        ),
        f"{float(built.base_share[at]):.2f}",
        credit_text(float(curves.base_ratio[at])),
        credit_text(float(curves.total_ratio[at])),
    ]


def stake_lines(made: Reckoned, shown: Shown) -> list[str]:
    """What the base is worth at strength, and the demand."""
    heads = made.heads
    if heads is None or heads.stake is None or heads.stake_lowest is None:
        return []
    stake, lowest = heads.stake, heads.stake_lowest
    lines = [
        f"At stake, strength (factors: {stake.edition})",
        f"  nominal base {shown.force(stake.nominal_base_mn)}, side {shown.force(stake.nominal_side_mn)}; "
        f"factored base {shown.force(stake.factored_base_mn)}, side {shown.force(stake.factored_side_mn)}",
        f"  the base is {100 * stake.share_of_factored:.0f} % of the factored total; "
        f"{_replaces(stake, shown)}",
        f"  factored total with the credited base {shown.force(stake.factored_credited_mn)}, "
        f"lowest {shown.force(lowest.factored_credited_mn)}",
    ]
    return lines if heads.demand is None else [*lines, _demand(heads.demand, shown)]


def _replaces(stake: Stake, shown: Shown) -> str:
    if stake.nominal_side_mn <= 0:
        return "no length of socket would replace it"
    return f"{shown.long(stake.replaces_factored_m)} more socket would replace it"


def _demand(demand: AgainstDemand, shown: Shown) -> str:
    reached = demand.from_head_m
    said = "not reached" if reached is None else f"reached by {shown.short(reached)} at the head"
    return f"  demand {shown.force(demand.demand_mn)}, factored and as built: {said}"


def ahead_lines(ahead: SettlingAhead | None, shown: Shown) -> list[str]:
    """The forecast and when to sound again, for each set of limits."""
    if ahead is None:
        return []
    lines = ["Forecast while the sand in the fluid settles: an estimate, only a sounding shows the thickness"]
    lines += _answer_lines(ahead.answer, shown)
    return [*lines, *(_limits_line(each, shown) for each in ahead.by_limits)]


def _answer_lines(answer: Answer, shown: Shown) -> list[str]:
    if isinstance(answer, NotForecast):
        return [f"no forecast, for want of {', '.join(answer.missing)}"]
    notes = [f"* {each}" for each in answer.basis.notes]
    if isinstance(answer, BoundOnly | RiseOnly):
        most = shown.short(answer.most_rise_m)
        said = [f"at most {most} more if all the sand settled; not shown: {', '.join(answer.missing)}"]
        if isinstance(answer, RiseOnly):
            times = answer.outlook.times_s[:: len(answer.outlook.times_s) // _ROWS]
            rows = [[hours(t), *(shown.short(e.rise.at(t)) for e in answer.courses)] for t in times]
            said.append(table(rows, ["rise after", *(str(each.assumption) for each in answer.courses)]))
            said += [f"* {each.assumption}: {each.assumed}" for each in answer.courses]
        return [*said, *notes]
    return [*_course_lines(answer, shown), *notes]


def _course_lines(answer: Forecast, shown: Shown) -> list[str]:
    times = answer.outlook.times_s
    rows = [
        [hours(times[at]), *(shown.short(each.thickness_m[at]) for each in answer.courses)]
        for at in range(0, len(times), len(times) // _ROWS)
    ]
    return [
        table(rows, ["mean thickness after", *(str(each.course.assumption) for each in answer.courses)]),
        f"if all the sand settled: {shown.short(answer.most_m)}",
        *(f"* {each.course.assumption}: {each.course.assumed}" for each in answer.courses),
    ]


def _limits_line(each: LimitsAhead, shown: Shown) -> str:
    name = f"'{each.limits.name}'"
    if each.room_m is None:
        return f"{name}: not shown, without the thickness now"
    if each.answer is None:
        return f"{name}: not kept as it stands"
    room = f"{name}: {shown.short_down(each.room_m)} of even rise left"
    again = each.answer.sound_again if isinstance(each.answer, Forecast) else None
    if again is None:
        return f"{room}; when it breaks is not shown"
    earliest = "" if again.earliest_s is None else f"; may break from {hours(again.earliest_s)} on"
    why = "" if again.by_best else " (the end of the forecast)"
    return f"{room}; sound again by {hours(again.by_s)}{why}{earliest}"
