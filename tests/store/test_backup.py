"""Backup and restore: complete with a live writer, checked, never over something, a new device after."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest

from fieldapp.record.hole import Photo
from fieldapp.store.backup import back_up, restore
from fieldapp.store.checking import check_store
from fieldapp.store.journal import Journal, open_journal
from fieldapp.store.opening import JOURNAL
from fieldapp.store.pictures import save_picture
from fieldapp.store.problems import AlreadyThere, Damaged, NotOurDevice
from tests.store.builders import NORTH, SETUP, SOUTH, SimpleProjector, draft


def with_picture(journal: Journal) -> str:
    digest = save_picture(journal.folder, b"a picture", ".jpg")
    journal.append([draft(SETUP), draft(Photo(digest, "the base"))], NORTH)
    return digest


def test_a_backup_of_an_open_journal_holds_everything(journal: Journal, tmp_path: Path) -> None:
    with_picture(journal)
    (journal.folder / "keys" / "somebody.p12").write_bytes(b"secret")
    made = back_up(journal.folder, tmp_path / "copy")
    assert made.heads == journal.heads()
    assert all(each.ok for each in check_store(made.folder, SimpleProjector()))
    with open_journal(made.folder, SimpleProjector()) as copy:
        assert tuple(copy.entries()) == tuple(journal.entries())
    assert not list((made.folder / "keys").iterdir())


def test_a_restored_backup_starts_a_new_device(journal: Journal, tmp_path: Path) -> None:
    with_picture(journal)
    back_up(journal.folder, tmp_path / "copy")
    journal.append([draft("after the backup")], NORTH)
    restored = restore(tmp_path / "copy", tmp_path / "again")
    with open_journal(restored.folder, SimpleProjector()) as again:
        with pytest.raises(NotOurDevice, match="new device name"):
            again.append([draft("a fork")], NORTH)
        again.append([draft("on the new device")], "tablet north 2")
        written = again.receive([each.sealed for each in journal.entries()])
        assert written.new == 1
        assert again.heads()[NORTH] == journal.heads()[NORTH]
    (entry,) = journal.append([draft("the tablet itself goes on")], NORTH)
    assert entry.seq == 4


def test_nothing_is_overwritten(journal: Journal, tmp_path: Path) -> None:
    with_picture(journal)
    (tmp_path / "copy").mkdir()
    with pytest.raises(AlreadyThere, match="left as it is"):
        back_up(journal.folder, tmp_path / "copy")
    assert not list((tmp_path / "copy").iterdir())


@pytest.mark.parametrize("target", ["", ".", "/"])
def test_a_target_without_a_name_is_there_already(journal: Journal, target: str) -> None:
    with pytest.raises(AlreadyThere):
        back_up(journal.folder, Path(target))


def test_a_copy_that_does_not_hold_up_is_not_kept(journal: Journal, tmp_path: Path) -> None:
    digest = with_picture(journal)
    (journal.folder / "pictures" / f"{digest}.jpg").write_bytes(b"another")
    with pytest.raises(Damaged, match="changed"):
        back_up(journal.folder, tmp_path / "copy")
    assert sorted(each.name for each in tmp_path.iterdir()) == ["larkwater"]


def test_a_backup_ends_while_another_thread_keeps_writing(journal: Journal, tmp_path: Path) -> None:
    journal.append([draft("x" * 1900) for _ in range(300)], NORTH)
    stop, written = threading.Event(), []

    def write() -> None:
        while not stop.is_set():
            written.extend(journal.append([draft("while copying", shaft="P1-2")], SOUTH))

    writer = threading.Thread(target=write)
    writer.start()
    try:
        made = back_up(journal.folder, tmp_path / "copy")
    finally:
        stop.set()
        writer.join()
    assert made.heads[NORTH].seq == 300
    assert written
    assert SOUTH not in made.heads or made.heads[SOUTH].seq <= len(written)
    assert (made.folder / JOURNAL).stat().st_size > 300 * 1900
