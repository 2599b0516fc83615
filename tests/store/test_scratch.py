"""A journal that is only looked at: in a temporary file, gone afterwards, and told where there is no room."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest

from fieldapp.store.problems import NoScratch
from fieldapp.store.scratch import scratch_journal
from tests.store.builders import SOUTH, chain_of


def test_it_is_asked_like_a_project_and_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    sealed = chain_of(SOUTH, 3)
    with scratch_journal(sealed, Path("sent.bundle.zip")) as (journal, arrival):
        assert (arrival.new, dict(arrival.whole), arrival.astray) == (3, {SOUTH: 3}, 0)
        assert [each.sealed for each in journal.entries()] == sealed
        assert journal.heads()[SOUTH].seq == 3
        assert not list(tmp_path.rglob("*.db")), "even a kill leaves no copy of it"
    assert not list(tmp_path.iterdir())


def test_without_room_it_says_what_to_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "not there"))
    with (
        pytest.raises(NoScratch, match=r"sent\.bundle\.zip could not be looked into.*Make room"),
        scratch_journal(chain_of(SOUTH, 1), Path("sent.bundle.zip")),
    ):
        raise AssertionError
