"""``basenote report --paper``: every kind by its short name, the log when nothing is said."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldapp.cli import DONE, run
from fieldapp.desk.papers.forms import SHORT
from fieldapp.desk.typed_logs import begin_with_logs, read_logs
from tests.reports.reading_pdf import reader


@pytest.fixture
def folder(tmp_path: Path, logs: Path) -> Path:
    made = tmp_path / "project"
    begin_with_logs(made, read_logs(list(logs.glob("*.log"))))
    return made


def report(folder: Path, capsys: pytest.CaptureFixture[str], *more: str) -> Path:
    assert run(["report", str(folder), "P1-1", "--as-of", "last", *more]) == DONE
    return Path(capsys.readouterr().out.strip().removesuffix(" (was there already)"))


def test_each_kind_is_written_by_its_short_name(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    titles = {
        "log": "Shaft P1-1: base cleanliness log",
        "release": "Shaft P1-1: release sheet",
        "base": "Shaft P1-1: base condition report",
    }
    assert set(titles) == set(SHORT)
    for short, title in titles.items():
        path = report(folder, capsys, "--paper", short)
        assert f"p1-1-{short}-" in path.name
        assert reader(path.read_bytes()).metadata.title == title
    assert report(folder, capsys) == report(folder, capsys, "--paper", "log")


def test_an_unknown_kind_is_refused(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        run(["report", str(folder), "--paper", "novel"])
    assert "release" in capsys.readouterr().err
    assert not list((folder / "reports").glob("*.pdf"))
