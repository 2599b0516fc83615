"""Credit at service and strength displacement, and the curves it comes from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, Final

from reportlab.platypus import Flowable, Spacer, Table

from fieldapp.base.credit import ECCENTRICITY_WARNING
from fieldapp.base.credit_facts import Credit, CreditAt
from fieldapp.record.words import UnitSystem
from reports.curve_chart import BOUND, LONG, MIXED, SHORT, Curve, CurveChart, Pair, Upright, curve_chart
from reports.style import CAPTION, CELL, CELL_STRONG, STRONG, ruled_table, text_width, words
from reports.worth_facts import WorthFacts
from reports.worth_words import WorthWords, credit_text

_HEIGHT_PT: Final = 158.0
_GAP_PT: Final = 14.0
_SHARES: Final = (0.18, 0.11, 0.08, 0.09, 0.15, 0.14, 0.125, 0.125)
_HEAD: Final = (
    "at base displacement",
    "credit: least",
    "best",
    "greatest",
    "over the maps",
    "base load: clean",
    "as built, best",
    "as built, least",
)


def credit_part(worth: WorthFacts, units: UnitSystem) -> list[Flowable]:
    """Table and curves; nothing without a credit."""
    credit, say = worth.credit, WorthWords(units)
    if credit is None:
        return []
    width = text_width(units)
    parts: list[Flowable] = [Spacer(1, 4), _table(credit, say, width), Spacer(1, 3)]
    parts.append(words(_basis(worth, credit, say), CAPTION))
    for each in _warnings(credit, say):
        parts += [Spacer(1, 2), words(each, STRONG)]
    parts += [Spacer(1, 6), *_charts(worth, credit, say, width)]
    return parts


def _table(credit: Credit, say: WorthWords, width: float) -> Table:
    head = [words(each, CAPTION) for each in _HEAD]
    rows: list[list[Any]] = [head]
    for name, at in (("service", credit.service), ("strength", credit.strength)):
        cells = (*_credits(at), say.load(at.clean_mn), say.load(at.as_built_mn))
        least = say.load(at.lowest * at.clean_mn)
        row = [words(f"{name}, {say.short(at.displacement_m)}", CELL_STRONG)]
        row += [words(each, CELL_STRONG if i == 1 else CELL) for i, each in enumerate((*cells, least))]
        rows.append(row)
    return ruled_table(rows, [width * share for share in _SHARES])


def _credits(at: CreditAt) -> tuple[str, str, str, str]:
    maps = "no map"
    if at.maps is not None:
        maps = f"{credit_text(at.maps.low)} to {credit_text(at.maps.high)}"
    return credit_text(at.lowest), credit_text(at.credit), credit_text(at.greatest.credit), maps


def _basis(worth: WorthFacts, credit: Credit, say: WorthWords) -> str:
    """What the numbers of the table mean, and the parameters they rest on."""
    best, least, greatest = credit.service, credit.service.least, credit.service.greatest
    said = [
        f"{worth.round_title}. Credit: base load over that of a clean base at the same base displacement, "
        "rounded down. Best: the soundings as measured.",
        f"Least and greatest: sediment modulus {say.stress(least.sediment.modulus_mpa)} and "
        f"{say.stress(greatest.sediment.modulus_mpa)}, locking strain {least.sediment.locking_strain:g} and "
        f"{greatest.sediment.locking_strain:g}"
        + ("; least takes the doubt of the map too." if best.maps is not None else "."),
    ]
    if best.maps is not None:
        said.append(
            f"Over the maps: 5 % to 95 % of {best.maps.maps} maps simulated through the soundings, with the "
            "best parameters."
        )
    if worth.ground is not None and worth.unit_base is not None:
        said.append(
            f"Clean base: modulus of the ground {say.stress(worth.ground.modulus_mpa)}, nominal unit base "
            f"resistance {say.stress(worth.unit_base.unit_base_mpa)} ({worth.unit_base.rule}), "
            f"{say.load(credit.nominal_mn)} on the whole base."
        )
    return " ".join(said)


def _warnings(credit: Credit, say: WorthWords) -> Iterator[str]:
    """What the numbers warn of, in the units of the project."""
    if credit.supported_mn < credit.nominal_mn:
        yield (
            f"The stated base resistance of {say.load(credit.nominal_mn)} is not reached at its displacement "
            f"with this modulus; {say.load(credit.supported_mn)} is, and only that is counted."
        )
    for name, at in (("service", credit.service), ("strength", credit.strength)):
        if at.eccentricity is not None and at.eccentricity > ECCENTRICITY_WARNING:
            yield (
                f"At {name}, {say.short(at.displacement_m)}, the base reacts {at.eccentricity:.2f} of its "
                f"diameter off the centre, over {ECCENTRICITY_WARNING:g} (judgment): tilt is not modelled, "
                "look at it."
            )


def _charts(worth: WorthFacts, credit: Credit, say: WorthWords, width: float) -> list[Flowable]:
    half = (width - _GAP_PT) / 2
    charts = [each for each in (_base_chart(worth, credit, say), _head_chart(worth, say)) if each is not None]
    if not charts:
        return []
    cells: list[Any] = [curve_chart(each, half, _HEIGHT_PT) for each in charts]
    cells += [""] * (2 - len(cells))
    style = [("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), 0)]
    both = Table([cells], colWidths=[half + _GAP_PT, half], style=style, hAlign="LEFT")
    return [both, words(_key(worth), CAPTION)]


def _key(worth: WorthFacts) -> str:
    """What the names beside the curves mean."""
    said = ["Base load: grey from least to greatest, dots as in the table."] if worth.band is not None else []
    if worth.heads is not None:
        text = "At the head: both at the same head displacement; base part is what the base carries as built"
        said.append(text + _factored_key(worth) + ".")
    return " ".join(said)


def _factored_key(worth: WorthFacts) -> str:
    if worth.demand is None or worth.demand.demand_mn <= 0:
        return ""
    return ", factored is side and base as built times resistance factors"


def _base_chart(worth: WorthFacts, credit: Credit, say: WorthWords) -> CurveChart | None:
    band = worth.band
    if band is None:
        return None
    x = [say.in_short(each) for each in band.moved_m.tolist()]

    def drawn(loads_mn: Iterable[float]) -> tuple[Pair, ...]:
        return tuple(zip(x, (say.in_force(each) for each in loads_mn), strict=True))

    low, best, high = (drawn(each.tolist()) for each in (band.low_mn, band.best_mn, band.high_mn))
    asked = (("service", credit.service), ("strength", credit.strength))
    return CurveChart(
        title=f"Base load, {say.force_unit}",
        x_title=f"base displacement, {say.short_unit}",
        curves=(
            Curve("clean", drawn(band.clean_mn.tolist()), weight_pt=1.6),
            Curve("greatest", high, MIXED, 0.8),
            Curve("as built", best, LONG, 1.6),
            Curve("least", low, SHORT, 0.8),
        ),
        band=(low, high),
        dots=tuple((say.in_short(at.displacement_m), say.in_force(at.as_built_mn)) for _, at in asked),
        uprights=tuple(
            Upright(say.in_short(at.displacement_m), f"{name} {say.short(at.displacement_m)}")
            for name, at in asked
        ),
    )


def _head_chart(worth: WorthFacts, say: WorthWords) -> CurveChart | None:
    """Clean and as built at the head, what the base carries of it, and factored against the demand."""
    heads, demand = worth.heads, worth.demand
    if heads is None:
        return None
    x = [0.0, *(say.in_short(each) for each in heads.clean.head_m.tolist())]

    def drawn(loads_mn: Iterable[float]) -> tuple[Pair, ...]:
        return tuple(zip(x, [0.0, *(say.in_force(each) for each in loads_mn)], strict=True))

    curves = [
        Curve("clean", drawn(heads.clean.head_mn.tolist()), weight_pt=1.6),
        Curve("as built", drawn(heads.as_built.head_mn.tolist()), LONG, 1.6),
        Curve("base part", drawn(heads.as_built.base_mn.tolist()), SHORT, 0.9),
    ]
    if demand is not None and demand.demand_mn > 0:
        level = say.in_force(demand.demand_mn)
        curves.append(Curve("factored", drawn(demand.as_built_mn.tolist()), MIXED, 0.9))
        curves.append(Curve("demand", ((0.0, level), (x[-1], level)), BOUND, 0.9))
    return CurveChart(
        title=f"Load at the head, side and base together, {say.force_unit}",
        x_title=f"displacement of the head, {say.short_unit}",
        curves=tuple(curves),
    )
