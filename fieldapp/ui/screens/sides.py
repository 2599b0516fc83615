"""What stands around the middle of every screen of a shaft: bar, rail, strip, filled from one view."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING, Final

from kivy.clock import Clock
from kivy.uix.widget import Widget

from fieldapp.ui.moments import apart, day, hours_minutes, remaining, with_month
from fieldapp.ui.session import Session
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.widgets.frame import ShaftFrame
from fieldapp.ui.widgets.rail import Rail, Stage
from fieldapp.ui.widgets.strip import Reason, Strip
from fieldapp.ui.words import common
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.shaft.view import ShaftView

RELEASE_UNTIL: Final = "release_until"
TICK_S: Final = 10.0


class Sides:
    """The frame of a screen of one shaft.

    ``on_stage`` is called with the stage that is asked for, ``on_reason`` with the requirement of a reason
    that was tapped; without it the reason leads to its stage.
    """

    def __init__(
        self,
        session: Session,
        middle: Widget,
        on_stage: Callable[[str], None],
        on_reason: Callable[[str], None] | None = None,
    ) -> None:
        self.session = session
        self.bar, self.rail, self.strip = Bar(), Rail(), Strip()
        self.frame = ShaftFrame(bar=self.bar, rail=self.rail, middle=middle, strip=self.strip)
        self.view: ShaftView | None = None
        self._on_stage, self._on_reason = on_stage, on_reason
        self._filled_at: datetime | None = None
        self._runs_only = False
        self.rail.bind(on_stage=lambda _rail, stage: on_stage(stage))
        self.strip.bind(on_reason=lambda _strip, requirement: self._to_reason(requirement))
        session.bind(saved=self._say_saved, person=self._say_saved)
        Clock.schedule_interval(self._count_down, TICK_S)  # held weakly: it ends with this frame

    def name(self, shaft: str) -> None:
        """Say where we are before anything is known of it; what is shown of this very shaft may stay."""
        if self.view is not None and self.view.shaft == shaft:
            return
        self.view = None
        self.bar.title, self.bar.subtitle, self.bar.right = shaft, tr(common.WORKING), ""
        self.rail.stages, self.strip.reasons = [], []
        self.strip.caption = tr(common.STANDING) if shaft else ""  # an entry of the project has no base
        self.strip.shown = self.strip.word = self.strip.next_text = self.strip.second_text = ""
        self.strip.clock_caption = self.strip.clock = self.strip.clock_note = ""

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
        self._filled_at = self.session.clock.now("UTC") if view.live else None
        self._runs_only = clock_runs_only
        self._show_clock()
        self._say_saved()

    def _show_clock(self) -> None:
        view, strip = self.view, self.strip
        if view is None:
            return
        caption, clock, note = _clock(view, self._now(view))
        shown = not self._runs_only or _runs(view)
        strip.clock_caption, strip.clock, strip.clock_note = (caption, clock, note) if shown else ("", "", "")

    def _now(self, view: ShaftView) -> datetime:
        """The moment of the view, gone on with the clock when it is the present one."""
        if self._filled_at is None:
            return view.at
        return view.at + max(self.session.clock.now("UTC") - self._filled_at, view.at - view.at)

    def _count_down(self, *_: object) -> None:
        if self.view is not None and self.view.live and self.frame.get_parent_window() is not None:
            self._show_clock()

    def _say_saved(self, *_: object) -> None:
        if self.view is None:
            return
        saved = tr(common.SAVED, time=self.session.saved) if self.session.saved else ""
        second = ", ".join(each for each in (self.session.person, saved) if each)
        self.bar.right = "\n".join(
            each for each in (tr(common.AS_OF, time=with_month(self.view.as_of)), second) if each
        )

    def _to_reason(self, requirement: str) -> None:
        if self.view is None:
            return
        if self._on_reason is not None:
            self._on_reason(requirement)
        else:
            self._on_stage(stage_of(self.view, requirement))


def stage_of(view: ShaftView, requirement: str) -> str:
    """The stage that a requirement belongs to; the first one when it belongs to none."""
    for each in view.stages:
        if any(found.requirement == requirement for found in each.findings):
            return each.name
    return view.stages[0].name


def _runs(view: ShaftView) -> bool:
    return view.release_until is not None and not view.concrete_in and view.at < view.release_until


def _clock(view: ShaftView, at: datetime) -> tuple[str, str, str]:
    """Caption, clock and what is left of it: the soonest that runs, else as of when the shaft is shown."""
    running = list(view.clocks)
    if _runs(view) and view.release_until is not None:
        running.insert(0, (RELEASE_UNTIL, view.release_until))
    if running:
        name, moment = min(running, key=lambda each: each[1])
        caption, time, note = _running(name, moment.astimezone(view.at.tzinfo), at)
    else:
        time, date = apart(with_month(view.as_of))
        caption, note = tr(common.AS_OF, time=date), ""
    return _with_state(view, caption), time, note


def _with_state(view: ShaftView, caption: str) -> str:
    """What the clock is for, after what stands of the decision on concrete: a hold, a release that lapsed."""
    status, _, _ = view.release.partition(" until ")
    state = common.CONCRETE_IN if view.concrete_in else common.RELEASE_STATES.get(status, "")
    if not state or _runs(view):  # the clock of a release says it itself
        return caption
    return tr(common.STATE_AND_TIME, state=tr(state), as_of=caption)


def _running(name: str, moment: datetime, at: datetime) -> tuple[str, str, str]:
    time = hours_minutes(moment)
    if at > moment:
        return tr(common.CLOCKS_OVER[name]), time, day(moment) if moment.date() != at.date() else ""
    left = tr(common.TIME_LEFT, left=remaining(moment - at))
    return tr(common.CLOCKS[name], time=day(moment)), time, left
