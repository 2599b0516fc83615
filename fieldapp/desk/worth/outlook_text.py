"""What the command line says of a forecast and of the next pass."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Final

from tabulate import tabulate

from fieldapp.base.pass_worth import NextPass
from fieldapp.criteria.phrasing import clock
from fieldapp.desk.worth.outlook import BaseOutlook
from fieldapp.desk.worth.text import LENGTH
from fieldapp.fluid.forecast import BoundOnly, Forecast, NotForecast, RiseOnly
from fieldapp.record.words import UnitSystem
from fieldapp.units import show

_EVERY: Final = 8


def outlook_text(shaft: str, outlook: BaseOutlook, units: UnitSystem) -> str:
    """How long the base stays clean, how earlier forecasts did, what the next pass may gain."""
    lines = [f"{shaft}, from round {outlook.from_round} at {clock(outlook.from_moment)}"]
    lines += _answer_lines(outlook, units)
    for each in outlook.held:
        ratios = ", ".join(
            f"{held.assumption} {'-' if held.rise_ratio is None else f'{held.rise_ratio:.2f}'}"
            for held in each.comparison.held
        )
        pair = f"round {each.from_round} to {each.to_round}"
        lines.append(f"{pair}: measured rise over forecast rise, by assumption: {ratios}")
    lines += _pass_lines(outlook, units)
    return "\n".join([*lines, *(f"not shown, for want of {each}" for each in outlook.missing)])


def _answer_lines(outlook: BaseOutlook, units: UnitSystem) -> list[str]:
    answer = outlook.answer
    if isinstance(answer, Forecast):
        return [
            _course_table(outlook.from_moment, answer, units),
            *_again_lines(outlook),
            *answer.basis.notes,
        ]
    if isinstance(answer, BoundOnly | RiseOnly):
        most = show(answer.most_rise_m, *LENGTH[units])
        return [f"at most {most} more if all the sand settled; not shown: {', '.join(answer.missing)}"]
    if isinstance(answer, NotForecast):
        return [f"no forecast, for want of {', '.join(answer.missing)}"]
    return []


def _course_table(start: datetime, answer: Forecast, units: UnitSystem) -> str:
    rows = []
    for index in range(0, len(answer.outlook.times_s), _EVERY):
        moment = start + timedelta(seconds=answer.outlook.times_s[index])
        thick = [show(each.thickness_m[index], *LENGTH[units]) for each in answer.courses]
        rows.append([clock(moment), *thick])
    head = ["mean thickness at", *(str(each.course.assumption) for each in answer.courses)]
    return str(tabulate(rows, head, tablefmt="simple", disable_numparse=True))


def _again_lines(outlook: BaseOutlook) -> list[str]:
    if outlook.sound_again_by is None:
        return []
    lines = [f"sound again by {clock(outlook.sound_again_by)}"]
    if outlook.may_break_from is not None:
        lines.append(
            f"the requirement may break from {clock(outlook.may_break_from)} under the worst assumption"
        )
    return [*lines, "The assumptions are judgment, not calibrated; a sounding decides."]


def _pass_lines(outlook: BaseOutlook, units: UnitSystem) -> list[str]:
    worth = outlook.next_pass
    if worth is None:
        return []
    if not isinstance(worth, NextPass):
        return [f"next pass: {worth.reason}"]
    low, best, high = (
        show(each, *LENGTH[units]) for each in (worth.gain_m.low, worth.gain_m.best, worth.gain_m.high)
    )
    return [f"next pass: likely to take off {best} ({low} to {high}); removal is {worth.trend}"]


def outlook_json(shaft: str, outlook: BaseOutlook) -> dict[str, object]:
    """The same for another program; lengths in m, times in s after the round."""
    answer = outlook.answer
    courses = answer.courses if isinstance(answer, Forecast) else ()
    return {
        "shaft": shaft,
        "from_round": outlook.from_round,
        "from_moment": outlook.from_moment.isoformat(),
        "mean_m": outlook.mean_m,
        "room_m": outlook.room_m,
        "times_s": list(answer.outlook.times_s) if isinstance(answer, Forecast) else [],
        "thickness_m": {str(each.course.assumption): list(each.thickness_m) for each in courses},
        "sound_again_by": outlook.sound_again_by.isoformat() if outlook.sound_again_by else None,
        "may_break_from": outlook.may_break_from.isoformat() if outlook.may_break_from else None,
        "held": [
            {
                "from_round": each.from_round,
                "to_round": each.to_round,
                "measured_m": each.comparison.measured_m,
                "rise_ratio": {str(held.assumption): held.rise_ratio for held in each.comparison.held},
            }
            for each in outlook.held
        ],
        "missing": [*outlook.missing, *getattr(answer, "missing", ())],
    }
