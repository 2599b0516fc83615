"""Pictures and other files: whole or not there, found when changed, leftovers swept."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from fieldapp.record.decisions import Amend
from fieldapp.store.atomic_file import save_bytes, sweep
from fieldapp.store.journal import open_journal
from fieldapp.store.pictures import NAMING, missing_or_changed, picture_path, pictures_named_in, save_picture
from fieldapp.store.problems import DiskFull, DiskTrouble, ReadOnly
from tests.store.builders import SimpleProjector
from tests.support.examples import EXAMPLES

# printf 'abc' | openssl dgst -sha256
ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_a_picture_is_named_by_the_hash_that_openssl_gives(folder: Path) -> None:
    assert save_picture(folder, b"abc", ".jpg") == ABC
    assert picture_path(folder, ABC) == folder / "pictures" / f"{ABC}.jpg"
    assert save_picture(folder, b"abc", ".png") == ABC
    assert [each.name for each in (folder / "pictures").iterdir()] == [f"{ABC}.jpg"]


def test_a_changed_or_missing_picture_is_found_and_the_right_bytes_mend_it(folder: Path) -> None:
    other = save_picture(folder, b"other", ".jpg")
    save_picture(folder, b"abc", ".jpg")
    (folder / "pictures" / f"{ABC}.jpg").write_bytes(b"abd")
    (folder / "pictures" / f"{other}.jpg").unlink()
    assert missing_or_changed(folder, [ABC, other, ABC]) == {ABC: "changed", other: "missing"}
    save_picture(folder, b"abc", ".jpg")
    assert missing_or_changed(folder, [ABC]) == {}


@pytest.mark.parametrize("suffix", ["jpg", ".JPG", "./../x", ".j/g", ""])
def test_a_suffix_cannot_lead_elsewhere(folder: Path, suffix: str) -> None:
    with pytest.raises(ValueError, match="suffix"):
        save_picture(folder, b"abc", suffix)


def test_a_digest_cannot_lead_elsewhere(folder: Path) -> None:
    with pytest.raises(ValueError, match="SHA-256"):
        picture_path(folder, "../journal")


@pytest.mark.parametrize("call", ["fsync", "open"])
@pytest.mark.parametrize(
    ("code", "problem"), [(errno.ENOSPC, DiskFull), (errno.EIO, DiskTrouble), (errno.EROFS, ReadOnly)]
)
def test_a_fault_of_the_disk_at_any_step_leaves_the_old_file_or_the_new_one(
    folder: Path, monkeypatch, call: str, code: int, problem: type[Exception]
) -> None:
    """The k-th call fails, for every k until the save gets through."""
    real = getattr(os, call)
    for allowed in range(10):
        left = [allowed]

        def failing(*given, left=left, **named):
            if left[0] == 0:
                raise OSError(code, os.strerror(code))
            left[0] -= 1
            return real(*given, **named)

        with monkeypatch.context() as patch:
            patch.setattr(os, call, failing)
            try:
                save_picture(folder, b"abc", ".jpg")
                break
            except problem:
                pass
        path = picture_path(folder, ABC)
        assert path is None or path.read_bytes() == b"abc"
        assert not list((folder / "pictures").glob(".*"))
        if path is not None:
            path.unlink()
    assert allowed >= 1
    assert missing_or_changed(folder, [ABC]) == {}


def test_saving_over_a_file_keeps_the_old_one_until_the_new_one_is_whole(tmp_path: Path, monkeypatch) -> None:
    report = tmp_path / "log.pdf"
    save_bytes(report, b"old")

    def full(handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", full)
        with pytest.raises(OSError, match="No space"):
            save_bytes(report, b"new")
    assert report.read_bytes() == b"old"
    save_bytes(report, b"new")
    assert report.read_bytes() == b"new"
    assert list(tmp_path.iterdir()) == [report]


def test_leftovers_of_a_crash_are_swept_when_the_project_is_opened(folder: Path) -> None:
    save_picture(folder, b"abc", ".jpg")
    (folder / "pictures" / f".{ABC}.jpg.123-456.part").write_bytes(b"a")
    with open_journal(folder, SimpleProjector()):
        pass
    assert [each.name for each in (folder / "pictures").iterdir()] == [f"{ABC}.jpg"]
    assert sweep(folder / "pictures") == ()


def test_every_kind_that_names_a_picture_is_known_as_one_that_may() -> None:
    naming = {each.KIND for each in EXAMPLES if pictures_named_in(each)}
    assert naming
    assert naming <= set(NAMING)
    assert Amend.KIND in NAMING
