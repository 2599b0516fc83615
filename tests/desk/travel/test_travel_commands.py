"""The commands: a bundle out, looked at and in, on a device with the project and on one without."""

from __future__ import annotations

import pytest

from fieldapp.cli import run
from tests.desk.signed_work import ENGINEER
from tests.desk.travel.tablets import Tablet, a_picture


@pytest.fixture(autouse=True)
def closed(one: Tablet, two: Tablet) -> None:
    """Nobody has the projects open."""


def test_out_and_in_and_in_again(one, two, capsys):
    one.photographs(a_picture())
    one.is_in_hand()
    target = one.root / "carried"
    target.mkdir()
    assert run(["bundle", "out", str(one.folder), str(target), "--as", ENGINEER]) == 0
    (path,) = target.iterdir()
    assert path.name.startswith("larkwater-")
    assert " entries, 1 files, " in capsys.readouterr().out
    two.is_in_hand()
    assert run(["bundle", "in", str(two.folder), str(path)]) == 0
    said = capsys.readouterr().out
    assert "Taken over from device " in said
    assert "New files: 1." in said
    assert "P1-1: Standing" in said, said
    assert run(["bundle", "in", str(two.folder), str(path)]) == 0
    assert "Everything in it was here already." in capsys.readouterr().out


def test_in_where_no_project_is(one, tmp_path, monkeypatch, capsys):
    path = one.sends("first of all").path
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "another home"))
    assert run(["bundle", "in", str(tmp_path / "made"), str(path)]) == 0
    assert "no person signed it" in capsys.readouterr().out
    assert run(["check", str(tmp_path / "made")]) == 0


def test_a_bundle_that_is_refused_says_so_and_ends_with_a_code(one, two, capsys):
    path = one.sends("bad").path
    path.write_bytes(path.read_bytes()[:-40])
    two.is_in_hand()
    assert run(["bundle", "in", str(two.folder), str(path)]) != 0
    heard = capsys.readouterr()
    assert "bad.bundle.zip was not taken over." in heard.out + heard.err
