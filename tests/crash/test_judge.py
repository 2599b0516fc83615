"""The judge of the campaigns sees what it is there to see: half files, leftovers, entries that are lost."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.crash.faults.loop import Bench, bench
from tests.crash.ground import Ground
from tests.crash.jobs import JOBS
from tests.crash.judge import entry_ids, judge


@pytest.fixture(scope="module")
def on(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CONFIG_HOME", "")  # the ground takes it over: put back afterwards
        return bench(tmp_path_factory.mktemp("judge"))


@pytest.fixture
def ground(on: Bench, monkeypatch: pytest.MonkeyPatch) -> Ground:
    monkeypatch.setenv("XDG_CONFIG_HOME", "")
    return on.fresh(JOBS["save"])


def cut_picture(ground: Ground) -> None:
    picture = next((ground.project / "pictures").iterdir())
    picture.write_bytes(picture.read_bytes()[:-100])


def cut_pdf(ground: Ground) -> None:
    (ground.project / "reports" / "p1-1-log.pdf").write_bytes(b"%PDF-1.7\nand no more")


def cut_bundle(ground: Ground) -> None:
    (ground.root / "out.bundle.zip").write_bytes(ground.arriving.read_bytes()[:-30])


def left_over(ground: Ground) -> None:
    (ground.project / "reports" / ".p1-1-log.pdf.new").write_bytes(b"half")


def no_journal(ground: Ground) -> None:
    (ground.project / "journal.db").write_bytes(b"SQLite format 3\0")


@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (cut_picture, "half a picture"),
        (cut_picture, "check: every picture is here, unchanged"),
        (cut_pdf, "half a PDF: p1-1-log.pdf, cut off"),
        (cut_bundle, "half a bundle: out.bundle.zip"),
        (left_over, "left over in the project: reports/.p1-1-log.pdf.new"),
        (no_journal, "the project does not open"),
    ],
)
def test_what_is_half_is_named(ground: Ground, spoil: Callable[[Ground], None], says: str):
    spoil(ground)
    found = judge(ground, ())
    assert any(each.startswith(says) for each in found.faults), found


def test_a_sound_project_has_nothing_against_it(ground: Ground):
    assert judge(ground, ()).holds


@pytest.mark.parametrize(
    "kind", ["entry", "picture", "paper", "bundle", "backup", "server", "minutes", "form"]
)
def test_what_was_said_to_be_safe_and_is_not_is_lost(ground: Ground, kind: str, tmp_path: Path):
    what = {"picture": "0" * 64, "minutes": "20", "form": "note 7, half ty"}.get(kind, str(tmp_path / "gone"))
    found = judge(ground, ((kind, what),))
    assert found.lost == (f"{kind} {what}",)


def test_entries_that_were_there_before_are_missed_and_pieces_are_counted(ground: Ground):
    before = entry_ids(ground.project)
    assert judge(ground, (), before | {"an entry"}).lost == ("entry an entry, which was there before",)
    JOBS["save"].run(ground, lambda *_: None)
    half = judge(ground, (), before, whole=5)
    assert any(each.endswith("entries came of a piece of 5") for each in half.faults)
