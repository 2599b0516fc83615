"""One shaft: its stages, what is out of limits or not shown in each, its base, and the next useful thing."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any, Final

from kivy.properties import StringProperty
from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks, asks_walk, ways
from fieldapp.ui.screens.base_stage import BaseStage
from fieldapp.ui.screens.onward import BASE, Onward
from fieldapp.ui.screens.shaft_rows import ListHead, NotAsked, entry_row, finding_rows, head_rows, pass_rows
from fieldapp.ui.screens.sides import Sides, stage_of
from fieldapp.ui.session import Session
from fieldapp.ui.walk import SCREENS, Walk
from fieldapp.ui.widgets.boxed import Ground
from fieldapp.ui.widgets.button_grid import ButtonGrid
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.words import common
from fieldapp.ui.words import shaft as words
from fieldapp.ui.words.tongue import told, tr

if TYPE_CHECKING:
    from fieldapp.desk.shaft.view import StageView

REGISTERED = (Notice, Pages)
RELEASE: Final = "Release"
NOTES: Final = "Pictures and notes"
CONCRETE_STARTED: Final = "concrete started"
NOT_ASKED: Final = "not asked"
OF_STAGE, OF_SHAFT = "stage", "shaft"


class ShaftMiddle(Ground):
    """What one stage shows, and a sentence when something cannot be shown."""

    notice = StringProperty("")


class StageButtons(ButtonGrid):
    """What can be recorded in a stage."""


class ShaftScreen(Screen):
    """Opened with the shaft, and the stage to begin with when it matters."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.middle = ShaftMiddle()
        self.sides = Sides(session, self.middle, self.show_stage, self._reason)
        self.add_widget(self.sides.frame)
        self.sides.bar.bind(on_back=lambda _bar: way.back())
        self.onward = Onward(way, self.sides, self.show_stage)
        self.shaft = self.stage = ""
        self.page: asks.ShaftPage | None = None
        self.base = BaseStage()

    def open(self, shaft: str, stage: str = "") -> None:
        if shaft != self.shaft:
            self.shaft, self.page, self.base = shaft, None, BaseStage()
            self.middle.ids.pages.clear()
            self.sides.name(shaft)
        self.stage = stage
        self.again()

    def again(self) -> None:
        """Ask for the shaft anew: something may have been recorded."""
        shaft = self.shaft
        self.middle.notice = ""
        self.session.ask(
            lambda place: asks.shaft_page(place, shaft, self.session.moment(place, shaft)),
            partial(self._show, shaft),
            self._refused,
        )

    def goes_back(self) -> bool:
        return False

    def show_stage(self, stage: str) -> None:
        """Show what one stage holds, or open the screen that the stage is."""
        if self.page is None:
            return
        if self._is_a_screen(stage):
            self._stay(stage)
            self.way.go(ways.OF_STAGE[stage].screen, shaft=self.shaft)
            return
        self.stage = self.sides.rail.chosen = stage
        self.onward.show(self.page, stage)
        found = next(each for each in self.page.view.stages if each.name == stage)
        pages = self.middle.ids.pages
        pages.clear()
        for row in (*self._buttons(found), *self._base(), *finding_rows(found)):
            pages.add_widget(row)
        if stage in words.DECIDED_ELSEWHERE and not found.findings:
            pages.add_widget(NotAsked(text=tr(words.DECIDED_ELSEWHERE[stage])))
        pages.scroller.scroll_y = 1.0
        self._ask_for_more(stage)

    def _is_a_screen(self, stage: str) -> bool:
        """Concrete is recorded in the stage of the release, once it may come or has come."""
        page = self.page
        assert page is not None
        if stage not in ways.OF_STAGE or ways.OF_STAGE[stage].screen not in SCREENS:
            return False
        return stage != RELEASE or not (page.view.concrete_in or page.view.release_until is not None)

    def _stay(self, stage: str) -> None:
        """The stage to come back to, for the way back must not lead to the same screen again."""
        if self.stage in {"", stage}:
            self.stage = BASE

    def _buttons(self, stage: StageView) -> list[StageButtons]:
        page = self.page
        assert page is not None
        kinds = [each for each in stage.kinds if self._offers(each)]
        if stage.name == NOTES and not page.view.concrete_in and page.view.release_until is None:
            kinds += [CONCRETE_STARTED] if self.onward.able(ways.way_of_kind(CONCRETE_STARTED)) else []
        kinds += [ways.EARLIER_TEST] if self._has_earlier_tests(stage) else []
        items = [(each, self._caption(each)) for each in kinds]
        if stage.name == RELEASE and ways.OF_STAGE[RELEASE].screen in SCREENS:
            decided = page.view.concrete_in  # nothing is left to decide, and all of it can still be seen
            items.append((RELEASE, tr(words.RELEASE_MADE if decided else words.OPEN_STAGE[RELEASE])))
        if not items:
            return []
        buttons = StageButtons(items=items, least="72dp")
        buttons.bind(on_choose=lambda _buttons, kind: self._record(kind))
        return [buttons]

    def _has_earlier_tests(self, stage: StageView) -> bool:
        """Whether there is a fluid to be tested as it is introduced and while drilling."""
        return ways.FLUID_TEST in stage.kinds and stage.state != NOT_ASKED

    def _offers(self, kind: str) -> bool:
        """Whether a kind can be recorded, and the strip does not offer it anyhow."""
        view, way = self.page.view if self.page else None, ways.way_of_kind(kind)
        offered = {ways.OF_WORK.get(view.next_work), ways.OF_WORK.get(self.onward.second)} if view else set()
        return self.onward.able(way) and not (way.screen != ways.ENTRY and way in offered)

    def _caption(self, kind: str) -> str:
        assert self.page is not None
        name = tr(words.EARLIER_TEST if kind == ways.EARLIER_TEST else kind)
        return tr(words.GO_ON_WITH, kind=name) if kind in self.page.begun else common.sentence(name)

    def _record(self, kind: str) -> None:
        self.onward.open(ways.OF_STAGE[RELEASE] if kind == RELEASE else ways.way_of_kind(kind))

    def _base(self) -> list[BaseStage]:
        if self.stage != BASE or self.page is None:
            return []
        self.base.show(self.page.view.rounds)
        return [self.base]

    def _ask_for_more(self, stage: str) -> None:
        shaft, page = self.shaft, self.page

        def show(more: asks_walk.StageMore) -> None:
            if self.page is page and self.stage == stage:
                self._show_more(more)

        self.session.ask(
            lambda place: asks_walk.stage_more(place, shaft, stage, self.session.moment(place, shaft)),
            show,
            self._refused,
        )

    def _show_more(self, more: asks_walk.StageMore) -> None:
        content = self.middle.ids.pages.content
        figures = [*(head_rows(more.heads) if more.heads else ())]
        figures += pass_rows(more.passes) if more.passes else ()
        after_buttons = sum(isinstance(each, StageButtons) for each in content.children)
        for place, row in enumerate(figures):
            content.add_widget(row, index=len(content.children) - after_buttons - place)
        if more.last:
            content.add_widget(ListHead(text=tr(words.LAST_ENTRIES)))
        for each in more.last:
            content.add_widget(entry_row(each, self._open_entry))
        content.add_widget(self._ways_to_entries(more))

    def _ways_to_entries(self, more: asks_walk.StageMore) -> StageButtons:
        items = [(OF_SHAFT, tr(words.ALL_OF_SHAFT, count=more.in_shaft))]
        if more.in_stage:
            stage = tr(words.ALL_OF_STAGE, count=more.in_stage, stage=tr(self.stage))
            items.insert(0, (OF_STAGE, stage))
        buttons = StageButtons(items=items)
        buttons.bind(on_choose=lambda _buttons, which: self._open_entries(which))
        return buttons

    def _open_entries(self, which: str) -> None:
        self.way.go(ways.TIMELINE, shaft=self.shaft, stage=self.stage if which == OF_STAGE else "")

    def _open_entry(self, entry: str) -> None:
        self.way.go(ways.TIMELINE, shaft=self.shaft, stage=self.stage, entry=entry)

    def _reason(self, requirement: str) -> None:
        if self.page is not None:
            self.onward.reason(requirement)

    def _show(self, shaft: str, page: asks.ShaftPage) -> None:
        if shaft != self.shaft:
            return
        self.page = self.onward.page = page
        view = page.view
        if not self.stage:
            self.stage = stage_of(view, view.reasons[0].requirement) if view.reasons else view.next_stage
            self._stay(self.stage if self._is_a_screen(self.stage) else "")
        self.sides.fill(view, self.stage)
        self.show_stage(self.stage)

    def _refused(self, problem: Exception) -> None:
        self.middle.notice = told(problem)


load_beside(__file__)
