"""One shaft: its stages, what is out of limits or not shown in each, its base, and the next useful thing."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any, Final

from kivy.properties import StringProperty
from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks
from fieldapp.ui.moments import day_and_time
from fieldapp.ui.screens.base_stage import BaseStage
from fieldapp.ui.screens.sides import Sides, stage_of
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.boxed import Ground
from fieldapp.ui.widgets.finding_block import FindingBlock
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.text import Caption
from fieldapp.ui.words import common
from fieldapp.ui.words import shaft as words
from fieldapp.ui.words.tongue import told, tr

if TYPE_CHECKING:
    from fieldapp.criteria.finding import Finding
    from fieldapp.desk.shaft_view import StageView

REGISTERED = (Notice, Pages)
BASE: Final = "Base"
FLUID: Final = "Fluid"
_ORDER: Final = ("not met", "not shown", "met")
_NOT_ASKED: Final = "not asked"
FORMS: Final = {common.SOUND: "round", common.TEST_FLUID: "fluid"}
_OF_STAGE: Final = {BASE: common.SOUND, FLUID: common.TEST_FLUID}


class ShaftMiddle(Ground):
    """What one stage shows, and a sentence when something cannot be shown."""

    notice = StringProperty("")


class NotAsked(Caption):
    """The requirements of a stage that the acceptance set does not ask for, in one line."""


class ShaftScreen(Screen):
    """Opened with the shaft, and the stage to begin with when it matters."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.middle = ShaftMiddle()
        self.sides = Sides(session, self.middle, self.show_stage)
        self.add_widget(self.sides.frame)
        self.sides.bar.bind(on_back=lambda _bar: way.back())
        self.sides.strip.bind(
            on_next=lambda _strip: self._go_next(), on_second=lambda _strip: self._go_second()
        )
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
        """Show what one stage holds."""
        if self.page is None:
            return
        view = self.page.view
        self.stage = self.sides.rail.chosen = stage
        pages = self.middle.ids.pages
        pages.clear()
        if stage == BASE:
            self.base.show(view.rounds)
            pages.add_widget(self.base)
        found = next(each for each in view.stages if each.name == stage)
        for row in _rows(found):
            pages.add_widget(row)
        pages.scroller.scroll_y = 1.0
        self._show_foot()

    def _show(self, shaft: str, page: asks.ShaftPage) -> None:
        if shaft != self.shaft:
            return
        self.page = page
        view = page.view
        if not self.stage:
            self.stage = stage_of(view, view.reasons[0].requirement) if view.reasons else BASE
        self.sides.fill(view, self.stage)
        self.show_stage(self.stage)

    def _refused(self, problem: Exception) -> None:
        self.middle.notice = told(problem)

    def _show_foot(self) -> None:
        page = self.page
        assert page is not None
        strip, work = self.sides.strip, page.view.next_work
        whole = common.step(page.view.next_step)
        step = tr(self._begun(work)) or common.kept_small(whole)
        strip.next_text = tr(common.NEXT, step=step) if ":" not in step else whole
        strip.next_able = self._able(work) or self._stage_of_next() != self.stage
        here = _OF_STAGE.get(self.stage, "")
        offered = self._able(here) and here != work
        strip.second_text = common.sentence(tr(self._begun(here) or here)) if offered else ""

    def _able(self, work: str) -> bool:
        page = self.page
        assert page is not None
        return {common.SOUND: page.can_sound, common.TEST_FLUID: page.can_test}.get(work, False)

    def _begun(self, work: str) -> str:
        page = self.page
        assert page is not None
        if work == common.SOUND and page.round_begun:
            return common.GO_ON_WITH_ROUND
        return common.GO_ON_WITH_FLUID if work == common.TEST_FLUID and page.fluid_begun else ""

    def _stage_of_next(self) -> str:
        page = self.page
        assert page is not None
        return stage_of(page.view, page.view.next_serves) if page.view.next_serves else self.stage

    def _go_next(self) -> None:
        assert self.page is not None
        work = self.page.view.next_work
        if self._able(work):
            self.way.go(FORMS[work], shaft=self.shaft)
        else:
            self.show_stage(self._stage_of_next())

    def _go_second(self) -> None:
        self.way.go(FORMS[_OF_STAGE[self.stage]], shaft=self.shaft)


def _rows(stage: StageView) -> list[FindingBlock | NotAsked]:
    asked = [each for each in stage.findings if str(each.outcome) != _NOT_ASKED]
    asked.sort(key=lambda each: _ORDER.index(str(each.outcome)))
    rows: list[FindingBlock | NotAsked] = [_row(each) for each in asked]
    rest = ", ".join(tr(each.requirement) for each in stage.findings if str(each.outcome) == _NOT_ASKED)
    if rest:
        rows.append(NotAsked(text=tr(words.NOT_ASKED, names=rest)))
    return rows


def _row(found: Finding) -> FindingBlock:
    return FindingBlock(
        shown=str(found.outcome),
        title=tr(found.requirement),
        says=tr(found.says),
        asked=tr(found.limit),
        when=day_and_time(found.when) if found.when else "",
        source=tr(words.SOURCE, source=tr(found.source)) if found.source else "",
    )


load_beside(__file__)
