"""Stopping a decision: in time nothing is written, too late nothing is stopped, and both sides are told."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier

import pytest

from fieldapp.desk.decisions.signing_off import SIGN_OPEN, SignOffAsked, sign_off
from fieldapp.desk.papers.paper import Pen
from fieldapp.desk.papers.signing import countersign
from fieldapp.desk.turning_point import Stopped, TurningPoint
from fieldapp.record.words import Role
from tests.desk.decision_site import SANDY, Site, site
from tests.desk.signed_work import ENGINEER, INSPECTOR


@pytest.fixture
def sandy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Site]:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    with site(tmp_path / "sandy", SANDY) as made:
        yield made


def sign(at: Site, turning: TurningPoint) -> Path:
    asked = SignOffAsked(confirmed=(SIGN_OPEN,), turning=turning)
    return sign_off(at.place, at.shaft, asked, INSPECTOR, at.keys[INSPECTOR])[1].path


def test_a_sign_off_that_is_stopped_in_time_leaves_neither_entry_nor_paper(sandy: Site) -> None:
    turning = TurningPoint()
    assert turning.stop()
    says = sandy.writes_nothing(Stopped, lambda: sign(sandy, turning))
    assert says == "Stopped. Nothing was signed, and nothing was written."
    assert list(sandy.place.folder.glob("reports/*.pdf")) == []


def test_what_is_stopped_asks_no_more_questions(sandy: Site) -> None:
    turning = TurningPoint()
    turning.stop()
    asked = SignOffAsked(turning=turning)
    sandy.writes_nothing(
        Stopped, lambda: sign_off(sandy.place, sandy.shaft, asked, INSPECTOR, sandy.keys[INSPECTOR])
    )


def test_a_sign_off_that_began_goes_on_to_its_paper_whoever_stops_it(sandy: Site) -> None:
    answers: list[bool] = []
    turning = TurningPoint(lambda: answers.append(turning.stop()))
    path = sign(sandy, turning)
    assert answers == [False]
    assert path.read_bytes().startswith(b"%PDF-")
    assert "log signed" in [each.kind for each in sandy.place.entries()]


def test_a_further_signature_that_is_stopped_in_time_makes_no_file(sandy: Site) -> None:
    path = sign(sandy, TurningPoint())
    pen, turning = Pen(sandy.keys[ENGINEER], Role.RESIDENT_ENGINEER), TurningPoint()
    turning.stop()
    before = sorted(path.parent.iterdir())
    sandy.writes_nothing(Stopped, lambda: countersign(sandy.place, path, pen, (), turning))
    assert sorted(path.parent.iterdir()) == before
    assert countersign(sandy.place, path, pen).new


def passes(turning: TurningPoint) -> bool:
    try:
        turning.go_through()
    except Stopped:
        return False
    return True


def test_of_two_threads_at_one_instant_exactly_one_wins() -> None:
    for _ in range(200):
        with ThreadPoolExecutor(2) as threads:
            turning, start = TurningPoint(), Barrier(2)
            both = [
                threads.submit(lambda act, start=start, turning=turning: (start.wait(), act(turning))[1], act)
                for act in (TurningPoint.stop, passes)
            ]
            assert sorted(each.result() for each in both) == [False, True]
