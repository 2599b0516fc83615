"""An earlier round beside the one in hand: the sediment at the nearest place, point by point."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import dist
from typing import Final

from fieldapp.criteria.phrasing import Quantity
from fieldapp.criteria.spread import place_m
from fieldapp.desk.looking import NotOpen, look_at
from fieldapp.desk.rounds.entry import Typed, round_entry
from fieldapp.desk.rounds.form import RoundForm
from fieldapp.desk.shaft.view import RoundView, rounds_of
from fieldapp.desk.workplace import Workplace
from fieldapp.record.cleaning import SoundingPoint, SoundingRound
from fieldapp.record.said import said

# As the rise rule has it: two soundings nearer than this are of the same place (judgment).
_AT_ONE_PLACE_M: Final = 0.075


@dataclass(frozen=True, slots=True)
class EarlierRound:
    """A round that is recorded: the entry, and its number."""

    entry: str
    number: int


@dataclass(frozen=True, slots=True)
class Difference:
    """A point in hand and the nearest one of the other round, ``apart`` from each other.

    ``was`` and ``now`` are thicknesses, ``change`` the one less the other with its sign; ``not shown`` where
    one of them is not known.
    """

    label: str
    nearest: str
    apart: str
    was: str
    now: str
    change: str
    known: bool


@dataclass(frozen=True, slots=True)
class Beside:
    """An earlier round on the base, and how the round in hand differs from it."""

    entry: str
    view: RoundView
    differences: tuple[Difference, ...]


def earlier_rounds(place: Workplace, shaft: str, form: RoundForm) -> tuple[EarlierRound, ...]:
    """Rounds of a shaft that can be compared with the one in hand, the latest first."""
    rounds = place.shaft(shaft).of(SoundingRound)
    return tuple(
        EarlierRound(each.id, each.values.number) for each in reversed(rounds) if each.id != form.target
    )


def round_beside(place: Workplace, shaft: str, form: RoundForm, typed: Typed, entry_id: str) -> Beside:
    """The round of this entry beside the one in hand.  Raises NotOpen when it is no round of the shaft."""
    look = look_at(place, shaft)
    line = next((each for each in look.shaft.of(SoundingRound) if each.id == entry_id), None)
    if line is None:
        raise NotOpen(said("This round is not in the record of the shaft."))
    (view,) = rounds_of(look.setup, look.scheduled, (line,))
    say = look.phrases.say

    def shown(thickness: Fraction | None) -> str:
        return "not shown" if thickness is None else say(Quantity.THICKNESS, thickness)

    def difference(point: SoundingPoint) -> Difference:
        gap, at = min((dist(place_m(point), place_m(each)), k) for k, each in enumerate(line.values.points))
        other = line.values.points[at]
        now, was = point.thickness_m, other.thickness_m
        change = None if now is None or was is None else now - was
        sign = "+" if change is not None and change > 0 else ""
        return Difference(
            label=point.label,
            nearest=other.label,
            apart=say(Quantity.THICKNESS, Fraction(round(gap * 1000), 1000)) if gap > _AT_ONE_PLACE_M else "",
            was=shown(was),
            now=shown(now),
            change=sign + shown(change),
            known=change is not None,
        )

    points = round_entry(form, typed).points
    return Beside(entry_id, view, tuple(difference(each) for each in points))
