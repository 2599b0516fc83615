"""The form of a round of soundings: the proposed points, what is typed at each, and the entry made of it.

The half-typed form is a plain mapping, so that it can be kept on disk after every point.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from fieldapp.base.layout import proposed_layout
from fieldapp.criteria.look import Look
from fieldapp.criteria.phrasing import Phrases, Quantity
from fieldapp.desk.looking import NotOpen, look_at
from fieldapp.desk.shaft_view import RoundView, rounds_of
from fieldapp.desk.workplace import Workplace
from fieldapp.record.cleaning import CleanoutPass, SoundingPoint, SoundingRound
from fieldapp.record.entry import ChainHead, Draft, seal
from fieldapp.record.fold import Line
from fieldapp.record.reading import Reading
from fieldapp.record.words import Happening, InstrumentType, RoundWhy, UnitSystem
from fieldapp.units import show

NOT_YET: Final = "not read yet"
TAPES: Final = (InstrumentType.TAPE, InstrumentType.PROBE_ROD)

Typed = Mapping[str, Mapping[str, str]]


@dataclass(frozen=True, slots=True)
class PointForm:
    """A place to sound: its label, and its position as it will stand in the record."""

    label: str
    r: Reading
    angle: Reading


@dataclass(frozen=True, slots=True)
class RoundForm:
    """A round to be made: number, reason, instrument, the points in order, the unit of the tape."""

    number: int
    why: RoundWhy
    after_pass: int | None
    instrument: str
    points: tuple[PointForm, ...]
    unit: str

    @property
    def title(self) -> str:
        """``Round 2, after pass 4``."""
        after = f" {self.after_pass}" if self.after_pass is not None else ""
        return f"Round {self.number}, {self.why}{after}"


def round_form(place: Workplace, shaft_id: str) -> RoundForm:
    """The form for the next round.  Raises NotOpen before the base is reached or after concrete."""
    look = look_at(place, shaft_id)
    if look.concrete_in:
        raise NotOpen(f"Concrete is in shaft {shaft_id}: its base cannot be sounded any more.")
    if look.base_depth is None:
        raise NotOpen(f"Shaft {shaft_id} has not reached its base yet: record the drilled depth first.")
    rounds = look.shaft.of(SoundingRound)
    why, after_pass = _why(look)
    us = look.setup.units is UnitSystem.US
    return RoundForm(
        number=max((each.values.number for each in rounds), default=0) + 1,
        why=why,
        after_pass=after_pass,
        instrument=_instrument(look, rounds),
        points=_points(look, us),
        unit="ft-in" if us else "m",
    )


def thickness_text(place: Workplace, first_contact: str, firm: str, unit: str) -> str:
    """Thickness of two typed depths in the project's units; ``not shown`` until both are there.

    Raises Impossible for a text that is no depth.
    """
    if not first_contact or not firm:
        return "not shown"
    thickness = Reading(firm, unit).si - Reading(first_contact, unit).si
    return Phrases(place.setup().units).say(Quantity.THICKNESS, thickness)


def point_entry(point: PointForm, typed: Mapping[str, str], unit: str) -> SoundingPoint:
    """One point as typed: ``first_contact`` and ``firm`` as depths, or ``no_reading``.  Raises Impossible."""
    depths = {name: Reading(typed[name], unit) for name in ("first_contact", "firm") if typed.get(name)}
    why = "" if depths else typed.get("no_reading") or NOT_YET
    return SoundingPoint(point.label, point.r, point.angle, no_reading=why, **depths)


def round_entry(form: RoundForm, typed: Typed) -> SoundingRound:
    """The entry of a typed round; a point nobody typed says so and shows nothing.  Raises Impossible."""
    return SoundingRound(
        number=form.number,
        why=form.why,
        after_pass=form.after_pass,
        instrument=form.instrument,
        points=tuple(point_entry(each, typed.get(each.label, {}), form.unit) for each in form.points),
    )


def round_so_far(place: Workplace, shaft_id: str, form: RoundForm, typed: Typed) -> RoundView:
    """A half-typed round on the base; its share, largest and mean stay not shown until all is read."""
    look = look_at(place, shaft_id)
    now = place.now()
    values = round_entry(form, typed)
    draft = Draft(place.clock.new_id(), place.project_id, shaft_id, values, now, now, "form")
    (view,) = rounds_of(look.setup, look.scheduled, (Line(seal(draft, ChainHead("form"), 1), values, now),))
    return view


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
