"""Papers from the command line: certify, sign further, verify, with exit codes and sentences."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from fieldapp.cli import DONE, NOT_AS_ASKED, REFUSED, run
from fieldapp.desk.trust.people import make_key
from fieldapp.desk.workplace import open_project
from tests.desk.conftest import HOLE, SETUP

PASSPHRASE = "seven quiet herons on the bank"


@pytest.fixture(scope="module")
def with_keys(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A project whose three people have keys, beside the folder of this device; both are copied."""
    top = tmp_path_factory.mktemp("made")
    logs = top / "logs"
    logs.mkdir()
    for name, text in (("project", SETUP), ("P1-1", HOLE)):
        (logs / f"{name}.log").write_text(text, "utf-8")
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("XDG_CONFIG_HOME", str(top / "home"))
        assert run(["add", str(top / "by-hand"), str(logs)]) == DONE
        with open_project(top / "by-hand") as place:
            for person in ("Inspector A", "Resident engineer", "Designer"):
                make_key(place, person, PASSPHRASE)
    return top


@pytest.fixture
def project(with_keys: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copytree(with_keys, tmp_path, dirs_exist_ok=True)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    monkeypatch.setattr("getpass.getpass", lambda _: PASSPHRASE)
    return tmp_path / "by-hand"


def last_line(capsys: pytest.CaptureFixture[str]) -> Path:
    return Path(capsys.readouterr().out.strip().splitlines()[-1])


def test_a_log_is_certified_countersigned_closed_and_verified(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["report", str(project), "P1-1", "--sign", "Inspector A", "--as-of", "last"]) == DONE
    first = last_line(capsys)
    assert run(["verify", str(first), "--project", str(project)]) == DONE
    assert capsys.readouterr().out.startswith("valid: ")
    assert run(["verify", str(first)]) == NOT_AS_ASKED
    assert capsys.readouterr().out.startswith("unknown: ")
    assert run(["sign", str(project), str(first), "--as", "Designer", "--role", "designer"]) == REFUSED
    assert "resident engineer must sign before" in capsys.readouterr().err
    assert run(["sign", str(project), str(first), "--as", "Designer"]) == REFUSED
    turn = "The next signature on this paper is that of a resident engineer, and Designer is designer"
    assert turn in capsys.readouterr().err
    assert run(["sign", str(project), str(first), "--as", "Resident engineer"]) == DONE
    second = last_line(capsys)
    assert run(["sign", str(project), str(second), "--as", "Designer"]) == DONE
    third = last_line(capsys)
    assert (second.name[-13:], third.name[-13:]) == ("-signed-2.pdf", "-signed-3.pdf")
    assert run(["verify", str(third), "--project", str(project), "--json"]) == DONE
    found = json.loads(capsys.readouterr().out)
    assert found["verdict"] == "valid"
    assert [each["signer"] for each in found["signatures"]] == [
        "Inspector A",
        "Resident engineer",
        "Designer",
    ]
    assert run(["verify", str(first), "--project", str(project)]) == NOT_AS_ASKED
    assert "Designer signed as designer" in capsys.readouterr().out
    changed = bytearray(third.read_bytes())
    changed[len(changed) // 2] ^= 1
    other = third.with_name("changed.pdf")
    other.write_bytes(changed)
    assert run(["verify", str(other), "--project", str(project)]) == NOT_AS_ASKED
    assert capsys.readouterr().out.startswith("rejected: ")
    assert run(["check", str(project)]) == DONE


def test_a_summary_is_unsigned_until_the_designer_signs_it(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["summary", str(project), "--as-of", "last"]) == DONE
    unsigned = last_line(capsys)
    assert run(["verify", str(unsigned), "--project", str(project)]) == NOT_AS_ASKED
    assert capsys.readouterr().out.startswith("unknown: ")
    assert run(["summary", str(project), "--as-of", "last", "--sign", "Inspector A"]) == REFUSED
    assert "is to sign as designer" in capsys.readouterr().err
    assert run(["summary", str(project), "--as-of", "last", "--sign", "Designer"]) == DONE
    signed = last_line(capsys)
    assert signed.name == unsigned.name.replace("-unsigned", "-signed")
    assert run(["verify", str(signed), "--project", str(project)]) == DONE
    assert capsys.readouterr().out.startswith("valid: ")
    assert run(["verify", str(signed), "--json"]) == NOT_AS_ASKED
    found = json.loads(capsys.readouterr().out)
    assert (found["verdict"], found["kind"]) == ("unknown", "project summary")
    assert [each["shaft"] for each in found["summary"]["shafts"]] == ["P1-1"]
    assert run(["check", str(project)]) == DONE


def test_an_older_record_is_signed_only_when_that_is_confirmed(
    project: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["report", str(project), "P1-1", "--sign", "Inspector A", "--as-of", "last"]) == DONE
    path = str(last_line(capsys))
    more = tmp_path / "more.log"
    more.write_text(
        "project   larkwater\ndevice    tablet north\nauthor    Inspector A\nzone      America/Denver\n"
        "day       2026-05-12\n\n10:00  shaft P1-1  note\n  text  cage on site\n",
        "utf-8",
    )
    assert run(["add", str(project), str(more)]) == DONE
    words = ["sign", str(project), path, "--as", "Resident engineer"]
    capsys.readouterr()
    assert run(words) == NOT_AS_ASKED
    said = capsys.readouterr().out
    assert "Sign the older state all the same?" in said
    assert "--confirm older-record" in said
    assert len(list((project / "reports").iterdir())) == 1
    assert run([*words, "--confirm", "older-record"]) == DONE
    assert last_line(capsys).name.endswith("-signed-2.pdf")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["verify", "{project}/nowhere.pdf"], "nowhere.pdf"),
        (["verify", "{project}"], "{project}"),
        (["verify", "{project}/journal.db"], "a PDF of at most 256 MB, or a bundle"),
        (["verify", "{project}/journal.db", "--project", "nowhere"], "nowhere is not a project folder"),
        (["sign", "{project}", "{project}/nowhere.pdf", "--as", "Designer"], "nowhere.pdf"),
        (["sign", "{project}", "{project}/journal.db", "--as", "Designer"], "a PDF"),
    ],
)
def test_a_file_that_cannot_be_read_gets_a_sentence(
    project: Path, words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    assert run([each.format(project=project) for each in words]) == REFUSED
    caught = capsys.readouterr()
    assert said.format(project=project) in caught.err
    assert caught.out == ""


def test_several_files_get_a_verdict_each_and_the_exit_code_of_the_worst(
    project: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["report", str(project), "P1-1", "--sign", "Inspector A", "--as-of", "last"]) == DONE
    good = last_line(capsys)
    cut = tmp_path / "cut.pdf"
    cut.write_bytes(good.read_bytes()[:20_000])
    with_project = ["--project", str(project)]
    assert run(["verify", str(good), str(good), *with_project]) == DONE
    capsys.readouterr()
    assert run(["verify", str(good), str(cut), *with_project]) == NOT_AS_ASKED
    told = capsys.readouterr().out
    assert [f"{good}\nvalid: " in told, f"{cut}\nrejected: " in told] == [True, True]
    gone, sums = tmp_path / "gone.pdf", tmp_path / "sums.txt"
    sums.write_text("no paper", "utf-8")
    files = [str(gone), str(sums), str(cut), str(good)]
    assert run(["verify", *files, *with_project]) == REFUSED
    told = capsys.readouterr().out  # in the order in which they were asked for, and none stops the next
    assert f"{gone}\n{gone} is not there" in told
    assert [told.index(each) for each in files] == sorted(told.index(each) for each in files)
    assert f"{good}\nvalid: " in told
    assert run(["verify", *files, *with_project, "--json"]) == REFUSED
    found = json.loads(capsys.readouterr().out)
    assert [each["path"] for each in found] == files
    assert [each["verdict"] for each in found] == [None, None, "rejected", "valid"]


def test_no_sentence_of_a_verdict_is_told_twice(
    project: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["report", str(project), "P1-1", "--as-of", "last"]) == DONE
    cut = tmp_path / "cut.pdf"
    cut.write_bytes(last_line(capsys).read_bytes()[:20_000])
    assert run(["verify", str(cut)]) == NOT_AS_ASKED
    assert capsys.readouterr().out.count("This is not a whole PDF") == 1


def test_a_no_that_speaks_against_nothing_is_not_written_large(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["report", str(project), "P1-1", "--sign", "Inspector A", "--as-of", "last"]) == DONE
    assert run(["verify", str(last_line(capsys)), "--project", str(project)]) == DONE
    told = capsys.readouterr().out
    assert "  no       The paper shows no release" in told
    assert "  NO " not in told


def test_who_has_no_key_here_is_told_before_a_passphrase_is_asked(
    project: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def nobody(_: str) -> str:
        raise AssertionError("a passphrase was asked")

    monkeypatch.setattr("getpass.getpass", nobody)
    (project / "keys" / "inspector-a.p12").unlink()
    words = ["report", str(project), "P1-1", "--sign"]
    assert run([*words, "Inspector A"]) == REFUSED
    assert f"make one: basenote key make {project} 'Inspector A'" in capsys.readouterr().err
    assert run([*words, "Somebody"]) == REFUSED
    assert "Somebody is not on the project's roster (Inspector A, " in capsys.readouterr().err
    assert run(["signoff", str(project), "P9-9", "--as", "Designer"]) == REFUSED
    assert "There is no shaft P9-9" in capsys.readouterr().err


def test_a_wrong_passphrase_signs_nothing(
    project: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("getpass.getpass", lambda _: "another thing altogether")
    assert run(["report", str(project), "P1-1", "--sign", "Inspector A"]) == REFUSED
    assert "passphrase" in capsys.readouterr().err
    assert not list((project / "reports").iterdir())
