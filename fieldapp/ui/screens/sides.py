"""What stands around the middle of every screen of a shaft: bar, rail, strip, filled from one view."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from kivy.uix.widget import Widget

from fieldapp.ui.moments import apart, with_month
from fieldapp.ui.session import Session
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.widgets.frame import ShaftFrame
from fieldapp.ui.widgets.rail import Rail, Stage
from fieldapp.ui.widgets.strip import Reason, Strip
from fieldapp.ui.words import common
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.shaft_view import ShaftView

RELEASED: Final = "released"


class Sides:
    """The frame of a screen of one shaft.  ``on_stage`` is called with the stage that is asked for."""

    def __init__(self, session: Session, middle: Widget, on_stage: Callable[[str], None]) -> None:
        self.session = session
        self.bar, self.rail, self.strip = Bar(), Rail(), Strip()
        self.frame = ShaftFrame(bar=self.bar, rail=self.rail, middle=middle, strip=self.strip)
        self.view: ShaftView | None = None
        self._on_stage = on_stage
        self.rail.bind(on_stage=lambda _rail, stage: on_stage(stage))
        self.strip.bind(on_reason=lambda _strip, requirement: self._to_reason(requirement))
        session.bind(saved=self._say_saved, person=self._say_saved)

    def name(self, shaft: str) -> None:
        """Say where we are before anything is known of it; what is shown of this very shaft may stay."""
        if self.view is not None and self.view.shaft == shaft:
            return
        self.view = None
        self.bar.title, self.bar.subtitle, self.bar.right = shaft, tr(common.WORKING), ""
        self.rail.stages, self.strip.reasons = [], []
        self.strip.shown = self.strip.word = self.strip.next_text = self.strip.second_text = ""
        self.strip.clock_caption = self.strip.clock = ""

    def fill(self, view: ShaftView, chosen: str, *, clock_runs_only: bool = False) -> None:
        """Show the standing with its reasons, the stages, and the clock that matters.

        A form needs the room: there ``clock_runs_only`` leaves the clock out unless a release is running.
        """
        self.view = view
        self.bar.title, self.bar.subtitle = view.shaft, tr(view.subtitle)
        self.rail.stages = [Stage(each.name, tr(each.name), each.state) for each in view.stages]
        self.rail.chosen = chosen
        self.strip.caption = tr(common.STANDING)
        self.strip.shown, self.strip.word = view.standing_shape, tr(view.standing)
        self.strip.reasons = [
            Reason(str(each.outcome), tr(each.says), each.requirement) for each in view.reasons
        ]
        caption, clock = _clock(view)
        shown = not clock_runs_only or _runs(view)
        self.strip.clock_caption, self.strip.clock = (caption, clock) if shown else ("", "")
        self._say_saved()

    def _say_saved(self, *_: object) -> None:
        if self.view is None:
            return
        saved = tr(common.SAVED, time=self.session.saved) if self.session.saved else ""
        second = ", ".join(each for each in (self.session.person, saved) if each)
        self.bar.right = "\n".join(
            each for each in (tr(common.AS_OF, time=with_month(self.view.as_of)), second) if each
        )

    def _to_reason(self, requirement: str) -> None:
        if self.view is not None:
            self._on_stage(stage_of(self.view, requirement))


def stage_of(view: ShaftView, requirement: str) -> str:
    """The stage that a requirement belongs to; the first one when it belongs to none."""
    for each in view.stages:
        if any(found.requirement == requirement for found in each.findings):
            return each.name
    return view.stages[0].name


def _runs(view: ShaftView) -> bool:
    status, _, until = view.release.partition(" until ")
    return status == RELEASED and bool(until) and not view.concrete_in


def _clock(view: ShaftView) -> tuple[str, str]:
    """Caption and clock: until when a release holds, else as of when the shaft is shown."""
    status, _, until = view.release.partition(" until ")
    runs = _runs(view)
    time, date = apart(with_month(until if runs else view.as_of))
    if runs:
        return tr(common.RELEASED_UNTIL, time=date), time
    state = common.CONCRETE_IN if view.concrete_in else common.RELEASE_STATES.get(status, "")
    as_of = tr(common.AS_OF, time=date)
    return (tr(common.STATE_AND_TIME, state=tr(state), as_of=as_of) if state else as_of), time
