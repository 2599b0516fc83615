"""What the screens ask of the desk, each question whole, so that one visit to the worker answers it.

Everything here runs on the worker with the project in hand.  Half-typed forms are plain mappings under a
key of their own, on disk after every point or field.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fieldapp.desk.round_form import RoundForm
    from fieldapp.desk.shaft_view import RoundView, ShaftView
    from fieldapp.desk.workplace import Workplace
    from fieldapp.record.entry import Entry

Texts = dict[str, str]
Moment = datetime | None


@dataclass(frozen=True, slots=True)
class ShaftPage:
    """One shaft to be shown: its view, which forms can be opened on it, which are half typed."""

    view: ShaftView
    can_sound: bool
    can_test: bool
    round_begun: bool
    fluid_begun: bool


@dataclass(slots=True)
class RoundTyped:
    """What was typed of a round: saved points, readings in hand, and when a point was last saved."""

    number: int
    points: dict[str, Texts] = field(default_factory=dict)
    drafts: dict[str, Texts] = field(default_factory=dict)
    read_at: str = ""


@dataclass(frozen=True, slots=True)
class RoundPage:
    """A round to be typed on a shaft, as far as it has come."""

    page: ShaftPage
    form: RoundForm
    typed: RoundTyped
    so_far: RoundView


@dataclass(frozen=True, slots=True)
class By:
    """Who records, and the codes of the questions that were answered with yes."""

    person: str
    confirmed: tuple[str, ...] = ()


def people(place: Workplace) -> tuple[tuple[str, str], ...]:
    """Everybody on the roster with their roles."""
    return tuple((each.name, ", ".join(each.roles)) for each in place.setup().people)


def shaft_page(place: Workplace, shaft: str, at: Moment) -> ShaftPage:
    """A shaft as it is shown.  Raises UnknownShaft."""
    from fieldapp.desk.fluid_form import fluid_form
    from fieldapp.desk.inspector import kept_form
    from fieldapp.desk.round_form import round_form
    from fieldapp.desk.shaft_view import shaft_view

    view = shaft_view(place, shaft, at)
    return ShaftPage(
        view,
        can_sound=_opens(lambda: round_form(place, shaft)),
        can_test=not view.concrete_in and _opens(lambda: fluid_form(place, shaft)),
        round_begun=bool(kept_form(place, _round_key(shaft))),
        fluid_begun=bool(kept_form(place, fluid_key(shaft))),
    )


def _opens(form: Callable[[], object]) -> bool:
    from fieldapp.desk.looking import NotOpen

    try:
        form()
    except NotOpen:
        return False
    return True


def round_page(place: Workplace, shaft: str, at: Moment) -> RoundPage:
    """The next round of a shaft with what was typed of it before."""
    from fieldapp.desk.inspector import kept_form
    from fieldapp.desk.round_form import round_form, round_so_far

    form = round_form(place, shaft)
    typed = _round_typed(kept_form(place, _round_key(shaft)), form)
    if _is_recorded(place, shaft, form, typed):
        typed = RoundTyped(form.number)
    typed.number = form.number
    so_far = round_so_far(place, shaft, form, typed.points)
    return RoundPage(shaft_page(place, shaft, at), form, typed, so_far)


def _round_typed(body: Mapping[str, object] | None, form: RoundForm) -> RoundTyped:
    if body is None:
        return RoundTyped(form.number)
    labels = {each.label for each in form.points}
    points, drafts = (
        {label: texts_of(texts) for label, texts in _mapping(body.get(name)).items() if label in labels}
        for name in ("points", "drafts")
    )
    return RoundTyped(int(str(body["number"])), points, drafts, str(body.get("read_at", "")))


def _is_recorded(place: Workplace, shaft: str, form: RoundForm, typed: RoundTyped) -> bool:
    """Whether the record has this very round: the app ended between recording and dropping the form."""
    from fieldapp.desk.round_form import round_entry
    from fieldapp.record.cleaning import SoundingRound

    if typed.number == form.number or not typed.points:
        return False
    points = round_entry(replace(form, number=typed.number), typed.points).points
    rounds = place.shaft(shaft).of(SoundingRound)
    return any(each.values.number == typed.number and each.values.points == points for each in rounds)


def keep_round(place: Workplace, shaft: str, typed: RoundTyped) -> datetime:
    """Keep a half-typed round on disk, and say since when it is there."""
    from fieldapp.desk.inspector import keep_form

    body = {
        "number": typed.number,
        "points": typed.points,
        "drafts": typed.drafts,
        "read_at": typed.read_at,
    }
    keep_form(place, _round_key(shaft), shaft, body)
    return place.now()


def save_point(
    place: Workplace, shaft: str, form: RoundForm, typed: RoundTyped, label: str
) -> tuple[RoundView, datetime]:
    """Keep the round with this point on disk, and give the base as it stands then.

    Raises Impossible when the two depths of the point contradict each other; then nothing is kept.
    """
    from fieldapp.desk.round_form import point_entry, round_so_far

    point = next(each for each in form.points if each.label == label)
    point_entry(point, typed.points[label], form.unit)
    typed.read_at = place.now().isoformat()
    return round_so_far(place, shaft, form, typed.points), keep_round(place, shaft, typed)


def record_round(place: Workplace, shaft: str, form: RoundForm, typed: RoundTyped, by: By) -> Entry:
    """Record a typed round, observed when its last point was saved.

    Raises Refused, AskFirst, StoreProblem.
    """
    from fieldapp.desk.inspector import Saying, drop_form, record_entry
    from fieldapp.desk.round_form import round_entry

    read_at = datetime.fromisoformat(typed.read_at) if typed.read_at else None
    says = round_entry(form, typed.points)
    entry = record_entry(place, Saying(shaft, says, by.person, observed_at=read_at, confirmed=by.confirmed))
    drop_form(place, _round_key(shaft))
    return entry


def thickness(place: Workplace, typed: Mapping[str, str], unit: str) -> str:
    """Thickness of two typed depths, for people."""
    from fieldapp.desk.round_form import thickness_text

    return thickness_text(place, typed.get("first_contact", ""), typed.get("firm", ""), unit)


def _round_key(shaft: str) -> str:
    return f"round {shaft}"


def fluid_key(shaft: str) -> str:
    return f"fluid {shaft}"


def _mapping(found: object) -> dict[str, object]:
    return dict(found) if isinstance(found, Mapping) else {}


def texts_of(found: object) -> Texts:
    return {name: str(text) for name, text in _mapping(found).items()}
