"""The command line: exit codes, sentences instead of tracebacks, JSON for programs."""

from __future__ import annotations

import json
from io import StringIO
from pathlib import Path

import pytest

from fieldapp.cli import DONE, NOT_AS_ASKED, REFUSED, run
from fieldapp.desk.device import this_device
from fieldapp.desk.plain_text import progress_line
from fieldapp.desk.workplace import open_project


@pytest.fixture
def project(tmp_path: Path, logs: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    folder = tmp_path / "by-hand"
    assert run(["add", str(folder), str(logs)]) == DONE
    return folder


def test_shafts_can_be_listed_for_people_and_for_programs(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    assert run(["shafts", str(project), "--as-of", "last"]) == DONE
    table = capsys.readouterr().out
    assert "P1-1" in table
    assert "base standing" in table
    assert run(["shafts", str(project), "--json", "--as-of", "last"]) == DONE
    (shaft,) = json.loads(capsys.readouterr().out)
    assert shaft["shaft"] == "P1-1"
    assert shaft["base_standing"] == "not shown"
    assert {each["outcome"] for each in shaft["findings"]} <= {"met", "not met", "not shown", "not asked"}


def test_show_says_by_its_exit_code_that_something_is_not_as_asked(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["show", str(project), "P1-1", "--as-of", "2026-05-12T09:00-06:00"]) == NOT_AS_ASKED
    assert "base standing: not shown" in capsys.readouterr().out


def test_a_report_is_written_and_named(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    assert run(["report", str(project), "P1-1", "--as-of", "last"]) == DONE
    path = Path(capsys.readouterr().out.strip())
    assert path.read_bytes().startswith(b"%PDF")


def test_a_sound_project_passes_its_audit_and_a_damaged_one_does_not(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["check", str(project)]) == DONE
    journal = project / "journal.db"
    content = bytearray(journal.read_bytes())
    place = content.index(b"first_contact")
    content[place + 30] ^= 1
    journal.write_bytes(content)
    assert run(["check", str(project), "--json"]) in {NOT_AS_ASKED, REFUSED}


def test_a_backup_is_a_whole_project(project: Path, tmp_path: Path) -> None:
    target = tmp_path / "copy"
    assert run(["backup", str(project), str(target)]) == DONE
    assert run(["check", str(target)]) == DONE
    assert run(["backup", str(project), str(target)]) == REFUSED


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["shafts", "nowhere"], "not a project folder"),
        (["show", "{project}", "P9-9"], "There is no shaft P9-9"),
        (["show", "{project}", "P1-1", "--as-of", "noon"], "as-of"),
        (["show", "{project}", "P1-1", "--as-of", "9999-12-31T23:59:59-12:00"], "in the years 1970 to 2200"),
        (["backup", "{project}", "{project}/copy"], "outside the project"),
        (["add", "{project}", "{project}/reports"], "at least one .log file"),
        (["key", "make", "{project}", "Somebody"], "Somebody"),
        (["show", "{project}", "P1-1", "--as-of", "2026-05-12"], "such as 2026-05-12T14:00-06:00"),
        (
            ["add", "{project}", "missing.log"],
            "missing.log is not there; look at its name and at the folder.",
        ),
        (["key", "own", "{project}", "Designer", "{project}"], "is a folder, and a file is asked for."),
        (["add", "nowhere-yet", "missing.log"], "missing.log"),
    ],
)
def test_a_mistake_gets_a_sentence_and_no_traceback(
    project: Path, words: list[str], said: str, capsys: pytest.CaptureFixture[str], tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("getpass.getpass", lambda _: "seven quiet herons on the bank")
    assert run([each.format(project=project) for each in words]) == REFUSED
    caught = capsys.readouterr()
    assert said in caught.err
    assert "Traceback" not in caught.err
    assert not (tmp_path / "nowhere-yet").exists()


def test_a_log_for_a_folder_that_is_no_project_is_told_in_one_sentence(
    project: Path, logs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    wrong = tmp_path / "by-hnd"
    assert run(["add", str(wrong), str(logs / "P1-1.log")]) == REFUSED
    (said,) = capsys.readouterr().err.splitlines()
    assert said.startswith(f"{wrong} is not a project yet, and no file here holds a project set-up.")
    assert not wrong.exists()
    assert run(["add", str(project), str(logs / "P1-1.log")]) == DONE
    assert "is a new project" not in capsys.readouterr().out
    assert run(["add", str(tmp_path / "other"), str(logs)]) == DONE
    assert f"{tmp_path / 'other'} is a new project." in capsys.readouterr().out


class Terminal(StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def test_what_is_said_after_progress_on_a_terminal_begins_in_a_line_of_its_own() -> None:
    stream = Terminal()
    with pytest.raises(ValueError, match="stopped"), progress_line(stream) as progress:
        progress("adding P1-1.log")
        raise ValueError("stopped")
    assert stream.getvalue().endswith("adding P1-1.log\r\x1b[2K")


def test_a_narrow_terminal_gets_lines_that_fit(
    project: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("COLUMNS", "72")
    capsys.readouterr()
    assert run(["shafts", str(project), "--as-of", "last"]) == DONE
    board = capsys.readouterr().out
    assert max(map(len, board.splitlines())) <= 72
    assert "  base standing: not shown" in board
    assert "  base credit: not decided" in board
    assert run(["show", str(project), "P1-1", "--as-of", "last"]) == NOT_AS_ASKED
    findings = capsys.readouterr().out.split("\n\n", 1)[1]
    assert max(map(len, findings.splitlines())) <= 72
    monkeypatch.setenv("COLUMNS", "150")
    assert run(["show", str(project), "P1-1", "--as-of", "last"]) == NOT_AS_ASKED
    wide = capsys.readouterr().out
    for requirement in ("base reached", "base area share", "plumbness"):
        assert requirement in findings
        assert requirement in wide


def test_no_command_shows_the_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert run([]) == DONE
    assert "licensed engineers decide" in capsys.readouterr().out


def test_a_refused_log_leaves_no_new_project_behind(
    tmp_path: Path, logs: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    hole = logs / "P1-1.log"
    hole.write_text(hole.read_text("utf-8").replace("shaft     P1-1", "shaft     P9-9"), "utf-8")
    assert run(["add", str(tmp_path / "fresh"), str(logs)]) == REFUSED
    assert "P9-9" in capsys.readouterr().err
    assert sorted(each.name for each in tmp_path.iterdir() if "fresh" in each.name) == []


def test_a_refused_log_leaves_a_folder_that_was_there_as_it_was(tmp_path: Path, logs: Path) -> None:
    own = tmp_path / "site"
    own.mkdir()
    (own / "photo list.txt").write_text("mine", "utf-8")
    (logs / "P1-1.log").write_text("project larkwater\nno such line\n", "utf-8")
    assert run(["add", str(own), str(logs)]) != DONE
    assert [each.name for each in own.iterdir()] == ["photo list.txt"]


def test_a_project_can_be_looked_at_while_it_is_open_for_work(project: Path) -> None:
    with open_project(project):
        assert run(["shafts", str(project)]) == DONE
        assert run(["report", str(project), "P1-1"]) == DONE
        assert run(["add", str(project), str(project.parent / "logs")]) == REFUSED


def test_an_earlier_moment_shows_the_record_as_it_was_then(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    run(["show", str(project), "P1-1", "--json", "--as-of", "2026-05-12T08:20-06:00"])
    before = json.loads(capsys.readouterr().out)
    run(["show", str(project), "P1-1", "--json", "--as-of", "2026-05-12T08:50-06:00"])
    after = json.loads(capsys.readouterr().out)
    assert before["record_digest"] != after["record_digest"]
    assert "not sounded" in next(
        each["says"] for each in before["findings"] if each["requirement"] == "base area share"
    )


def test_a_key_is_made_once_and_signs_a_log(
    project: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = iter(["one two three four", "another thing here"])
    monkeypatch.setattr("getpass.getpass", lambda _: next(answers))
    assert run(["key", "make", str(project), "Inspector A"]) == REFUSED
    monkeypatch.setattr("getpass.getpass", lambda _: "seven quiet herons on the bank")
    assert run(["key", "make", str(project), "Inspector A"]) == DONE
    assert run(["key", "make", str(project), "Inspector A"]) == REFUSED
    assert run(["report", str(project), "P1-1", "--sign", "Inspector A", "--as-of", "last"]) == DONE
    assert "-signed.pdf" in capsys.readouterr().out


def test_a_broken_name_of_this_device_is_replaced(
    tmp_path: Path, logs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    for content in (b"", b"\xff\xfe", b"../up"):
        path = tmp_path / "home" / "basenote" / "device.txt"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
        name = this_device()
        assert name.startswith("no. ")
        assert this_device() == name


def test_a_prompt_that_nobody_answers_is_no_traceback(
    project: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def nobody(_: str) -> str:
        raise EOFError

    monkeypatch.setattr("getpass.getpass", nobody)
    assert run(["key", "make", str(project), "Inspector A"]) == REFUSED
    assert "Stopped" in capsys.readouterr().err
