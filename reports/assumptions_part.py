"""Every parameter that the estimate rests on: its value, its range, where it is from, how sure it is."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from reportlab.platypus import Flowable

from fieldapp.base.credit_range import SERVICE_M
from fieldapp.base.field_fit import DEFAULT_ASSUMPTIONS
from fieldapp.base.sediment import SedimentSpread, Spread
from fieldapp.base.sediment_map import SedimentMap
from fieldapp.fluid.forecast import Forecast, RiseOnly
from fieldapp.record.setup import DesignNumbers
from reports.facts import ShaftFacts
from reports.sections import heading
from reports.style import BODY, CAPTION, CELL, CELL_STRONG, SMALL, ruled_table, text_width, words
from reports.worth_facts import Assumed, WorthFacts
from reports.worth_words import WorthWords

_HEAD: Final = ("parameter", "value", "range looked at", "source", "confidence")
_SHARES: Final = (0.24, 0.17, 0.17, 0.25, 0.17)
_ONE: Final = "this value only"
_PLAN: Final = "designer, shaft plan"
_STATED: Final = "as stated; not checked here"
_JUDGMENT: Final = "judgment"
_USUAL: Final = "usual of this program"
Row = tuple[str, str, str, str, str]


def assumptions_part(facts: ShaftFacts) -> list[Flowable]:
    """The table, or the sentence that nothing was estimated."""
    parts = heading("Parameters and assumptions", 120)
    worth = facts.worth
    if worth is None or worth.assumed is None:
        return [*parts, words("Nothing was estimated, so nothing is assumed.", BODY)]
    told = [*_loads(facts, worth, worth.assumed), *_map(facts, worth, worth.assumed), *_settling(facts)]
    rows: list[list[Any]] = [[words(each, CAPTION) for each in _HEAD]]
    for name, value, span, source, sure in told:
        cells = (words(value, CELL), words(span, CELL), words(source, SMALL), words(sure, SMALL))
        rows.append([words(name, CELL_STRONG), *cells])
    width = text_width(facts.setup.units)
    return [*parts, ruled_table(rows, [width * share for share in _SHARES])]


def _loads(facts: ShaftFacts, worth: WorthFacts, assumed: Assumed) -> Iterator[Row]:
    plan = facts.record.scheduled
    design = (plan.design if plan is not None else None) or DesignNumbers()
    say = WorthWords(facts.setup.units)
    if plan is not None:
        yield "diameter", say.long(float(plan.diameter.si)), _ONE, "shaft plan", "planned, not surveyed"
    yield from _ground(worth, design, say)
    yield from _displacements(worth, assumed, design, say)
    yield from _sediment(assumed, say)
    yield from _side(assumed, design, say)
    if assumed.factors is not None:
        both = f"{assumed.factors.base:g} and {assumed.factors.side:g}"
        yield "resistance factors of base and side", both, _ONE, assumed.factors.edition, _STATED
    if assumed.demand_mn is not None:
        yield "factored demand", say.load(assumed.demand_mn), _ONE, _PLAN, _STATED


def _ground(worth: WorthFacts, design: DesignNumbers, say: WorthWords) -> Iterator[Row]:
    if worth.ground is None:
        yield (
            "modulus of the ground",
            "not shown",
            "",
            "the plan gives neither modulus nor strength index",
            "",
        )
    else:
        stated = design.rock_modulus is not None
        gsi = design.geological_strength_index
        source = _PLAN if stated else f"geological strength index {gsi}; Hoek and Diederichs 2006, simplified"
        sure = _STATED if stated else "memory: fair; a published fit"
        yield "modulus of the ground", say.stress(worth.ground.modulus_mpa), _ONE, source, sure
        ratio = f"{worth.ground.poisson_ratio:g}"
        yield "Poisson's ratio of the ground", ratio, _ONE, "rock of moderate quality, 0.15 to 0.3", _JUDGMENT
    if worth.unit_base is None:
        yield "nominal unit base resistance", "not shown", "", "the plan does not give it", ""
        return
    base = worth.unit_base
    stated = design.nominal_base is not None
    source = _PLAN if stated else f"{base.rule}: {base.source}"
    value = say.stress(base.unit_base_mpa)
    yield "nominal unit base resistance", value, _ONE, source, _STATED if stated else "a rule; see its source"


def _displacements(
    worth: WorthFacts, assumed: Assumed, design: DesignNumbers, say: WorthWords
) -> Iterator[Row]:
    service = design.service_displacement
    value = say.short(assumed.displacements.service_m)
    usual = f"usual where none is stated: {say.short(SERVICE_M)}"
    sure = _STATED if service is not None else _JUDGMENT
    yield "service displacement", value, _ONE, _PLAN if service is not None else usual, sure
    if worth.credit is None:
        return
    strength = design.strength_displacement
    value = say.short(worth.credit.strength.displacement_m)
    source = _PLAN if strength is not None else "usual where none is stated: 5 % of the diameter"
    sure = _STATED if strength is not None else _JUDGMENT
    yield "strength displacement", value, _ONE, source, sure


def _sediment(assumed: Assumed, say: WorthWords) -> Iterator[Row]:
    spread, usual = assumed.spread, SedimentSpread()
    modulus = spread.modulus_mpa
    span = f"{say.stress(modulus.least)} to {say.stress(modulus.greatest)}"
    yield (
        "modulus of the sediment at low stress",
        say.stress(modulus.best),
        span,
        "usual of this program",
        _JUDGMENT,
    )
    strain = spread.locking_strain
    own = strain != usual.locking_strain
    source = "adopted in the acceptance set by the designer" if own else "usual: sand to silty gel"
    sure = "as adopted; not checked here" if own else _JUDGMENT
    yield "strain at which the sediment locks", f"{strain.best:g}", _span(strain), source, sure


def _span(spread: Spread) -> str:
    return f"{spread.least:g} to {spread.greatest:g}"


def _side(assumed: Assumed, design: DesignNumbers, say: WorthWords) -> Iterator[Row]:
    if assumed.body is None:
        return
    layer = assumed.body.side.layers[0]
    yield "nominal unit side resistance", say.stress(layer.unit_side_mpa), _ONE, _PLAN, _STATED
    yield (
        "length of the socket",
        say.long(layer.length_m),
        _ONE,
        "planned socket top to drilled depth",
        "as recorded",
    )
    moved = say.short(layer.full_displacement_m)
    yield "displacement of full side resistance", moved, _ONE, "in rock 2 to 10 mm", _JUDGMENT
    concrete = say.stress(assumed.body.concrete_modulus_mpa)
    yield "modulus of the concrete", concrete, _ONE, "25 to 35 GPa", _JUDGMENT


def _map(facts: ShaftFacts, worth: WorthFacts, assumed: Assumed) -> Iterator[Row]:
    say = WorthWords(facts.setup.units)
    stated = facts.setup.confidence is not None
    source = "project set-up" if stated else "usual where none is stated"
    sure = "adopted" if stated else _JUDGMENT
    yield "confidence of the assured share", f"{100 * assumed.confidence:g} %", _ONE, source, sure
    if not isinstance(worth.sediment, SedimentMap):
        return
    how = {"prior": "assumed before 8 readings", "given": "given", "fitted": "fitted to the soundings"}
    length = f"{worth.sediment.length_over_radius:.2f} of the radius"
    yield "correlation length of the map", length, _ONE, how[worth.sediment.length_from], _JUDGMENT
    noise = say.short(DEFAULT_ASSUMPTIONS.noise_sd_m)
    yield "standard deviation of a sounding", noise, _ONE, _USUAL, _JUDGMENT
    seeded = "seed from the record digest"
    yield "maps simulated", f"{assumed.simulations}", _ONE, seeded, "same record, same maps"


def _settling(facts: ShaftFacts) -> Iterator[Row]:
    answer = facts.outlook.answer if facts.outlook is not None else None
    if isinstance(answer, Forecast | RiseOnly):
        courses = (each.course for each in answer.courses) if isinstance(answer, Forecast) else answer.courses
        for each in courses:
            yield f"settling, {each.assumption}", "on the fluid tested", "", each.assumed, _JUDGMENT
