"""What this device remembers of a project shows what was done to its file."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from fieldapp.desk.trust.audit import audit
from fieldapp.desk.trust.stretches import sign_stretch
from fieldapp.desk.trust.witness import witness_file
from fieldapp.desk.workplace import open_project
from fieldapp.record.decisions import Hold
from tests.desk import attackers
from tests.desk.audit.forged_work import (
    MEMORY,
    Job,
    detail,
    number,
    reworded,
    unsigned,
    wrong,
)
from tests.desk.signed_work import ENGINEER, SOUTH, basis, say

# What this device remembers.


@pytest.mark.parametrize(
    "content", [None, b"", b"[]", b'{"project": "larkwater", "folders": [1]}', b"\xff" * 9]
)
def test_a_memory_that_is_missing_or_damaged_is_not_known_and_no_error(
    job: Job, content: bytes | None
) -> None:
    memory = witness_file("larkwater")
    memory.unlink() if content is None else memory.write_bytes(content)
    found = audit(job.folder)
    assert all(each.ok for each in found)
    assert "not known" in next(each.detail for each in found if each.what == MEMORY)
    assert detail(job.folder, MEMORY) == ""  # the audit held, so it is known from now on


def test_a_memory_that_cannot_be_kept_stops_nothing(job: Job) -> None:
    memory = witness_file("larkwater")
    memory.unlink()
    memory.mkdir()
    assert wrong(job.folder) == {}


def test_signing_on_does_not_make_this_device_forget_what_was_rewritten(job: Job) -> None:
    attackers.rewrite(job.folder, SOUTH, lambda bodies: unsigned(reworded(bodies)))
    with open_project(job.folder, job.clock, device=SOUTH) as place:
        for _ in range(9):  # beyond what this device has seen
            say(place, Hold(basis(place), "again"), ENGINEER)
        sign_stretch(place, ENGINEER)
    assert "is another one than this device has seen" in wrong(job.folder)[MEMORY]


def test_a_folder_that_was_moved_is_held_against_what_was_seen_of_it(job: Job, tmp_path: Path) -> None:
    moved = tmp_path / "moved"
    shutil.copytree(job.folder, moved)
    last = number(moved, "stretch signed", -1)
    attackers.cut_tail(moved, SOUTH, last - 2)
    assert f"entry {last} of device {SOUTH}, it ends at {last - 2}" in wrong(moved)[MEMORY]


def test_two_projects_of_one_name_on_one_device_do_not_disturb_each_other(job: Job, tmp_path: Path) -> None:
    other = tmp_path / "other"
    shutil.copytree(job.folder, other)
    attackers.cut_tail(other, SOUTH, number(other, "log signed") - 1)
    with open_project(other, job.clock, device="tablet east") as place:
        say(place, Hold(basis(place), "another story"), ENGINEER)
        sign_stretch(place, ENGINEER)
    assert wrong(other) == {}
    assert "Another copy of this project that was here differs" in detail(other, MEMORY)
    assert wrong(job.folder) == {}
