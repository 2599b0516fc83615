"""What outlives the screens does not keep them: built anew, the ones of before are gone."""

from __future__ import annotations

import gc
import sys
import weakref

import pytest

from fieldapp.ui.jobs import KEPT_S, Jobs
from fieldapp.ui.walk import KEPT
from tests.screens.journey import begin, set_out

OPENED = (
    *(("people", {}), ("settings", {}), ("setup", {}), ("acceptance", {}), ("projects", {})),
    *(("person page", {"person": "Inspector A"}), ("papers", {"shaft": "P2-1"})),
    *(("shaft", {"shaft": "P2-1"}), ("timeline", {"shaft": "P2-1"}), ("round", {"shaft": "P2-1"})),
    *(("entry", {"shaft": "P2-1", "kind": "note"}), ("signoff", {"shaft": "P2-1"})),
)


def test_screens_that_were_built_anew_are_gone(hand, tmp_path):
    on = set_out(hand, begin(tmp_path / "larkwater", "larkwater", ("P2-1",)))
    try:
        on.session.person = "Inspector A"
        for name, given in OPENED:
            on.walk.go(name, **given)
            on.wait()
        before = {each.name: weakref.ref(each) for each in on.walk.screens}
        assert set(before) > {name for name, _ in OPENED}
        on.walk.trail = ["board"]
        on.walk.rebuild()
        on.wait()

        def gone() -> bool:
            gc.collect()
            return all(screen() is None for screen in before.values())

        hand.until(gone, 10)  # what waits for a moment before it writes holds its screen for that moment
    finally:
        on.leave()


@pytest.mark.long_walk
def test_screens_that_are_no_longer_on_the_way_give_their_memory_back(hand, tmp_path):
    on = set_out(hand, begin(tmp_path / "larkwater", "larkwater", ("P2-1",)))
    try:
        on.session.person = "Inspector A"
        on.walk.go("papers", shaft="P2-1")
        on.wait()
        papers = on.screen
        papers.progress.running = True
        for name, given in OPENED:
            on.walk.go("board")
            if name != "papers":
                on.walk.go(name, **given)
            on.wait()
            assert set(on.walk.trail) <= set(on.walk.screen_names)
        kept = set(on.walk.screen_names) - set(on.walk.trail)
        assert papers in on.walk.screens  # its log is in the making
        assert len(kept - {"papers"}) == KEPT
        papers.progress.running = False
        on.walk.back()
        on.walk.go("people")
        on.wait()
        assert papers not in on.walk.screens
        assert on.walk.back()
        assert on.walk.current == "board"
    finally:
        on.leave()


def test_a_worker_gives_the_interpreter_back_to_the_screen_sooner_than_usual():
    usual = sys.getswitchinterval()
    try:
        sys.setswitchinterval(0.005)
        Jobs().close()
        assert sys.getswitchinterval() == pytest.approx(KEPT_S)
    finally:
        sys.setswitchinterval(usual)
