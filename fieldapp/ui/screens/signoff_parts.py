"""What the screens of decisions have in common: findings as rows, stages that lead on, reading to the end."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from kivy.clock import Clock
from kivy.uix.widget import Widget

from fieldapp.ui import ways
from fieldapp.ui.moments import day_and_time
from fieldapp.ui.walk import SCREENS, Walk
from fieldapp.ui.widgets.evidence_table import Shown
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.words import shaft as shaft_words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.criteria.finding import Finding

SIGN: Final = "Sign the log"
RELEASE: Final = "Release"
CREDIT: Final = "Credit"
ASK_ENGINEER: Final = "ask the engineer"
REST_S: Final = 0.15


def to_stage(way: Walk, shaft: str, stage: str) -> None:
    """Go to a stage of a shaft: to the screen of its decision, or to its findings."""
    if stage in ways.OF_STAGE:
        way.go(ways.OF_STAGE[stage].screen, shaft=shaft)
    else:
        way.go("shaft", shaft=shaft, stage=stage)


def settles(work: str) -> bool:
    """Whether a screen of its own records this work."""
    return work in ways.OF_WORK and ways.OF_WORK[work].screen in SCREENS and work != ASK_ENGINEER


def settle(way: Walk, shaft: str, work: str) -> None:
    """Go to the screen that records what would settle something."""
    to = ways.OF_WORK[work]
    if to.of_project:
        way.go(to.screen, **({"shaft": "", "kind": to.kind} if to.kind else {}))
    else:
        way.go(to.screen, shaft=shaft, **({"kind": to.kind} if to.screen == ways.ENTRY else {}))


def shown(found: Finding) -> Shown:
    """A finding in the chosen language."""
    return Shown(
        state=str(found.outcome),
        title=tr(found.requirement),
        says=tr(found.says),
        asked=tr(found.limit),
        when=day_and_time(found.when) if found.when else "",
        source=tr(shaft_words.SOURCE, source=tr(found.source)) if found.source else "",
    )


class ReadToTheEnd:
    """Calls ``read`` once the lower edge of ``last`` was in view, with the layout at rest."""

    def __init__(self, pages: Pages, read: Callable[[], None]) -> None:
        self._pages, self._read = pages, read
        self.last: Widget | None = None
        self.done = False
        self._look = Clock.create_trigger(self._judge, REST_S)
        pages.scroller.bind(scroll_y=self._look, height=self._look)
        pages.content.bind(height=self._look)

    def begin(self, last: Widget) -> None:
        """Watch anew, for the end of this widget."""
        self.last, self.done = last, False
        self._look()

    def turn(self) -> None:
        """Turn a page, as the key under them does."""
        self._pages.keys.dispatch("on_turn", 1)

    def _judge(self, *_: object) -> None:
        last, view = self.last, self._pages.scroller
        if last is None or self.done or last.get_parent_window() is None or view.height < 2:
            return
        low = view.to_window(view.x, view.y)[1]
        if last.to_window(last.x, last.y)[1] >= low - 1:
            self.done = True
            self._read()
