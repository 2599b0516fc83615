"""Full, read-only, faulty, locked, slow, or gone: what is written is durable or refused with a sentence.

One step of each kind of work under each trouble is tried here, by a seed; every step by the command.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from fieldapp.desk.workplace import read_project
from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.hole import Note
from tests.crash.bad_disk_app import SLOW_US
from tests.crash.driven import SHAFT
from tests.crash.faults import shim
from tests.crash.faults.loop import bench
from tests.crash.ground import Ground
from tests.support.offscreen import environment

ROOT = Path(__file__).parents[2]

pytestmark = pytest.mark.skipif(bool(shim.MISSING), reason=shim.MISSING)


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return shim.built(tmp_path_factory.mktemp("shim"))


def loop(library: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return shim.run(library, ["tests.crash.faults", "--seed", "7", *words])


def test_whatever_the_disk_refuses_is_told_and_nothing_is_lost(library):
    quick = (
        "save",
        "picture",
        "bundle in",
        "bundle out",
        "release",
        "typed log",
        "settings",
        "rebuild",
        "backup",
    )
    troubles = ("disk full", "read-only", "folder gone", "killed")
    made = loop(library, "--most", "1", "--job", *quick, "--trouble", *troubles)
    assert made.returncode == 0, made.stdout + made.stderr


def test_papers_and_keys_on_a_full_disk_are_refused_with_a_sentence(library):
    made = loop(library, "--most", "1", "--job", "reports", "passphrase", "--trouble", "disk full")
    assert made.returncode == 0, made.stdout + made.stderr


def test_saving_is_refused_at_every_step_of_a_full_or_locked_disk(library):
    made = loop(library, "--job", "save", "--trouble", "disk full", "locked")
    assert made.returncode == 0, made.stdout + made.stderr


def test_the_same_loop_sees_a_loss_where_there_is_one(library):
    """Negative control: somebody says that an entry is safe before it is written."""
    made = loop(library, "--job", "hasty", "--trouble", "disk full", "--most", "3")
    assert made.returncode == 1, made.stdout + made.stderr
    assert "hasty, disk full, step" in made.stdout


@pytest.fixture
def said(library: Path, tmp_path: Path) -> tuple[dict[str, list[list[object]]], Ground]:
    """What stood on the screens of the real app under one trouble after the other, and its project."""
    ground = bench(tmp_path).ground
    home = {"HOME": str(tmp_path / "home"), "XDG_CONFIG_HOME": str(ground.root / "config")}
    (tmp_path / "home").mkdir()
    made = subprocess.run(
        [sys.executable, "-m", "tests.crash.bad_disk_app", str(ground.root)],
        cwd=ROOT,
        env=environment() | home | {"LD_PRELOAD": str(library)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert made.returncode == 0, made.stderr[-2000:]
    told: dict[str, list[list[object]]] = {}
    for line in made.stdout.splitlines():
        what, _, rest = line.partition(" ")
        told.setdefault(what, []).append(json.loads(rest))
    return told, ground


SENTENCES = {
    "disk full": "The disk is full. This was not saved; all earlier entries are safe in",
    "read-only": "is read-only at present. This was not saved; all earlier entries are safe.",
    "disk fault": "The disk reported a fault in",
    "locked": "is open for writing in another program or window. This was not saved.",
}


def test_typed_values_stay_on_the_screen_of_an_app_whose_disk_refuses_them(said):
    told, ground = said
    points = told["typed"][0][0]
    assert len(points) == 9
    for (trouble, screen, texts, same), (name, sentence) in zip(
        told["refused"], SENTENCES.items(), strict=True
    ):
        assert (trouble, screen, same) == (name, "round", True)
        assert sentence in texts
    assert told["recorded"][0][0] == "shaft"
    with read_project(ground.project) as place:
        rounds = [each.values for each in place.shaft(SHAFT).of(SoundingRound)]
        notes = [each.values.text for each in place.shaft(SHAFT).of(Note)]
    read = {each.label: str(each.first_contact) for each in rounds[-1].points}
    assert read == {label: typed["first_contact"] for label, typed in points.items()}
    # a slow disk is waited for by the worker and not by the screen, which says nothing too early
    screen, took_s, frames, longest_s, early, steps = told["slow"][0]
    assert (screen, early, notes[-1]) == ("shaft", False, "on a slow disk")
    assert took_s >= steps * SLOW_US / 2_000_000 > 0.2
    assert frames > 10
    assert longest_s < took_s / 2
