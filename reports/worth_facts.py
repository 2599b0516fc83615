"""What the base is worth and how long it stays clean, as the paper is handed it: results, no questions.

Each part is None where the record does not give it, and ``missing`` says what it lacks.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from fieldapp.base.assured import AskedOfBase, AssuredShare
from fieldapp.base.base_curve import Ground
from fieldapp.base.bearing import UnitBase
from fieldapp.base.credit_facts import Credit
from fieldapp.base.credit_range import Displacements
from fieldapp.base.curve_band import CurveBand
from fieldapp.base.factored import AgainstDemand, Factors
from fieldapp.base.head_curve import HeadCurves
from fieldapp.base.head_march import ShaftBody
from fieldapp.base.next_sounding import NextSounding, Settled
from fieldapp.base.pass_worth import Worth
from fieldapp.base.sediment import SedimentSpread
from fieldapp.base.sediment_map import NoMap, SedimentMap
from fieldapp.base.stake import Stake
from fieldapp.fluid.forecast import Answer, Comparison


@dataclass(frozen=True, slots=True)
class Assumed:
    """The parameters that the worth of a base rests on, beside those of the shaft's plan.

    ``confidence`` is that of the assured share, 0 to 1; ``simulations`` the number of maps drawn; ``body``
    the shaft with its side resistance, None where the plan does not give it.
    """

    displacements: Displacements
    spread: SedimentSpread
    confidence: float
    simulations: int
    body: ShaftBody | None = None
    factors: Factors | None = None
    demand_mn: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class WorthFacts:
    """Map, credit and curves of one base, from one round (``round_title``, empty without one)."""

    round_title: str = ""
    asked: AskedOfBase | None = None
    sediment: SedimentMap | NoMap | None = None
    assured: AssuredShare | None = None
    next_place: NextSounding | Settled | None = None
    ground: Ground | None = None
    unit_base: UnitBase | None = None
    credit: Credit | None = None
    band: CurveBand | None = None
    heads: HeadCurves | None = None
    demand: AgainstDemand | None = None
    stake: Stake | None = None
    assumed: Assumed | None = None
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ForecastHeld:
    """A forecast from one round, held against the next one."""

    from_round: int
    to_round: int
    comparison: Comparison


@dataclass(frozen=True, slots=True, eq=False)
class OutlookFacts:
    """The forecast from the latest round, what earlier ones were worth, and the next pass."""

    from_round: int
    from_moment: datetime
    answer: Answer | None = None
    sound_again_by: datetime | None = None
    may_break_from: datetime | None = None
    held: tuple[ForecastHeld, ...] = ()
    next_pass: Worth | None = None
    missing: tuple[str, ...] = ()
