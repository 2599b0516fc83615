"""What the screens ask of the desk, each question whole, so that one visit to the worker answers it.

Everything here runs on the worker with the project in hand.  Half-typed forms are plain mappings under a
key of their own, on disk after every point or field.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, TypeVar

from fieldapp.ui.ways import EARLIER_TEST, FLUID_TEST, ROUNDS_MADE, SOUND, SOUNDING_ROUND

if TYPE_CHECKING:
    from fieldapp.desk.rounds.form import RoundForm
    from fieldapp.desk.shaft.view import ShaftView
    from fieldapp.desk.workplace import Workplace

T = TypeVar("T")
Texts = dict[str, str]
Moment = datetime | None


@dataclass(frozen=True, slots=True)
class ShaftPage:
    """One shaft to be shown: its view, which forms can be opened on it, which kinds are half typed.

    ``cage_first``: the rounds that are still asked for count only once the cage is recorded as set.
    ``timed`` is the half-typed kind whose stopwatch runs, empty where none does.
    """

    view: ShaftView
    can_sound: bool
    can_test: bool
    begun: frozenset[str]
    cage_first: bool = False
    timed: str = ""

    @property
    def round_begun(self) -> bool:
        """Whether a round is half typed."""
        return "sounding round" in self.begun

    @property
    def fluid_begun(self) -> bool:
        """Whether a fluid sample is half typed."""
        return "fluid test" in self.begun


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
    from fieldapp.desk.entry_forms.fluid_form import fluid_form
    from fieldapp.desk.rounds.form import round_form
    from fieldapp.desk.shaft.view import shaft_view

    view = shaft_view(place, shaft, at)
    sounding = _form(lambda: round_form(place, shaft))
    begun = _begun(place, shaft)
    return ShaftPage(
        view,
        can_sound=sounding is not None,
        can_test=not view.concrete_in and _form(lambda: fluid_form(place, shaft)) is not None,
        begun=frozenset(begun),
        cage_first=sounding is not None and _waits_for_cage(view, sounding),
        timed=next((kind for kind, timed in begun.items() if timed), ""),
    )


def _waits_for_cage(view: ShaftView, sounding: RoundForm) -> bool:
    """Whether one more round now would be another one after the pass, and settle nothing.

    The rounds after the cage and before concrete are known by the event before them.
    """
    from fieldapp.record.words import RoundWhy

    serves = view.next_work == SOUND and view.next_serves == ROUNDS_MADE
    return serves and sounding.why in (RoundWhy.AFTER_PASS, RoundWhy.OTHER)


def _begun(place: Workplace, shaft: str) -> dict[str, bool]:
    """Kinds of entries that are half typed on a shaft, each with whether its stopwatch runs.

    An amendment that is half typed is none.
    """
    from fieldapp.desk.inspector import kept_form

    found = {}
    for key in (each.key for each in place.journal.forms() if each.shaft == shaft):
        kind = {round_key(shaft): SOUNDING_ROUND, fluid_key(shaft): FLUID_TEST}.get(key, "")
        if key.startswith("entry "):
            kind = key.removeprefix("entry ").removesuffix(f" {shaft}")
            kind = EARLIER_TEST if kind == FLUID_TEST else kind  # before concrete it has its own screen
        if kind:
            found[kind] = bool((kept_form(place, key) or {}).get("watch"))
    return found


def _form(form: Callable[[], T]) -> T | None:
    """A form, or None where the shaft has not come so far or is past it."""
    from fieldapp.desk.looking import NotOpen

    try:
        return form()
    except NotOpen:
        return None


def round_key(shaft: str) -> str:
    return f"round {shaft}"


def fluid_key(shaft: str) -> str:
    return f"fluid {shaft}"


def _mapping(found: object) -> dict[str, object]:
    return dict(found) if isinstance(found, Mapping) else {}


def texts_of(found: object) -> Texts:
    return {name: str(text) for name, text in _mapping(found).items()}
