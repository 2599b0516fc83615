"""The power goes: after any step, with any of what was not synced kept, dropped or garbled.

Some cuts of each story are tried here, by a seed, among them one right after every acknowledgement; all by
``python -m tests.crash.power``.  A journal that does not wait for the disk must be seen to lose.
"""

from __future__ import annotations

import random  # noqa: TID251 - seeded
from pathlib import Path

import pytest

from tests.crash.faults import shim
from tests.crash.power.disk import Disk, Step

STORIES = ("save", "bundle in", "release", "rebuild", "migration")


@pytest.mark.skipif(bool(shim.MISSING), reason=shim.MISSING)
def test_what_was_acknowledged_outlives_the_power_and_the_controls_do_lose(tmp_path):
    words = ["tests.crash.power", "--seed", "7", "--most", "10", "--story", *STORIES]
    made = shim.run(shim.built(tmp_path), words)
    assert made.returncode == 0, made.stdout + made.stderr
    controls = [line.split() for line in made.stdout.splitlines() if line.startswith("control")]
    assert len(controls) == 3
    assert all(int(each[-1]) > 0 for each in controls)


def disk(folder: Path) -> Disk:
    (folder / "a").write_bytes(b"old" * 400)
    return Disk(folder, folder)


def test_what_was_synced_is_there_and_what_was_not_may_be(tmp_path):
    whole, name = disk(tmp_path), str(tmp_path / "a")
    whole.take(Step("w", name, at=0, data=b"new" * 400))
    images = {outcome: whole.image(outcome, random.Random(1))[name] for outcome in ("kept", "dropped")}
    assert images == {"kept": b"new" * 400, "dropped": b"old" * 400}
    garbled = {whole.image("garbled", random.Random(seed))[name] for seed in range(20)}
    assert len(garbled) > 10
    whole.take(Step("s", name))
    assert {whole.image(each, random.Random(1))[name] for each in ("kept", "dropped", "garbled")} == {
        b"new" * 400
    }


def test_a_name_without_a_sync_may_stand_over_nothing(tmp_path):
    whole, new = disk(tmp_path), str(tmp_path / "b")
    whole.take(Step("c", new))
    whole.take(Step("w", new, at=0, data=b"much"))
    whole.take(Step("r", new, str(tmp_path / "c")))
    assert whole.image("names only", random.Random(1))[str(tmp_path / "c")] == b""
    assert str(tmp_path / "c") not in whole.image("dropped", random.Random(1))
    whole.take(Step("s", str(tmp_path)))
    assert whole.image("dropped", random.Random(1))[str(tmp_path / "c")] == b""  # a name is no content
