"""What the screen of a round asks of the desk; everything here runs on the worker.

A half-typed round is on disk after every point, moved and added ones too, under a key of its shaft, or of the
round that it amends.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import TYPE_CHECKING

from fieldapp.ui.asks import By, Moment, ShaftPage, Texts, round_key, shaft_page, texts_of

if TYPE_CHECKING:
    from fieldapp.desk.rounds.beside import Beside, EarlierRound
    from fieldapp.desk.rounds.form import RoundForm
    from fieldapp.desk.rounds.now import RoundNow
    from fieldapp.desk.shaft.view import RoundView
    from fieldapp.desk.workplace import Workplace
    from fieldapp.record.entry import Entry


@dataclass(slots=True)
class RoundTyped:
    """What was typed of a round: saved points, readings in hand, when a point was last saved.

    ``places`` are the points that were moved or added, ``unit`` is that of the tape where it was chosen,
    ``why`` the reason of an amendment.
    """

    number: int
    points: dict[str, Texts] = field(default_factory=dict)
    drafts: dict[str, Texts] = field(default_factory=dict)
    read_at: str = ""
    places: dict[str, Texts] = field(default_factory=dict)
    unit: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class RoundPage:
    """A round to be typed on a shaft, as far as it has come; ``form`` has the points as proposed."""

    page: ShaftPage
    form: RoundForm
    typed: RoundTyped
    said: dict[str, Texts]
    now: RoundNow
    earlier: tuple[EarlierRound, ...]

    @property
    def key(self) -> str:
        """Key of its half-typed form on disk."""
        return f"round amend {self.form.target}" if self.form.target else round_key(self.page.view.shaft)


def placed(form: RoundForm, typed: RoundTyped) -> RoundForm:
    """The form with its points where they were put, and its tape as it is marked.  Raises Impossible."""
    from fieldapp.desk.rounds.entry import with_places

    return replace(with_places(form, typed.places), unit=typed.unit or form.unit)


def round_page(place: Workplace, shaft: str, at: Moment, amend: str = "") -> RoundPage:
    """The next round of a shaft, or the one to be amended, with what was typed of it before.

    Raises NotOpen, UnknownShaft.
    """
    from fieldapp.desk.inspector import kept_form
    from fieldapp.desk.rounds.beside import earlier_rounds
    from fieldapp.desk.rounds.entry import texts_now
    from fieldapp.desk.rounds.form import round_form, round_to_amend
    from fieldapp.desk.rounds.now import round_now

    form = round_to_amend(place, shaft, amend) if amend else round_form(place, shaft)
    said = {label: dict(texts) for label, texts in texts_now(form).items()}
    key = f"round amend {amend}" if amend else round_key(shaft)
    typed = _round_typed(kept_form(place, key), form, said)
    if not amend and _is_recorded(place, shaft, form, typed):
        typed = RoundTyped(form.number)
    typed.number = form.number
    now = round_now(place, shaft, placed(form, typed), typed.points)
    earlier = earlier_rounds(place, shaft, form)
    return RoundPage(shaft_page(place, shaft, at), form, typed, said, now, earlier)


def _round_typed(body: Mapping[str, object] | None, form: RoundForm, said: Mapping[str, Texts]) -> RoundTyped:
    if body is None:
        return RoundTyped(form.number, {label: dict(texts) for label, texts in said.items()})
    places = _texts_by_label(body.get("places"))
    labels = {each.label for each in form.points} | set(places)
    points, drafts = (
        {label: texts for label, texts in _texts_by_label(body.get(name)).items() if label in labels}
        for name in ("points", "drafts")
    )
    read_at, unit, why = (str(body.get(name, "")) for name in ("read_at", "unit", "why"))
    return RoundTyped(int(str(body["number"])), points, drafts, read_at, places, unit, why)


def _is_recorded(place: Workplace, shaft: str, form: RoundForm, typed: RoundTyped) -> bool:
    """Whether the record has this very round: the app ended between recording and dropping the form."""
    from fieldapp.desk.rounds.entry import round_entry
    from fieldapp.record.cleaning import SoundingRound

    if typed.number == form.number or not typed.points:
        return False
    points = round_entry(replace(placed(form, typed), number=typed.number), typed.points).points
    rounds = place.shaft(shaft).of(SoundingRound)
    return any(each.values.number == typed.number and each.values.points == points for each in rounds)


def keep_round(place: Workplace, shaft: str, typed: RoundTyped, key: str = "") -> datetime:
    """Keep a half-typed round on disk, and say since when it is there."""
    from fieldapp.desk.inspector import keep_form

    body = {
        "number": typed.number,
        "points": typed.points,
        "drafts": typed.drafts,
        "read_at": typed.read_at,
        "places": typed.places,
        "unit": typed.unit,
        "why": typed.why,
    }
    keep_form(place, key or round_key(shaft), shaft, body)
    return place.now()


def save_point(
    place: Workplace, page: RoundPage, typed: RoundTyped, label: str, *, read: bool
) -> tuple[RoundView, datetime]:
    """Keep the round with this point on disk, and give the base as it stands then; ``read`` is a new answer.

    Raises Impossible when the two depths of the point contradict each other; then nothing is kept.
    """
    from fieldapp.desk.rounds.entry import point_entry, round_so_far

    shaft, form = page.page.view.shaft, placed(page.form, typed)
    if label in typed.points:
        point_entry(form.point(label), typed.points[label], form.unit)
    if read:
        typed.read_at = place.now().isoformat()
    kept_at = keep_round(place, shaft, typed, page.key)
    return round_so_far(place, shaft, form, typed.points), kept_at


def round_as_it_is(place: Workplace, page: RoundPage, typed: RoundTyped) -> RoundNow:
    """What the limits and the map say of a round so far."""
    from fieldapp.desk.rounds.now import round_now

    return round_now(place, page.page.view.shaft, placed(page.form, typed), typed.points)


def beside(place: Workplace, page: RoundPage, typed: RoundTyped, entry: str) -> Beside:
    """An earlier round, and how this one differs from it."""
    from fieldapp.desk.rounds.beside import round_beside

    return round_beside(place, page.page.view.shaft, placed(page.form, typed), typed.points, entry)


def record_round(place: Workplace, shaft: str, form: RoundForm, typed: RoundTyped, by: By) -> Entry:
    """Record a typed round, observed when its last point was saved, or the change of one that is there.

    Raises Impossible, Refused, AskFirst, StoreProblem.
    """
    from fieldapp.desk.inspector import Saying, record_entry
    from fieldapp.desk.rounds.entry import round_entry
    from fieldapp.record.decisions import Amend

    read_at = datetime.fromisoformat(typed.read_at) if typed.read_at else None
    says = round_entry(placed(form, typed), typed.points)
    if form.target:
        change = Amend(form.target, says, typed.why)
        kept = f"round amend {form.target}"
        saying = Saying(shaft, change, by.person, None, by.confirmed, form.parents, kept)
    else:
        saying = Saying(shaft, says, by.person, read_at, by.confirmed, form=round_key(shaft))
    return record_entry(place, saying)


def thickness(place: Workplace, typed: Mapping[str, str], unit: str) -> str:
    """Thickness of two typed depths, for people."""
    from fieldapp.desk.rounds.entry import thickness_text

    return thickness_text(place, typed.get("first_contact", ""), typed.get("firm", ""), unit)


def _texts_by_label(found: object) -> dict[str, Texts]:
    return {label: texts_of(texts) for label, texts in found.items()} if isinstance(found, Mapping) else {}
