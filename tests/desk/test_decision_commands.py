"""Decisions on the command line: questions with their codes, exit codes, and nothing written before."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from fieldapp.cli import DONE, NOT_AS_ASKED, REFUSED, run
from fieldapp.commands.asking import moment_from
from fieldapp.desk.decisions import engineer
from fieldapp.desk.trust.people import make_key
from fieldapp.desk.workplace import open_project, read_project
from tests.desk.decision_site import SANDY, Site, site
from tests.desk.signed_work import DESIGNER, ENGINEER, INSPECTOR

PASSPHRASE = "six plain words for the test"


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A project of today's clock, whose people have key files that open with one passphrase."""
    folder = tmp_path_factory.mktemp("commands")
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("XDG_CONFIG_HOME", str(folder / "home"))
        patched.setattr("getpass.getpass", lambda _: PASSPHRASE)
        with site(folder / "sandy", SANDY, with_keys=False) as made:
            at = made.place.folder
        with open_project(at, device="office desk") as place:
            for who in (INSPECTOR, ENGINEER, DESIGNER):
                make_key(place, who, PASSPHRASE)
        yield at


def kinds(project: Path) -> list[str]:
    with read_project(project) as place:
        return [each.kind for each in place.entries() if each.device not in Site.TYPED]


def test_what_is_to_be_confirmed_is_asked_with_its_code_and_nothing_is_written(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = kinds(project)
    words = ["signoff", str(project), "P1-3", "--as", INSPECTOR]
    assert run(words) == NOT_AS_ASKED
    said = capsys.readouterr().out
    assert "not met: Sand 4.8 %" in said
    assert "--confirm sign-open" in said
    assert "Nothing was recorded." in said
    assert kinds(project) == before
    assert run([*words, "--confirm", "sign-open", "--statement", "As observed."]) == DONE
    said = capsys.readouterr().out
    assert "Recorded and signed: log signed of shaft P1-3" in said
    assert Path(said.splitlines()[0]).read_bytes().startswith(b"%PDF")
    assert kinds(project)[len(before) :] == ["log signed", "device key", "stretch signed", "paper signed"]


def test_the_limits_of_a_release_are_told_and_nothing_is_done(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = kinds(project)
    capsys.readouterr()
    assert run(["release", str(project), "P1-3", "--limits"]) == DONE
    told = capsys.readouterr().out
    assert "The acceptance set lets a release hold for 4 h" in told
    with read_project(project) as place:
        release_until = [each.until for each in engineer.release_until(place, "P1-3").limits]
    for line, until in zip(
        [each for each in told.splitlines() if each.startswith("20")], release_until, strict=True
    ):
        typed = moment_from(line.split()[0], "until")  # what is printed can be typed, and is not too late
        assert timedelta(0) <= until - typed < timedelta(minutes=2)
    assert run(["release", str(project), "P1-3", "--limits", "--json"]) == DONE
    told = json.loads(capsys.readouterr().out)
    assert "release valid for" in [each["requirement"] for each in told["limits"]]
    assert kinds(project) == before


def test_a_release_without_a_reason_by_the_wrong_person_or_without_a_time_is_refused(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = kinds(project)
    with read_project(project) as place:
        until = place.now().replace(microsecond=0)
    soon = until.replace(year=until.year + 1).isoformat()
    assert run(["release", str(project), "P1-3"]) == REFUSED
    assert run(["release", str(project), "P1-3", "--as", ENGINEER, "--until", "noon"]) == REFUSED
    assert run(["release", str(project), "P1-3", "--as", ENGINEER, "--until", soon]) == REFUSED
    said = capsys.readouterr().err
    assert "A release can hold until" in said
    assert "Give the reason for releasing over" in said
    assert run(["release", str(project), "P1-3", "--as", INSPECTOR, "--until", soon]) == REFUSED
    assert "may not make a release" in capsys.readouterr().err
    assert kinds(project) == before


def test_hold_release_withdraw_and_dispose_one_after_the_other(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with read_project(project) as place:
        until = place.now().timestamp() + 3600
        soon = place.now().fromtimestamp(until, place.now().tzinfo).isoformat()
    shaft = [str(project), "P1-3"]
    capsys.readouterr()
    assert run(["hold", *shaft, "--as", ENGINEER, "--reason", "wait for the tremie"]) == DONE
    assert "Concrete on P1-3: held: wait for the tremie." in capsys.readouterr().out
    words = ["release", *shaft, "--as", ENGINEER, "--until", soon, "--reason", "the side carries it"]
    assert run(words) == NOT_AS_ASKED
    assert "--confirm override" in capsys.readouterr().out
    assert run([*words, "--confirm", "override", "--confirm", "past-forecast"]) == DONE
    assert run(["show", *shaft]) == NOT_AS_ASKED
    assert "* Released at" in capsys.readouterr().out
    assert run(["show", *shaft, "--json"]) == NOT_AS_ASKED
    assert len(json.loads(capsys.readouterr().out)["release_remarks"]) == 1
    assert run(["withdraw", *shaft, "--as", ENGINEER, "--reason", "pump failed"]) == DONE
    assert run(["withdraw", *shaft, "--as", ENGINEER, "--reason", "again"]) == REFUSED
    reduced = ["dispose", *shaft, "reduced credit", "--as", DESIGNER, "--why", "sand"]
    assert run([*reduced, "--credit", "1.2", "--displacement", "0.4 in"]) == REFUSED
    capsys.readouterr()
    assert run([*reduced, "--credit", "0.7"]) == REFUSED
    assert "takes --credit RATIO and --displacement LENGTH" in capsys.readouterr().err
    assert run([*reduced, "--credit", "0.7", "--displacement", "0.4 in"]) == NOT_AS_ASKED
    assert "--confirm over-estimate" in capsys.readouterr().out
    whole = [*reduced, "--credit", "0.7", "--displacement", "0.4 in", "--confirm", "over-estimate"]
    assert run(whole) == DONE
    decided = [each for each in kinds(project) if each in {"hold", "release", "withdrawal", "disposition"}]
    assert decided == ["hold", "release", "withdrawal", "disposition"]


def test_a_wrong_passphrase_decides_nothing(
    project: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    before = kinds(project)
    monkeypatch.setattr("getpass.getpass", lambda _: "six other words for the test")
    assert run(["hold", str(project), "P1-3", "--as", ENGINEER, "--reason", "x"]) == REFUSED
    assert "passphrase" in capsys.readouterr().err
    assert kinds(project) == before
