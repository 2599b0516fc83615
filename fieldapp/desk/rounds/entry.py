"""What is typed of a round, and the entry made of it.

The half-typed form is a plain mapping, so that it can be kept on disk after every point.  Points may stand
elsewhere than proposed, and others may be added.  Amending keeps every point that is not changed exactly as
it was; a point that nobody typed says so and shows nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from fieldapp.criteria.phrasing import Phrases, Quantity
from fieldapp.desk.looking import look_at
from fieldapp.desk.rounds.form import PointForm, RoundForm, position_of
from fieldapp.desk.shaft.view import RoundView, rounds_of
from fieldapp.desk.workplace import Workplace
from fieldapp.record.cleaning import SoundingPoint, SoundingRound
from fieldapp.record.entry import ChainHead, Draft, seal
from fieldapp.record.fold import Line
from fieldapp.record.reading import Impossible, Reading
from fieldapp.record.said import said
from fieldapp.units import show, with_point

NOT_YET: Final = "not read yet"
_FORM: Final = "form"

Texts = Mapping[str, str]
Typed = Mapping[str, Texts]


def texts_now(form: RoundForm) -> dict[str, dict[str, str]]:
    """What is typed at each point of an amended round to say what it says now; nothing for a new round."""
    return {each.label: texts_of_point(each) for each in form.before.points} if form.before else {}


def texts_of_point(point: SoundingPoint) -> dict[str, str]:
    """What is typed at a point to say what it says: lengths with their unit, or why there is none."""
    if point.no_reading:
        return {"no_reading": point.no_reading}
    depths = {"first_contact": point.first_contact, "firm": point.firm}
    read = {name: each for name, each in depths.items() if each is not None}
    if not read:
        assert point.thickness is not None
        return {"thickness": point.thickness.read, "unit": point.thickness.unit}
    unit = next(iter(read.values())).unit
    alike = all(each.unit == unit for each in read.values())
    shown = {name: each.read if alike else _in_unit(each, unit) for name, each in read.items()}
    return {**shown, "unit": unit}


def with_places(form: RoundForm, places: Typed) -> RoundForm:
    """The form with points that stand elsewhere (``r`` in ``place_unit``, ``angle``), and with added ones.

    Raises Impossible for a place that cannot be read or lies off the base.
    """
    known = {each.label: each for each in form.points}
    moved = {label: _placed(form, label, texts) for label, texts in places.items()}
    added = tuple(each for label, each in moved.items() if label not in known)
    return replace(form, points=(*(moved.get(label, each) for label, each in known.items()), *added))


def _placed(form: RoundForm, label: str, texts: Texts) -> PointForm:
    r, angle = _typed(texts.get("r", ""), form.place_unit), _typed(texts.get("angle", ""), "deg")
    if not 0 <= r.si <= form.radius_m:
        most = show(form.radius_m, form.place_unit, 1)
        raise Impossible("r", str(r), said("0 to {most}, the radius of the base", most=most))
    SoundingPoint(label, r, angle, no_reading=NOT_YET)
    return PointForm(label, r, angle)


def thickness_text(place: Workplace, first_contact: str, firm: str, unit: str) -> str:
    """Thickness of two typed depths in the project's units; ``not shown`` until both are there.

    Raises Impossible for a text that is no depth.
    """
    if not first_contact or not firm:
        return "not shown"
    thickness = _typed(firm, unit).si - _typed(first_contact, unit).si
    return Phrases(place.setup().units).say(Quantity.THICKNESS, thickness)


def point_entry(point: PointForm, typed: Texts, unit: str) -> SoundingPoint:
    """One point as typed: ``first_contact`` and ``firm`` as depths, or ``no_reading``.

    Its own ``unit`` goes before that of the round.  Raises Impossible.
    """
    unit = typed.get("unit") or unit
    names = ("first_contact", "firm") if typed.get("first_contact") or typed.get("firm") else ("thickness",)
    depths = {name: _typed(typed[name], unit) for name in names if typed.get(name)}
    why = "" if depths else typed.get("no_reading") or NOT_YET
    return SoundingPoint(point.label, point.r, point.angle, no_reading=why, **depths)


def round_entry(form: RoundForm, typed: Typed) -> SoundingRound:
    """The entry of a typed round; a point nobody typed says so and shows nothing.  Raises Impossible."""
    was = {each.label: each for each in form.before.points} if form.before else {}
    points = tuple(
        _as_it_was(was.get(each.label), each, typed.get(each.label, {}))
        or point_entry(each, typed.get(each.label, {}), form.unit)
        for each in form.points
    )
    if form.before is not None:
        return replace(form.before, points=points)
    return SoundingRound(
        number=form.number,
        why=form.why,
        after_pass=form.after_pass,
        instrument=form.instrument,
        points=points,
    )


def _as_it_was(was: SoundingPoint | None, point: PointForm, typed: Texts) -> SoundingPoint | None:
    """The point of the amended round itself, so that nothing of it is lost, while its texts are unchanged."""
    if was is None or texts_of_point(was) != dict(typed):
        return None
    return was if position_of(was) == (point.r, point.angle) else replace(was, r=point.r, angle=point.angle)


def line_so_far(place: Workplace, shaft_id: str, form: RoundForm, typed: Typed) -> Line[SoundingRound]:
    """A half-typed round as a line of the record, which nobody records.  Raises Impossible."""
    now, values = place.now(), round_entry(form, typed)
    draft = Draft(place.clock.new_id(), place.project_id, shaft_id, values, now, now, _FORM)
    return Line(seal(draft, ChainHead(_FORM), 1), values, now)


def round_so_far(place: Workplace, shaft_id: str, form: RoundForm, typed: Typed) -> RoundView:
    """A half-typed round on the base; its share, largest and mean stay not shown until all is read."""
    look = look_at(place, shaft_id)
    line = line_so_far(place, shaft_id, form, typed)
    (view,) = rounds_of(look.setup, look.scheduled, (line,))
    return view


def _typed(text: str, unit: str) -> Reading:
    return Reading(with_point(text), unit)


def _in_unit(reading: Reading, unit: str) -> str:
    """The same length in another unit, to a tenth of a millimetre or an eighth of an inch."""
    if unit == "ft-in":
        return show(reading.si, unit, 8)
    return show(reading.si, unit, 4).split(" ")[0].replace(",", "")
