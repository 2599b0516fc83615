"""A picture from the camera of the device: offered where there is one, told where it fails."""

from __future__ import annotations

import sys

from tests.screens.picture_journey import choose, entry, kept_files

CAMERA = """
import shutil

class Camera:
    def take_picture(self, filename, on_complete):
        shutil.copy({source!r}, filename)
        on_complete(filename)

camera = Camera()
"""


def test_the_camera_is_offered_only_where_the_device_gives_one(on, folder, shelf, tmp_path, monkeypatch):
    """A module of its name stands in for the one that only some platforms have."""
    entry(on, "photo")
    choose(on)
    assert on.middle.second_text == ""
    on.press()
    given = tmp_path / "given"
    given.mkdir()
    (given / "plyer.py").write_text(CAMERA.format(source=str(shelf / "base.jpg")), "utf-8")
    monkeypatch.syspath_prepend(str(given))
    try:
        choose(on)
        on.tap(on.middle.second)
        on.wait()
        assert "400 by 640 pixels" in on.texts()
        on.tap(on.middle.next)
        assert len(kept_files(folder)) == 1
    finally:
        sys.modules.pop("plyer", None)


def test_a_camera_that_cannot_be_used_is_told(on, tmp_path, monkeypatch):
    entry(on, "photo")
    given = tmp_path / "given"
    given.mkdir()
    body = "class C:\n    def take_picture(self, **given):\n        raise NotImplementedError\ncamera = C()\n"
    (given / "plyer.py").write_text(body, "utf-8")
    monkeypatch.syspath_prepend(str(given))
    try:
        choose(on)
        on.tap(on.middle.second)
        assert on.middle.said.startswith("This device lets no picture be taken from here.")
    finally:
        sys.modules.pop("plyer", None)
