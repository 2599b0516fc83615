"""What cannot be kept is told, and what was typed stays: no picture, a lost folder, a full disk."""

from __future__ import annotations

import errno
import shutil

import pytest

from tests.screens.picture_journey import choose, entry, kept_files, row


@pytest.mark.parametrize(
    ("name", "sentence"),
    [
        ("broken.jpg", "broken.jpg is damaged or cut short. Nothing was saved."),
        ("letter.png", "letter.png is not a picture that can be read. Nothing was saved."),
    ],
)
def test_what_is_no_picture_gets_a_sentence_and_the_list_stays(on, folder, name, sentence):
    entry(on, "photo")
    choose(on)
    on.tap(row(on, name))
    assert sentence in on.middle.said
    assert row(on, "base.jpg")
    assert on.middle.next_text == ""
    assert kept_files(folder) == []


def test_a_lost_folder_is_told_and_what_was_typed_stays(on, folder):
    entry(on, "photo")
    on.tap(on.middle.fields["caption"])
    on.middle.tools.text_field.typing.insert_text("north side")
    on.wait(hops=1)
    choose(on)
    on.tap(row(on, "base.jpg"))
    shutil.rmtree(folder / "pictures")
    on.tap(on.middle.next)
    assert on.walk.current == "picture"
    assert "could not be opened" in on.middle.said
    assert "Check the disk and the rights of the folder." in on.middle.said
    (folder / "pictures").mkdir()
    on.tap(on.middle.next)  # once more, without choosing again
    assert on.walk.current == "entry"
    assert on.screen.hand.typing.typed.fields["caption"] == "north side"
    assert len(kept_files(folder)) == 1


def test_a_full_disk_is_told_and_what_was_typed_stays(on, folder, monkeypatch):
    entry(on, "photo")
    on.tap(on.middle.fields["caption"])
    on.middle.tools.text_field.typing.insert_text("north side")
    on.wait(hops=1)
    choose(on)
    on.tap(row(on, "base.jpg"))

    def full(_handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as disk:
        disk.setattr("fieldapp.store.atomic_file.os.fsync", full)
        on.tap(on.middle.next)
    assert on.middle.said.startswith("The disk is full. This was not saved; all earlier entries are safe")
    assert kept_files(folder) == []
    on.press()
    on.press()
    assert on.screen.hand.typing.typed.fields["caption"] == "north side"
