"""What the designer decides on a base: full, reduced or no credit, or a remedy asked for.

A credit is the designer's word; where it goes above the best estimate, or where there is no estimate to
hold it against, it is asked about first.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from fieldapp.base.credit import credit
from fieldapp.criteria.phrasing import joined
from fieldapp.desk.decisions.deciding import basis_now, checked_draft, decide
from fieldapp.desk.looking import NotOpen
from fieldapp.desk.workplace import Workplace
from fieldapp.desk.worth.worth import BaseWorth, base_worth
from fieldapp.identity.keys import UnlockedKey
from fieldapp.record.decisions import Disposition
from fieldapp.record.entry import Entry
from fieldapp.record.questions import Objection
from fieldapp.record.reading import Reading
from fieldapp.record.said import said, said_of
from fieldapp.record.said_lists import word
from fieldapp.record.words import Decision
from fieldapp.units import OutOfRange, rounded_down

OVER_ESTIMATE: Final = "over-estimate"
_CREDITS: Final = frozenset({Decision.FULL_CREDIT, Decision.REDUCED_CREDIT})


@dataclass(frozen=True, slots=True)
class DispositionAsked:
    """A disposition as the designer asks for it; a reduced credit is 0 to 1, at a base displacement."""

    decision: Decision
    why: str
    credit: Reading | None = None
    displacement: Reading | None = None
    confirmed: tuple[str, ...] = ()


def dispose(place: Workplace, shaft_id: str, asked: DispositionAsked, author: str, key: UnlockedKey) -> Entry:
    """Decide the credit of a base.

    Raises
    ------
    Refused
        The author is no designer, or the record rules it out.
    AskFirst
        ``over-estimate``: the credit is above the best estimate at that displacement, or none can be made.
    Impossible
        A credit outside 0 to 1, or a reduced one without its displacement.
    NotThisPerson, RevokedKey, OutsideValidity, DeviceKeyLost, UnknownShaft, StoreProblem
        The key may not sign, or nothing can be written.
    """
    basis = basis_now(place, shaft_id)
    values = Disposition(basis, asked.decision, asked.why, asked.credit, asked.displacement)
    draft = checked_draft(place, shaft_id, values, author, key)
    found = tuple(_over_estimate(place, shaft_id, values)) if asked.decision in _CREDITS else ()
    return decide(place, draft, key, found, asked.confirmed)


def _over_estimate(place: Workplace, shaft_id: str, values: Disposition) -> Iterator[Objection]:
    stated = float(values.credit.si) if values.credit is not None else 1.0
    wanted = (
        said("{credit} at {displacement}", credit=values.credit, displacement=values.displacement)
        if values.credit is not None
        else word(values.decision)
    )
    expected = said("a credit up to the best estimate, or your word that it is right")
    try:
        worth = base_worth(place, shaft_id, place.now())
        best = best_estimate(worth, values.displacement)
    except (NotOpen, OutOfRange) as problem:
        best, lacks = None, said_of(problem)
    else:
        lacks = joined(worth.missing, "; ")
    if best is None:
        says = said(
            "There is no estimate to hold {wanted} against, for want of {lacks}.",
            wanted=wanted,
            lacks=lacks or said("a credit"),
        )
        yield Objection(OVER_ESTIMATE, "credit", says, wanted, expected)
    elif stated > best:
        says = said(
            "The credit, {wanted}, is above the best estimate of {best:.2f}.",
            wanted=wanted,
            best=rounded_down(best, 2),
        )
        yield Objection(OVER_ESTIMATE, "credit", says, wanted, expected)


def best_estimate(worth: BaseWorth, displacement: Reading | None) -> float | None:
    """The best estimate of the credit at a base displacement, or at strength without one; None without any.

    Raises OutOfRange for a displacement that the curves do not know.
    """
    if worth.credit is None:
        return None
    inputs, cover = worth.inputs, worth.cover
    if displacement is None or inputs is None or inputs.model is None or cover is None:
        return worth.credit.strength.credit
    found = credit(inputs.model.curve, cover, inputs.spread.best, float(displacement.si))
    return float(found)
