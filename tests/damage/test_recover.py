"""A damaged project becomes a new one: what proves itself comes over, the rest is named, nothing is false."""

from __future__ import annotations

import random  # noqa: TID251 - seeded
import shutil
from pathlib import Path

import pytest

from fieldapp.desk.device import this_device
from fieldapp.desk.office import all_shafts, save_backup
from fieldapp.desk.recovery.recover import Recovered, recover
from fieldapp.desk.recovery.telling import affected, recovered_text
from fieldapp.desk.trust.audit import audit
from fieldapp.desk.workplace import read_project
from fieldapp.record.entry import Entry
from fieldapp.record.hole import Event, Note
from fieldapp.record.reading import Impossible
from fieldapp.record.words import Happening
from fieldapp.store.opening import JOURNAL
from fieldapp.store.problems import AlreadyThere, NotAProject, NothingProved
from tests.damage.harm import changed, sealed_in
from tests.damage.small_project import INSPECTOR, SOUTH, Made

SIZE = 4096
MEMORY = "this device remembers the same"  # it has seen the lost entries signed, and goes on saying so


def entries_in(folder: Path) -> tuple[Entry, ...]:
    with read_project(folder) as place:
        return tuple(place.entries())


def requirement(folder: Path) -> set[str]:
    """What the requirement on lost entries says of the shafts."""
    with read_project(folder) as place:
        found = [each for shaft in all_shafts(place) for each in shaft.findings]
    return {str(each.outcome) for each in found if each.requirement == "entries lost"}


def files_of(folder: Path) -> dict[str, tuple[bytes, int]]:
    return {
        str(each.relative_to(folder)): (each.read_bytes(), each.stat().st_mtime_ns)
        for each in sorted(folder.rglob("*"))
        if each.is_file()
    }


def wipe(folder: Path, *pages: int) -> None:
    """Overwrite whole pages of the journal, numbered from 0."""
    path = folder / JOURNAL
    content = bytearray(path.read_bytes())
    for each in pages:
        content[each * SIZE : (each + 1) * SIZE] = b"\xa5" * SIZE
    path.write_bytes(content)


def pages_holding(folder: Path, text: bytes) -> list[int]:
    content = (folder / JOURNAL).read_bytes()
    return [at for at in range(len(content) // SIZE) if text in content[at * SIZE : (at + 1) * SIZE]]


def spoil_entry(folder: Path, text: bytes) -> None:
    """Change one letter of a sealed text, wherever it stands."""
    path = folder / JOURNAL
    content = path.read_bytes()
    assert text in content
    path.write_bytes(content.replace(text, bytes([text[0] ^ 1]) + text[1:]))


def wrong(folder: Path) -> set[str]:
    return {each.what for each in audit(folder) if not each.ok}


def test_a_sound_project_comes_over_whole(made: Made, tmp_path: Path) -> None:
    before = files_of(made.folder)
    done = recover(made.folder, tmp_path / "new")
    assert files_of(made.folder) == before, "a damaged folder is only read"
    assert sealed_in(tmp_path / "new") == sealed_in(made.folder)
    assert affected(done.found) == ()
    assert "Nothing is lost." in recovered_text(done)
    assert wrong(tmp_path / "new") == set()
    assert requirement(tmp_path / "new") == {"not asked"}


def test_only_its_own_page_is_lost_whatever_page_of_the_journal_is_gone(made: Made, tmp_path: Path) -> None:
    whole = {each.hash for each in entries_in(made.folder)}
    count = (made.folder / JOURNAL).stat().st_size // SIZE
    lost_some = 0
    for page in range(count):
        copy, new = tmp_path / f"damaged {page}", tmp_path / f"new {page}"
        shutil.copytree(made.folder, copy)
        wipe(copy, page)
        before = files_of(copy)
        done = recover(copy, new, INSPECTOR)
        assert files_of(copy) == before, "a damaged folder is only read"
        assert_true_to(done, new, whole)
        lost_some += done.found.entries_missing
    assert lost_some >= 3
    assert lost_some < count / 2, "most pages hold read tables, which cost nothing"


def assert_true_to(done: Recovered, new: Path, whole: set[str]) -> None:
    """What came over is what was there; what did not is said, and leaves every shaft not shown."""
    mine = {each.id for each in done.said_lost}
    came = {each.hash for each in entries_in(new) if each.id not in mine}
    assert came <= whole
    assert came | {each.hash for each in done.found.after_gaps} <= whole
    assert wrong(new) <= {
        "everybody made what he may make",
        "what decisions rest on is here",
        MEMORY,
    }
    if came != whole:
        assert done.found.entries_missing
        assert affected(done.found)
        assert requirement(new) <= {"not shown"}
    else:
        assert done.found.entries_missing == bool(done.said_lost)


@pytest.mark.parametrize("seed", range(4))
def test_nothing_false_comes_out_of_any_damage(made: Made, tmp_path: Path, seed: int) -> None:
    whole = {each.hash for each in entries_in(made.folder)}
    source = random.Random(seed)
    content = (made.folder / JOURNAL).read_bytes()
    for turn in range(6):
        hurt = bytearray(content)
        for _ in range(source.choice((1, 20, 400))):
            hurt[source.randrange(len(hurt))] ^= source.randrange(1, 256)
        cut = len(hurt) if source.random() < 0.6 else source.randrange(SIZE, len(hurt))
        (made.folder / JOURNAL).write_bytes(hurt[:cut])
        new = tmp_path / f"new {turn}"
        try:
            done = recover(made.folder, new, INSPECTOR)
        except NothingProved:
            assert not new.exists()
        else:
            assert_true_to(done, new, whole)


def test_an_entry_after_a_gap_is_named_and_kept_beside_and_no_shaft_is_shown(
    made: Made, tmp_path: Path
) -> None:
    spoil_entry(made.folder, b"rain")
    done = recover(made.folder, tmp_path / "new", INSPECTOR)
    (chain,) = [each for each in done.found.chains if each.device == SOUTH]
    (lost,) = chain.lost
    assert lost[0] == lost[1] == len(chain.entries) + 1
    assert [each.kind for each in chain.after_gap][:3] == ["hold", "paper signed", "note"]
    said = "\n".join(affected(done.found))
    assert f"entry {lost[0]} of {SOUTH} is lost" in said
    assert "note of P1-1 by Inspector A, 2026-05-12 09:06" in said, "the row beside it still names it"
    event, note = (each.values for each in done.said_lost)
    assert isinstance(event, Event)
    assert event.what is Happening.ENTRIES_LOST
    assert isinstance(note, Note)
    kept = next((tmp_path / "new" / "pictures").glob(f"{note.attached}.*")).read_bytes()
    assert kept == b"".join(each.sealed + b"\n" for each in done.found.after_gaps)
    assert requirement(tmp_path / "new") == {"not shown"}
    assert {each.device for each in done.said_lost} == {done.device} == {this_device()}
    assert wrong(tmp_path / "new") == {MEMORY}


@pytest.mark.parametrize("source", ["bundle", "journal file", "backup"])
def test_a_gap_is_filled_from_what_somebody_else_has(made: Made, tmp_path: Path, source: str) -> None:
    before = {each.hash for each in entries_in(made.folder)}
    save_backup(made.folder, tmp_path / "backup")
    also = {"bundle": made.bundle, "journal file": made.journal_file, "backup": tmp_path / "backup"}[source]
    spoil_entry(made.folder, b"rain")
    made.picture.unlink()
    done = recover(made.folder, tmp_path / "new", also=[also])
    assert {each.hash for each in entries_in(tmp_path / "new")} == before
    assert not done.found.entries_missing
    assert bool(done.found.spoilt_pictures) is (source != "backup")


def test_who_recovers_with_losses_says_who_he_is(made: Made, tmp_path: Path) -> None:
    spoil_entry(made.folder, b"rain")
    for author in ("", "Designer", "Somebody"):
        with pytest.raises(Impossible, match="Inspector A, Resident engineer"):
            recover(made.folder, tmp_path / "new", author)
    assert not list(tmp_path.glob("*new*"))


def test_a_spoilt_picture_and_a_spoilt_paper_are_named_and_the_rest_comes(made: Made, tmp_path: Path) -> None:
    made.picture.write_bytes(changed(made.picture.read_bytes(), 100, 1))
    made.paper.write_bytes(made.paper.read_bytes()[:-1])
    (made.folder / "reports" / "draft.pdf").write_bytes(b"%PDF-1.7 nobody signed this")
    done = recover(made.folder, tmp_path / "new")
    said = "\n".join(affected(done.found))
    assert f"picture {made.picture.stem}: changed (named by entry" in said
    assert "paper p1-1.pdf: changed (named by entry" in said
    assert not list((tmp_path / "new" / "pictures").iterdir())
    assert not list((tmp_path / "new" / "reports").iterdir())
    assert "write them anew): draft.pdf" in recovered_text(done)
    assert not done.found.entries_missing
    assert {each.hash for each in entries_in(tmp_path / "new")} == {
        each.hash for each in entries_in(made.folder)
    }


def test_a_file_without_its_first_page_gives_everything_that_stands_elsewhere(
    made: Made, tmp_path: Path
) -> None:
    before = {each.hash for each in entries_in(made.folder)}
    wipe(made.folder, 0)
    (damage,) = [each for each in audit(made.folder) if each.what == "the journal opens"]
    assert "'basenote recover'" in damage.detail
    recover(made.folder, tmp_path / "new")
    assert {each.hash for each in entries_in(tmp_path / "new")} == before


def test_what_is_committed_in_the_write_ahead_file_alone_comes_over(made: Made, tmp_path: Path) -> None:
    copy = tmp_path / "killed"
    shutil.copytree(made.folder, copy)
    from fieldapp.store.driver import sqlite3

    held = sqlite3.connect(made.folder / JOURNAL, isolation_level=None)
    held.execute("BEGIN")
    held.execute("SELECT count(*) FROM entries").fetchone()  # a reader keeps the last commit out of the file
    from fieldapp.desk.inspector import Saying, record_entry
    from fieldapp.desk.workplace import open_project

    with open_project(made.folder, device="tablet east") as place:
        last = record_entry(place, Saying("P1-1", Note("just before the lights went out"), INSPECTOR))
        for each in made.folder.glob(f"{JOURNAL}*"):
            shutil.copy(each, copy)
    held.close()
    (copy / f"{JOURNAL}-shm").unlink(missing_ok=True)
    before = files_of(copy)
    recover(copy, tmp_path / "new")
    assert last.hash in {each.hash for each in entries_in(tmp_path / "new")}
    assert files_of(copy) == before


def test_what_cannot_be_is_refused_in_a_sentence(made: Made, tmp_path: Path) -> None:
    with pytest.raises(Impossible, match="outside of the damaged project"):
        recover(made.folder, made.folder / "new")
    (tmp_path / "there").mkdir()
    with pytest.raises(AlreadyThere):
        recover(made.folder, tmp_path / "there")
    with pytest.raises(NotAProject):
        recover(tmp_path / "there", tmp_path / "new")
    (made.folder / JOURNAL).write_bytes(b"\x00" * 9000)
    with pytest.raises(NothingProved, match="last backup"):
        recover(made.folder, tmp_path / "new")
    assert not (tmp_path / "new").exists()
