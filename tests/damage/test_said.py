"""What `check` and `recover` say of damage: what is affected by name, what is still good, what to do."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from fieldapp.cli import DONE, NOT_AS_ASKED, REFUSED, run
from fieldapp.store.opening import JOURNAL
from tests.damage.small_project import ENGINEER, INSPECTOR, SOUTH, Made

Heard = pytest.CaptureFixture[str]


def spoil(folder: Path, text: bytes) -> None:
    """Change the first letter of a sealed text."""
    path = folder / JOURNAL
    path.write_bytes(path.read_bytes().replace(text, bytes([text[0] ^ 1]) + text[1:]))


def test_a_sound_project_has_nothing_affected(made: Made, capsys: Heard) -> None:
    assert run(["check", str(made.folder)]) == DONE
    assert "affected" not in capsys.readouterr().out


def test_check_names_shaft_entry_picture_and_paper_and_what_is_still_good(made: Made, capsys: Heard) -> None:
    spoil(made.folder, b"rain")
    made.picture.unlink()
    made.paper.write_bytes(b"%PDF- another")
    assert run(["check", str(made.folder)]) == NOT_AS_ASKED
    said = " ".join(capsys.readouterr().out.split())
    affected, good = said.partition("What is affected:")[2].split("What is still good:")
    assert f"entry 3 of {SOUTH} is lost" in affected
    assert f"entry 3 of {SOUTH} was, by what a row tells: note of P1-1 by Inspector A" in affected
    assert "shafts P1-1; what is lost may bear on every shaft" in affected
    assert f"picture {made.picture.stem}: missing (named by entry 2 of {SOUTH}, photo of P1-1" in affected
    assert "paper p1-1.pdf: changed (named by entry 5" in affected
    assert "office: entries 1 to 3, tablet north: entries 1 to 2, tablet south: entries 1 to 2" in good
    assert "0 pictures and attached files; 0 signed papers" in good
    assert "go on from the last backup; without one, 'basenote recover'" in good


def test_check_of_a_file_that_does_not_open_says_what_is_left_in_it(made: Made, capsys: Heard) -> None:
    content = (made.folder / JOURNAL).read_bytes()
    (made.folder / JOURNAL).write_bytes(b"\x00" * 4096 + content[4096:])
    assert run(["check", str(made.folder), "--json"]) == NOT_AS_ASKED
    found = {each["what"]: each for each in json.loads(capsys.readouterr().out)}
    assert not found["the journal opens"]["ok"]
    assert found["what is affected"]["ok"], "the first page holds no entry"
    assert "still proves itself" in found["what is affected"]["detail"]
    assert "of shafts P1-1; 1 pictures" in found["what is still good"]["detail"]


def test_check_of_damaged_read_tables_says_that_no_evidence_is_affected(made: Made, capsys: Heard) -> None:
    from fieldapp.store.driver import sqlite3

    connection = sqlite3.connect(made.folder / JOURNAL, isolation_level=None)
    connection.execute("UPDATE shafts SET standing = 'clean'")
    connection.close()
    assert run(["check", str(made.folder)]) == NOT_AS_ASKED
    said = " ".join(capsys.readouterr().out.split())
    assert "What is affected: no entry, no picture and no signed paper" in said


def test_check_of_no_project_says_that_nothing_is_in_it(tmp_path: Path, capsys: Heard) -> None:
    assert run(["check", str(tmp_path)]) == NOT_AS_ASKED
    assert "nothing in this folder that a project could be recovered from" in capsys.readouterr().out


def test_recover_says_what_it_did_and_what_to_do(made: Made, tmp_path: Path, capsys: Heard) -> None:
    new = tmp_path / "new"
    assert run(["recover", str(made.folder), str(new)]) == DONE
    assert "Nothing is lost." in capsys.readouterr().out
    spoil(made.folder, b"rain")
    again = tmp_path / "again"
    assert run(["recover", str(made.folder), str(again)]) == REFUSED
    assert f"{INSPECTOR}, {ENGINEER}" in capsys.readouterr().err
    assert not again.exists()
    assert run(["recover", str(made.folder), str(again), "--as", ENGINEER]) == NOT_AS_ASKED
    said = capsys.readouterr().out
    assert f"entry 3 of {SOUTH} is lost" in said
    assert "hold of P1-1 by Resident engineer" in said
    assert "Until then every shaft reads 'not shown'" in said
    assert run(["show", str(again), "P1-1"]) == NOT_AS_ASKED
    assert "entries lost" in capsys.readouterr().out
    filled = tmp_path / "filled"
    words = ["recover", str(made.folder), str(filled), "--also", str(made.bundle)]
    assert run(words) == DONE
    assert run(["check", str(filled)]) == DONE


def test_a_journal_file_that_is_not_the_one_written_is_refused(
    made: Made, tmp_path: Path, capsys: Heard
) -> None:
    content = made.journal_file.read_bytes()
    made.journal_file.write_bytes(content.replace(b"rig off the hole", b"rig on the hole!"))
    assert run(["add", str(tmp_path / "new"), str(made.journal_file)]) == REFUSED
    assert "the file whose hash datapackage.json beside it names" in capsys.readouterr().err
    made.journal_file.write_bytes(content)
    assert run(["add", str(tmp_path / "new"), str(made.journal_file)]) == DONE
