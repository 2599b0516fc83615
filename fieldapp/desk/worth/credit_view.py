"""What a designer decides on: base and head curves, credits, what is at stake, in the units of a project.

Plain numbers and sentences for a screen.  Credits are rounded down; what cannot be quantified is named with
what it wants, never drawn.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from fieldapp.base.assured import AssuredShare
from fieldapp.base.credit_facts import CreditAt
from fieldapp.base.curve_band import CurveBand, band_displacements_m, curve_band
from fieldapp.base.sediment_map import NoMap
from fieldapp.criteria.finding import Finding
from fieldapp.criteria.phrasing import clock
from fieldapp.criteria.standing import disposition_of
from fieldapp.desk.looking import NotOpen
from fieldapp.desk.office import shaft_now
from fieldapp.desk.workplace import Workplace
from fieldapp.desk.worth.load_tests import load_tests, load_tests_said
from fieldapp.desk.worth.worth import BaseWorth, base_worth
from fieldapp.record.said import said, said_of
from fieldapp.units import OutOfRange
from reports.worth_words import WorthWords, credit_text, least_share

Points = tuple[tuple[float, float], ...]
SOLID: Final = "solid"
LONG: Final = "long"
SHORT: Final = "short"
MIXED: Final = "mixed"
THIN: Final = "thin"


@dataclass(frozen=True, slots=True)
class CurveView:
    """One curve: its name, its points, and the dashes that tell it from the others."""

    name: str
    points: Points
    dash: str = SOLID
    heavy: bool = False


@dataclass(frozen=True, slots=True)
class ChartView:
    """Curves over a displacement; ``band`` lies between two of them, ``uprights`` are named values of x."""

    title: str
    x_title: str
    curves: tuple[CurveView, ...]
    band: tuple[Points, Points] | None = None
    uprights: tuple[tuple[float, str], ...] = ()


@dataclass(frozen=True, slots=True)
class CreditRow:
    """The credit at one base displacement, and the base load as built there."""

    name: str
    low: str
    best: str
    high: str
    load: str


@dataclass(frozen=True, slots=True)
class CreditView:
    """A base for its designer; without a credit ``rows`` and ``charts`` are empty and ``missing`` is not."""

    round_title: str
    charts: tuple[ChartView, ...]
    rows: tuple[CreditRow, ...]
    shares: tuple[str, ...]
    stake: str
    stake_says: tuple[str, ...]
    load_tests: tuple[str, ...]
    reduces: tuple[Finding, ...]
    missing: tuple[str, ...]
    caveats: tuple[str, ...]
    decided: str
    force_unit: str
    short_unit: str
    strength: str
    """The strength displacement as a number in ``short_unit``, to be offered for a reduced credit."""


def credit_view(place: Workplace, shaft_id: str) -> CreditView:
    """A base as of now, for the designer.  Raises UnknownShaft."""
    say = WorthWords(place.setup().units)
    now = shaft_now(place, shaft_id, place.now())
    try:
        worth = base_worth(place, shaft_id, now.at)
        band = _band(worth)
    except (NotOpen, OutOfRange) as problem:
        return _nothing(say, now.standing.reasons, (said_of(problem),), _decided(place, shaft_id))
    credit = worth.credit
    asked = () if credit is None else ((said("service"), credit.service), (said("strength"), credit.strength))
    tests = load_tests_said(load_tests(place, worth), place.setup().units)
    return CreditView(
        round_title=worth.round_title,
        charts=tuple(_charts(worth, band, asked, say)),
        rows=tuple(_row(name, each, say) for name, each in asked),
        shares=tuple(_shares(worth.assured)),
        stake=say.load(worth.stake.factored_base_mn) if worth.stake is not None else "",
        stake_says=tuple(_stake(worth, say)),
        load_tests=tuple(tests),
        reduces=now.standing.reasons,
        missing=worth.missing,
        caveats=credit.caveats if credit is not None else (),
        decided=_decided(place, shaft_id),
        force_unit=say.force_unit,
        short_unit=say.short_unit,
        strength=f"{say.in_short(credit.strength.displacement_m):.2f}" if credit is not None else "",
    )


def _nothing(
    say: WorthWords, reduces: tuple[Finding, ...], missing: tuple[str, ...], decided: str
) -> CreditView:
    return CreditView(
        "", (), (), (), "", (), (), reduces, missing, (), decided, say.force_unit, say.short_unit, ""
    )


def _band(worth: BaseWorth) -> CurveBand | None:
    """The base curves behind a credit, with the same maps, or None without a credit."""
    inputs, cover, credit = worth.inputs, worth.cover, worth.credit
    if inputs is None or inputs.model is None or cover is None or credit is None:
        return None
    moved = band_displacements_m(credit.service.displacement_m, credit.strength.displacement_m)
    return curve_band(inputs.model, cover, inputs.spread, moved, worth.maps)


def _charts(
    worth: BaseWorth, band: CurveBand | None, asked: tuple[tuple[str, CreditAt], ...], say: WorthWords
) -> Iterator[ChartView]:
    if band is not None:
        yield _base_chart(band, asked, say)
    if worth.heads is not None:
        yield _head_chart(worth, say)


def _base_chart(band: CurveBand, asked: tuple[tuple[str, CreditAt], ...], say: WorthWords) -> ChartView:
    x = [say.in_short(each) for each in band.moved_m.tolist()]
    low, high = (_drawn(x, each.tolist(), say) for each in (band.low_mn, band.high_mn))
    return ChartView(
        title=said("base load, {unit}", unit=say.force_unit),
        x_title=said("base displacement, {unit}", unit=say.short_unit),
        curves=(
            CurveView(said("clean"), _drawn(x, band.clean_mn.tolist(), say), heavy=True),
            CurveView(said("greatest"), high, THIN),
            CurveView(said("as built"), _drawn(x, band.best_mn.tolist(), say), LONG, heavy=True),
            CurveView(said("least"), low, SHORT),
        ),
        band=(low, high),
        uprights=tuple((say.in_short(at.displacement_m), name) for name, at in asked),
    )


def _head_chart(worth: BaseWorth, say: WorthWords) -> ChartView:
    """Clean and as built at the head, what the base carries of it, and factored against the demand."""
    heads, demand = worth.heads, worth.demand
    assert heads is not None
    x = [0.0, *(say.in_short(each) for each in heads.clean.head_m.tolist())]

    def drawn(loads_mn: Iterable[float]) -> Points:
        return _drawn(x, [0.0, *loads_mn], say)

    curves = [
        CurveView(said("clean"), drawn(heads.clean.head_mn.tolist()), heavy=True),
        CurveView(said("as built"), drawn(heads.as_built.head_mn.tolist()), LONG, heavy=True),
        CurveView(said("base part"), drawn(heads.as_built.base_mn.tolist()), SHORT),
    ]
    if demand is not None and demand.demand_mn > 0:
        level = say.in_force(demand.demand_mn)
        curves.append(CurveView(said("factored"), drawn(demand.as_built_mn.tolist()), MIXED))
        curves.append(CurveView(said("demand"), ((0.0, level), (x[-1], level)), THIN))
    return ChartView(
        title=said("load at the head, {unit}", unit=say.force_unit),
        x_title=said("displacement of the head, {unit}", unit=say.short_unit),
        curves=tuple(curves),
    )


def _drawn(x: Iterable[float], loads_mn: Iterable[float], say: WorthWords) -> Points:
    return tuple(zip(x, (say.in_force(each) for each in loads_mn), strict=True))


def _row(name: str, at: CreditAt, say: WorthWords) -> CreditRow:
    return CreditRow(
        name=said("{name}, {displacement}", name=name, displacement=say.short(at.displacement_m)),
        low=credit_text(at.lowest),
        best=credit_text(at.credit),
        high=credit_text(at.greatest.credit),
        load=say.load(at.as_built_mn).rpartition(" ")[0],
    )


def _shares(assured: AssuredShare | None) -> Iterator[str]:
    if assured is None:
        return
    measured = assured.measured.share
    if measured is None:
        yield said("Share of the base within the limit: not shown.")
    else:
        yield said("Share of the base within the limit: {share} measured.", share=least_share(measured))
    by_map = assured.by_map
    if isinstance(by_map, NoMap):
        share = least_share(assured.share_by_counting)
        yield said("{share} assured by counting points alone, as there is no map.", share=share)
        return
    yield said(
        "{share} assured by the map at {confidence} confidence; the chance that the asked share holds is "
        "{chance}.",
        share=least_share(by_map.assured_share),
        confidence=least_share(by_map.confidence),
        chance=least_share(by_map.chance),
    )


def _stake(worth: BaseWorth, say: WorthWords) -> Iterator[str]:
    stake, demand = worth.stake, worth.demand
    if stake is not None:
        share = least_share(stake.share_of_factored)
        if math.isinf(stake.replaces_factored_m):
            yield said("factored base, {share} of the shaft; no socket would replace it", share=share)
        else:
            length = say.long(stake.replaces_factored_m)
            yield said(
                "factored base, {share} of the shaft; {length} more of socket would replace it",
                share=share,
                length=length,
            )
            yield said(
                "The best credit at strength takes {load} of what is at stake, as much as {length} of "
                "socket.",
                load=say.load(stake.lost_mn),
                length=say.long(stake.replaces_lost_m),
            )
    if demand is not None and demand.demand_mn > 0:
        load = say.load(demand.demand_mn)
        if demand.from_head_m is None:
            yield said("The factored demand of {load} is not reached as built.", load=load)
        else:
            moved = say.short(demand.from_head_m)
            yield said(
                "The factored demand of {load} is reached from {moved} at the head.", load=load, moved=moved
            )


def _decided(place: Workplace, shaft_id: str) -> str:
    stated = disposition_of(place.record(), place.shaft(shaft_id))
    if stated is None:
        return ""
    values, who = stated.values, stated.original.draft.author
    when = clock(stated.observed_at.astimezone(place.now().tzinfo))
    if values.credit is not None and values.displacement is not None:
        return said(
            "{decision}: {credit} at {displacement}, by {name}, {time}. {why}",
            decision=values.decision,
            credit=str(values.credit),
            displacement=str(values.displacement),
            name=who,
            time=when,
            why=values.why,
        )
    return said(
        "{decision}, by {name}, {time}. {why}", decision=values.decision, name=who, time=when, why=values.why
    )
