"""The tablet dies while the inspector sounds: the real app is killed in its process, and opened again.

What its screens had acknowledged is there, what was half typed is offered as it was, nothing is there twice.
Killing leaves the page cache alone: it stands for a dead app, not for a power cut (see ``tests/crash``).
"""

from __future__ import annotations

import json
import signal
import subprocess
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from fieldapp.cli import run
from fieldapp.desk.workplace import open_project, read_project
from fieldapp.record.chain import breaks_in
from fieldapp.record.cleaning import SoundingRound
from fieldapp.ui import asks_round
from tests.screens.journey import DEVICE, SteppedClock, begin
from tests.screens.journeys.driven_app import DEPTHS
from tests.support.offscreen import environment

ROOT = Path(__file__).parents[3]
SHAFT = "P2-1"
TEXTS = {label: {"first_contact": first, "firm": firm} for label, (first, firm) in DEPTHS.items()}
BEFORE = 1  # rounds of the shaft in the sample log

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL of POSIX")


@dataclass(frozen=True)
class Kill:
    """The moment: after so many lines that begin with ``line``, and so many seconds later."""

    line: str
    times: int = 1
    wait_s: float = 0.0


@dataclass
class Tablet:
    """A folder whose app is killed again and again, and what it had said until then."""

    folder: Path
    saved: list[str] = field(default_factory=list)
    """Points that were acknowledged of the round in hand."""
    in_flight: str = ""
    """What was tapped and not yet acknowledged: a point, or the whole round."""
    first_typed: str = ""
    """The point whose first contact stood on the screen with the hand at rest."""
    recorded: int = 0

    def live(self, kill: Kill | None) -> None:
        """Open the app and let it work until it is killed, or to the end."""
        with subprocess.Popen(
            [sys.executable, "-m", "tests.screens.journeys.driven_app", str(self.folder), SHAFT],
            cwd=ROOT,
            env=environment(),
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
        ) as app:
            try:
                left = self.listen(app, kill)
            finally:
                if kill:
                    app.kill()
        assert app.returncode == (-signal.SIGKILL if kill else 0)
        assert left == 0, "the moment of the kill did not come"

    def listen(self, app: subprocess.Popen[str], kill: Kill | None) -> int:
        """Hear the app out, and kill it at its moment; how often its line was still to come."""
        assert app.stdout is not None
        left = kill.times if kill else 0
        for line in app.stdout:
            self.hear(line)
            if kill and left and line.startswith(kill.line):
                left -= 1
                if not left:
                    time.sleep(kill.wait_s)
                    app.send_signal(signal.SIGKILL)
        return left

    def hear(self, line: str) -> None:
        what, _, rest = line.strip().partition(" ")
        if what == "offered":
            self.opened(*(json.loads(each) for each in _apart(rest)))
        elif what == "typed":
            self.first_typed = json.loads(rest)
        elif what == "saving":
            self.in_flight, self.first_typed = json.loads(rest), ""
        elif what == "saved":
            self.saved.append(json.loads(rest))
            self.in_flight = ""
        elif what == "recording":
            self.in_flight = "round"
        elif what == "recorded":
            self.recorded += 1
            self.saved, self.in_flight = [], ""

    def opened(self, number: int, points: dict[str, dict[str, str]], reading: dict[str, str]) -> None:
        """What the app offers after a death, against what it had said before."""
        if self.in_flight == "round" and not points:
            self.recorded += 1  # durable before the screen could say so
            self.saved = []
        elif self.in_flight in points:
            self.saved.append(self.in_flight)
        assert number == BEFORE + self.recorded + 1
        assert {label: _depths(each) for label, each in points.items()} == {
            label: TEXTS[label] for label in self.saved
        }
        if self.first_typed:
            assert reading["first_contact"] == TEXTS[self.first_typed]["first_contact"]
        self.in_flight = self.first_typed = ""

    def is_whole(self) -> None:
        """The journal from outside: chained, one entry a round, each exactly as it was typed."""
        with read_project(self.folder) as place:
            entries = tuple(place.entries())
            rounds = [each.values for each in place.shaft(SHAFT).of(SoundingRound)]
        assert breaks_in(entries) == ()
        assert len({each.id for each in entries}) == len(entries)
        maybe = 1 if self.in_flight == "round" else 0
        assert self.recorded <= len(rounds) - BEFORE <= self.recorded + maybe
        assert [each.number for each in rounds] == list(range(1, len(rounds) + 1))
        for each in rounds[BEFORE:]:
            read = {point.label: (str(point.first_contact), str(point.firm)) for point in each.points}
            assert read == DEPTHS


def _apart(text: str) -> list[str]:
    """JSON texts that follow one another in a line."""
    found, decoder = [], json.JSONDecoder()
    while text:
        _, end = decoder.raw_decode(text)
        found.append(text[:end])
        text = text[end:].lstrip()
    return found


def _depths(texts: dict[str, str]) -> dict[str, str]:
    return {name: texts[name] for name in ("first_contact", "firm")}


@pytest.fixture
def tablet(tmp_path: Path) -> Tablet:
    return Tablet(begin(tmp_path / "larkwater", "larkwater", (SHAFT,)))


def half_typed(folder: Path) -> None:
    """All five points of a round, saved and not recorded, as an earlier opening left them."""
    with open_project(folder, SteppedClock(), DEVICE) as place:
        typed = asks_round.RoundTyped(BEFORE + 1, TEXTS, {}, place.now().isoformat())
        asks_round.keep_round(place, SHAFT, typed)


def walk_through(tablet: Tablet, kills: list[Kill]) -> None:
    for kill in kills:
        tablet.live(kill)
        tablet.is_whole()
    tablet.live(None)
    tablet.is_whole()


MOMENTS = [
    Kill("saved", 2),  # two points acknowledged
    Kill("typed", 1),  # a first contact on the screen, the hand at rest
    Kill("saving", 1, 0.004),  # a point on its way to the disk
    Kill("recording", 1, 0.002),  # the round on its way to the journal
    Kill("recording", 1, 0.03),
]


def test_an_app_killed_in_the_middle_of_a_round_loses_nothing_it_acknowledged(tablet, capsys):
    walk_through(tablet, MOMENTS)
    assert tablet.recorded >= 1
    assert run(["check", str(tablet.folder)]) == 0
    assert SHAFT not in capsys.readouterr().err


@pytest.mark.long_walk
@pytest.mark.parametrize("wait_s", [0.0, 0.001, 0.005, 0.01, 0.015, 0.02, 0.05, 0.08, 0.12, 0.2])
def test_a_round_is_recorded_once_whenever_the_app_dies(tablet, wait_s):
    half_typed(tablet.folder)
    tablet.saved = list(DEPTHS)
    walk_through(tablet, [Kill("recording", 1, wait_s)])
    assert run(["check", str(tablet.folder)]) == 0


@pytest.mark.long_walk
@pytest.mark.parametrize("wait_s", [0.0, 0.002, 0.006, 0.012, 0.03])
@pytest.mark.parametrize("line", ["offered", "typed", "saving", "saved"])
def test_a_round_goes_on_whenever_the_app_dies(tablet, line, wait_s):
    walk_through(tablet, [Kill(line, 1, wait_s), Kill(line, 1, wait_s / 2)])
    assert run(["check", str(tablet.folder)]) == 0


def test_the_same_harness_sees_a_loss_where_there_is_one(tablet):
    """Negative control: somebody had seen a point saved that the disk does not have."""
    said = ["offered 2 {} {}", 'typed "C"', 'saving "C"', 'saved "C"', "offered 2 {} {}"]
    for line in said[:-1]:
        tablet.hear(line)
    with pytest.raises(AssertionError):
        tablet.hear(said[-1])
    tablet.recorded = 1
    with pytest.raises(AssertionError):
        tablet.is_whole()
