"""The project summary by touch: made beside the work, stopped without a file, listed with what it shows."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from fieldapp.ui.widgets.theme import theme
from tests.screens.decision_journey import CLEAN, INSPECTOR, decision_project, go, opened, said
from tests.support.driver import LANDSCAPE, PORTRAIT, Driver


@pytest.fixture
def site(hand: Driver, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Any]:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    folder = decision_project(tmp_path, CLEAN)
    on, _ = opened(hand, folder, CLEAN[2].replace(hour=14))
    on.session.person = INSPECTOR
    yield on, folder
    on.leave()


def summaries(folder: Path) -> list[str]:
    return sorted(each.name for each in folder.glob("reports/project-summary-*.pdf"))


def test_it_is_made_from_the_papers_of_the_project_and_listed(site):
    on, folder = site
    go(on, "papers")
    assert on.middle.next_text == "Make the project summary"
    on.hand.tap(on.middle.next)
    assert on.screen.progress.text.startswith("Making the project summary")
    on.hand.until(lambda: not on.screen.progress.running, 60)
    on.wait()
    (made,) = summaries(folder)
    assert said(on) == f"Saved as {made}."
    assert "Project summary" in on.texts()
    assert "not signed; shows the record as it is" in on.texts()


def test_it_tells_which_shaft_it_is_at(site):
    on, _ = site
    go(on, "papers")
    on.hand.tap(on.middle.next)
    told = set()

    def done() -> bool:
        told.add(on.screen.progress.text)
        return not on.screen.progress.running

    on.hand.until(done, 60)
    assert any(each.startswith("Making the project summary, shaft ") for each in told), told


def test_one_that_was_cancelled_leaves_no_file(site):
    on, folder = site
    go(on, "papers")
    on.hand.tap(on.middle.next)
    assert on.screen.progress.running
    on.hand.tap(on.screen.progress.cancel)
    assert said(on) == "Not made. No file was left."
    on.screen._jobs.close()  # the worker ends what it was at
    on.wait()
    assert summaries(folder) == []


@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
def test_nothing_is_cut_while_it_is_made(site, hand, size):
    on, _ = site
    hand.resize(size)
    go(on, "papers")
    on.screen.progress.text = (
        "Making the project summary, shaft 123 of 500. Go on with your work; nothing waits for it."
    )
    on.screen.progress.cancel_text, on.screen.progress.running = "Do not make it", True
    for scale in (1.0, 1.5, 2.0):
        theme.text_scale = scale
        hand.settle()
        assert (scale, hand.cut_labels(), hand.small_targets()) == (scale, [], [])
    on.screen.progress.running = False
