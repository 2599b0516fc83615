"""The form of a round of soundings: which round it is, the proposed points, the unit of the tape.

A round that is there already gives the form to amend it, with the points where they were read.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from fieldapp.base.layout import proposed_layout
from fieldapp.criteria.look import Look
from fieldapp.desk.entry_forms.amending import form_to_amend
from fieldapp.desk.looking import NotOpen, look_at
from fieldapp.desk.workplace import Workplace
from fieldapp.record.cleaning import CleanoutPass, SoundingPoint, SoundingRound
from fieldapp.record.fold import Line
from fieldapp.record.reading import Reading
from fieldapp.record.said import said
from fieldapp.record.words import Happening, InstrumentType, RoundWhy, UnitSystem
from fieldapp.units import show

TAPES: Final = (InstrumentType.TAPE, InstrumentType.PROBE_ROD)
TAPE_UNITS: Final = ("ft-in", "ft", "m")


@dataclass(frozen=True, slots=True)
class PointForm:
    """A place to sound: its label, and its position as it will stand in the record."""

    label: str
    r: Reading
    angle: Reading


@dataclass(frozen=True, slots=True)
class RoundForm:
    """A round to be made: number, reason, instrument, the points in order, the unit of the tape.

    ``units`` are all that a tape may be marked in.  ``place_unit`` is that of ``r``, up to ``radius_m``.
    When amending, ``target`` is the entry, ``parents`` what the change follows, ``before`` what it says.
    """

    number: int
    why: RoundWhy
    after_pass: int | None
    instrument: str
    points: tuple[PointForm, ...]
    unit: str
    radius_m: Fraction
    place_unit: str
    units: tuple[str, ...] = TAPE_UNITS
    target: str = ""
    parents: tuple[str, ...] = ()
    before: SoundingRound | None = None

    @property
    def title(self) -> str:
        """``Round 2, after pass 4``, or ``Round 2, amended``."""
        if self.target:
            return said("Round {number}, amended", number=self.number)
        if self.after_pass is None:
            return said("Round {number}, {why}", number=self.number, why=self.why)
        return said(
            "Round {number}, {why} {after_pass}",
            number=self.number,
            why=self.why,
            after_pass=self.after_pass,
        )

    def point(self, label: str) -> PointForm:
        """The point of this label.  Raises KeyError."""
        for each in self.points:
            if each.label == label:
                return each
        raise KeyError(label)


def round_form(place: Workplace, shaft_id: str) -> RoundForm:
    """The form for the next round.  Raises NotOpen before the base is reached or after concrete."""
    look = look_at(place, shaft_id)
    if look.concrete_in:
        raise NotOpen(
            said("Concrete is in shaft {shaft}: its base cannot be sounded any more.", shaft=shaft_id)
        )
    if look.base_depth is None:
        raise NotOpen(
            said(
                "Shaft {shaft} has not reached its base yet: record the drilled depth first.", shaft=shaft_id
            )
        )
    rounds = look.shaft.of(SoundingRound)
    why, after_pass = _why(look)
    us = look.setup.units is UnitSystem.US
    return RoundForm(
        number=max((each.values.number for each in rounds), default=0) + 1,
        why=why,
        after_pass=after_pass,
        instrument=_instrument(look, rounds),
        points=_points(look, us),
        unit=_unit(tuple(each.values for each in rounds), us),
        radius_m=look.scheduled.diameter.si / 2,
        place_unit="in" if us else "mm",
    )


def round_to_amend(place: Workplace, shaft_id: str, entry_id: str) -> RoundForm:
    """The form of a round that is to be amended; ``round_entry.texts_now`` gives what it says.

    Raises NotOpen when there is no such round, or it was struck.
    """
    form, _ = form_to_amend(place, shaft_id, entry_id)
    look = look_at(place, shaft_id)
    line = next(each for each in look.shaft.lines if each.id == entry_id)
    if not isinstance(line.values, SoundingRound):
        raise NotOpen(said("The entry to be amended is no round of soundings."))
    values, us = line.values, look.setup.units is UnitSystem.US
    points = tuple(PointForm(each.label, *position_of(each)) for each in values.points)
    return RoundForm(
        number=values.number,
        why=values.why,
        after_pass=values.after_pass,
        instrument=values.instrument,
        points=points,
        unit=_unit((values,), us),
        radius_m=look.scheduled.diameter.si / 2,
        place_unit="in" if us else "mm",
        target=form.target,
        parents=form.parents,
        before=values,
    )


def position_of(point: SoundingPoint) -> tuple[Reading, Reading]:
    """Radius and angle of a point that was recorded."""
    assert point.r is not None
    assert point.angle is not None
    return point.r, point.angle


def _unit(rounds: tuple[SoundingRound, ...], us: bool) -> str:
    """As the tape of the last round was marked, else as is usual with the project's units."""
    for made in reversed(rounds):
        for point in made.points:
            read = point.first_contact or point.firm
            if read is not None and read.unit in TAPE_UNITS:
                return read.unit
    return "ft-in" if us else "m"


def _why(look: Look) -> tuple[RoundWhy, int | None]:
    cages = [each.observed_at for each in look.events(Happening.CAGE_SET)]
    last_pass = look.shaft.last(CleanoutPass)
    if cages and (last_pass is None or last_pass.observed_at < max(cages)):
        sounded = [each.observed_at for each in look.shaft.of(SoundingRound)]
        after_cage = any(each > max(cages) for each in sounded)
        return (RoundWhy.BEFORE_CONCRETE if after_cage else RoundWhy.AFTER_CAGE), None
    if last_pass is None:
        return RoundWhy.OTHER, None
    return RoundWhy.AFTER_PASS, last_pass.values.number


def _instrument(look: Look, rounds: tuple[Line[SoundingRound], ...]) -> str:
    if rounds:
        return rounds[-1].values.instrument
    tapes = [each.values.label for each in look.project.instruments if each.values.type in TAPES]
    return tapes[-1] if tapes else "weighted tape"


def _points(look: Look, us: bool) -> tuple[PointForm, ...]:
    unit, digits = ("in", 1) if us else ("mm", 0)
    return tuple(
        PointForm(
            each.label,
            Reading(show(each.r_m, unit, digits).split(" ")[0].replace(",", ""), unit),
            Reading(show(each.angle_deg, "count", 1), "deg"),
        )
        for each in proposed_layout(look.scheduled.diameter.si)
    )
