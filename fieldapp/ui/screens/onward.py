"""The way on from a shaft: the next useful thing, the other one of a stage, and what settles a reason."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from fieldapp.ui import ways
from fieldapp.ui.screens.sides import stage_of
from fieldapp.ui.walk import SCREENS, Walk
from fieldapp.ui.ways import Way
from fieldapp.ui.words import common
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.ui import asks
    from fieldapp.ui.screens.sides import Sides

BASE: Final = "Base"
FLUID: Final = "Fluid"
_OF_STAGE: Final = {BASE: common.SOUND, FLUID: common.TEST_FLUID}


class Onward:
    """Fills the foot of the strip for a stage; ``show_stage`` is called where no screen can be opened."""

    def __init__(self, way: Walk, sides: Sides, show_stage: Callable[[str], None]) -> None:
        self._way, self._sides, self._show_stage = way, sides, show_stage
        self.page: asks.ShaftPage | None = None
        self.stage = ""
        sides.strip.bind(on_next=lambda _strip: self._go_next(), on_second=lambda _strip: self._go_second())

    def show(self, page: asks.ShaftPage, stage: str) -> None:
        """Offer the next useful thing, and what the stage has beside it."""
        self.page, self.stage = page, stage
        strip, work = self._sides.strip, page.view.next_work
        whole = common.step(page.view.next_step)
        step = tr(self._instead(work)) or common.kept_small(whole)
        strip.next_text = tr(common.NEXT, step=step) if ":" not in step else whole
        if self._timed is not None:
            strip.next_text = tr(common.WATCH_RUNS, kind=tr(page.timed))
        strip.next_able = self._way_of_next() is not None or page.view.next_stage != stage
        second = self.second
        strip.second_text = common.sentence(tr(self._begun(second) or second)) if second else ""

    @property
    def second(self) -> str:
        """The work of the stage that is not the next one anyhow; empty when there is none."""
        here = _OF_STAGE.get(self.stage, "")
        page = self.page
        if page is None or not here or not self.able(ways.OF_WORK[here]):
            return ""
        if self._timed is not None:
            return here if ways.OF_WORK[here] != self._timed else ""
        return here if here != page.view.next_work or self._cage_first else ""

    def able(self, way: Way) -> bool:
        """Whether a screen is there, and can be opened on the shaft as it stands."""
        page = self.page
        if page is None or way.screen not in SCREENS:
            return False
        if way.screen == ways.ROUND:
            return page.can_sound
        if way.screen == ways.FLUID:
            return page.can_test
        if way.screen != ways.ENTRY or way.of_project:
            return True
        return any(way.kind in each.kinds for each in page.view.stages)

    def open(self, way: Way) -> None:
        """Open a screen on this shaft."""
        page = self.page
        assert page is not None
        if way.of_project:
            given = {"shaft": "", "kind": way.kind} if way.kind else {}
        else:
            given = {"shaft": page.view.shaft}
            given |= {"kind": way.kind} if way.screen == ways.ENTRY else {}
        self._way.go(way.screen, **given)

    def reason(self, requirement: str) -> None:
        """Go to what settles a reason: the screen of its work, else its stage."""
        page = self.page
        assert page is not None
        found = next((each for each in page.view.reasons if each.requirement == requirement), None)
        way = ways.OF_WORK.get(str(found.work)) if found is not None and found.work else None
        if self._cage_first and requirement == ways.ROUNDS_MADE:
            way = ways.CAGE_SET
        if way is None and requirement == ways.BASE_REACHED:
            way = ways.way_of_kind("excavation stage")
        if way is not None and self.able(way) and not (page.view.concrete_in and self._of_open_hole(way)):
            self.open(way)
        else:
            self._show_stage(stage_of(page.view, requirement))

    def _of_open_hole(self, way: Way) -> bool:
        return way.screen in {ways.ROUND, ways.FLUID, ways.ENTRY} and not way.of_project

    def _way_of_next(self) -> Way | None:
        page = self.page
        assert page is not None
        view = page.view
        if self._timed is not None:
            return self._timed
        if self._cage_first:
            return ways.CAGE_SET
        way = ways.way_of_next(view.next_work, view.next_serves, view.next_stage, view.release)
        return way if way is not None and self.able(way) else None

    @property
    def _timed(self) -> Way | None:
        """The half-typed work whose stopwatch runs: it comes before whatever else is next."""
        way = ways.way_of_kind(self.page.timed) if self.page is not None and self.page.timed else None
        return way if way is not None and self.able(way) else None

    @property
    def _cage_first(self) -> bool:
        """Whether the cage comes before the next round; one that is half typed is finished all the same."""
        page = self.page
        return page is not None and page.cage_first and not page.round_begun and self.able(ways.CAGE_SET)

    def _instead(self, work: str) -> str:
        """What the next thing is called where it is not the work itself."""
        return common.RECORD_CAGE if self._cage_first else self._begun(work)

    def _begun(self, work: str) -> str:
        page = self.page
        assert page is not None
        if work == common.SOUND and page.round_begun:
            return common.GO_ON_WITH_ROUND
        return common.GO_ON_WITH_FLUID if work == common.TEST_FLUID and page.fluid_begun else ""

    def _go_next(self) -> None:
        page = self.page
        if page is None:
            return
        way = self._way_of_next()
        if way is not None:
            self.open(way)
        else:
            self._show_stage(page.view.next_stage)

    def _go_second(self) -> None:
        if self.second:
            self.open(ways.OF_WORK[self.second])
