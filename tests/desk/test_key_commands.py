"""Keys from the command line: passphrases typed unseen, sentences for mistakes, nothing secret shown."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from fieldapp.cli import DONE, REFUSED, run
from fieldapp.desk.workplace import read_project
from fieldapp.record.attesting import Revocation
from tests.desk.conftest import HOLE, SETUP
from tests.identity.own_files import OWN_PHRASE, Own, own_file, rsa_file

PASSPHRASE = "seven quiet herons on the bank"
OTHER = "eleven loud otters under a bridge"
INSPECTOR, ENGINEER = "Inspector A", "Resident engineer"
Types = Callable[..., None]


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    base = tmp_path_factory.mktemp("keys")
    logs = base / "logs"
    logs.mkdir()
    (logs / "project.log").write_text(SETUP, "utf-8")
    (logs / "P1-1.log").write_text(HOLE, "utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CONFIG_HOME", str(base / "settings"))
        assert run(["add", str(base / "project"), str(logs)]) == DONE
    return base / "project"


@pytest.fixture
def project(begun: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "settings"))
    shutil.copytree(begun, tmp_path / "project")
    return str(tmp_path / "project")


@pytest.fixture
def types(monkeypatch: pytest.MonkeyPatch) -> Types:
    """What a person types unseen, one after the other; asking once more than that fails the test."""

    def typed(*answers: str) -> None:
        left = iter(answers)
        monkeypatch.setattr("getpass.getpass", lambda _: next(left))

    return typed


def test_a_key_is_made_changed_and_revoked_with_nothing_secret_on_the_screen(
    project: str, types: Types, capsys: pytest.CaptureFixture[str]
) -> None:
    types(PASSPHRASE, PASSPHRASE)
    assert run(["key", "make", project, INSPECTOR]) == DONE
    types(PASSPHRASE + "s", OTHER, OTHER)
    assert run(["key", "passphrase", project, INSPECTOR]) == REFUSED
    types(PASSPHRASE, OTHER, OTHER)
    assert run(["key", "passphrase", project, INSPECTOR]) == DONE
    words = ["key", "revoke", project, INSPECTOR, "--why", "tablet lost", "--as", ENGINEER]
    assert run([*words, "--since", "2199-01-01T00:00Z"]) == REFUSED
    assert run(words) == DONE
    assert run([*words[:-1], "Somebody"]) == REFUSED
    said = capsys.readouterr()
    assert "cannot be recovered" in said.out
    assert "opens with the new passphrase only" in said.out
    assert "certificates: 1" in said.out
    assert "does not open this key file" in said.err
    assert "Traceback" not in said.err
    for secret in (PASSPHRASE, OTHER):
        assert secret not in said.out + said.err
    with read_project(Path(project)) as place:
        (found,) = [each.values for each in place.record().lines if isinstance(each.values, Revocation)]
    assert (found.holder, found.why) == (INSPECTOR, "tablet lost")


def test_what_can_be_refused_is_refused_before_a_passphrase_is_typed(
    project: str, types: Types, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    own = tmp_path / "own.p12"
    own.write_bytes(own_file(Own()))
    types()  # nobody is asked for anything
    assert run(["key", "make", project, "Nobody"]) == REFUSED
    assert run(["key", "own", project, "Nobody", str(own)]) == REFUSED
    assert run(["key", "passphrase", project, INSPECTOR]) == REFUSED
    said = capsys.readouterr().err
    assert said.count("'Nobody'") == 2
    assert "no key of Inspector A" in said


def test_an_own_certificate_is_taken_and_a_bad_one_refused(
    project: str, types: Types, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    good, bad = tmp_path / "own.p12", tmp_path / "rsa.p12"
    good.write_bytes(own_file(Own()))
    bad.write_bytes(rsa_file())
    types(OWN_PHRASE, OTHER, OTHER)
    assert run(["key", "own", project, "Designer", str(bad)]) == REFUSED
    assert run(["key", "own", project, "Designer", str(tmp_path / "missing.p12")]) == REFUSED
    types(OWN_PHRASE, OTHER, OTHER)
    assert run(["key", "own", project, "Designer", str(good)]) == DONE
    said = capsys.readouterr()
    assert "holds an RSA key" in said.err
    assert "missing.p12" in said.err
    assert "of A. Surveyor (Qualified) now" in said.out
    assert OWN_PHRASE not in said.out + said.err


def test_the_authority_is_made_outside_the_project_and_vouches_for_a_person(
    project: str, types: Types, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = str(tmp_path / "authority.p12")
    types(OTHER, OTHER)
    inside = str(Path(project) / "keys" / "authority.p12")
    assert run(["authority", "make", project, inside, "--as", ENGINEER]) == REFUSED
    types(OTHER, OTHER)
    assert run(["authority", "make", project, file, "--as", ENGINEER]) == DONE
    types(PASSPHRASE, PASSPHRASE)
    assert run(["key", "make", project, INSPECTOR]) == DONE
    types(OTHER)
    assert run(["authority", "endorse", project, INSPECTOR, file, "--as", ENGINEER]) == DONE
    said = capsys.readouterr()
    assert "outside the project folder" in said.err
    assert "basenote authority endorse PROJECT 'Inspector A'" in said.out
    assert "The authority vouches for Inspector A (inspector) until" in said.out


@pytest.mark.parametrize(
    "words", [["key"], ["key", "lend", "p", "q"], ["authority"], ["key", "revoke", "p", "q", "--as", "r"]]
)
def test_an_unfinished_command_shows_how_it_goes_on(
    words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as left:
        run(words)
    assert left.value.code == REFUSED
    assert "usage: basenote" in capsys.readouterr().err


CRASH = """\
import sys
from pathlib import Path
from fieldapp.desk.trust.people import make_key, unlock_key
from fieldapp.desk.workplace import open_project
from fieldapp.ui.crash import crash_file
from fieldapp.ui.session import Session

folder = Path(sys.argv[1])
passphrase = sys.stdin.read()

def sign(place, passphrase):
    make_key(place, "Inspector A", passphrase)
    key = unlock_key(place, "Inspector A", passphrase)
    secret = format(key.private_key.private_numbers().private_value, "064x")
    (folder.parent / "secret.txt").write_text(secret)
    raise RuntimeError(passphrase + secret)

with open_project(folder) as place:
    try:
        sign(place, passphrase)
    except RuntimeError as problem:
        print(crash_file(Session(folder), problem))
"""


def test_a_crash_report_holds_no_passphrase_and_no_key_even_where_the_error_does(
    project: str, tmp_path: Path
) -> None:
    quiet = {
        "KIVY_NO_ARGS": "1",
        "KIVY_NO_FILELOG": "1",
        "KIVY_NO_CONSOLELOG": "1",
        "KIVY_HOME": str(tmp_path),
    }
    done = subprocess.run(
        [sys.executable, "-c", CRASH, project],
        input=PASSPHRASE,
        capture_output=True,
        text=True,
        check=True,
        cwd=Path(__file__).parents[2],
        env={**os.environ, **quiet},
    )
    report = (tmp_path / done.stdout.strip().splitlines()[-1]).read_text("utf-8")
    secret = (tmp_path / "secret.txt").read_text()
    assert "RuntimeError" in report
    assert "in sign" in report
    assert len(secret) == 64
    for each in (PASSPHRASE, secret, str(int(secret, 16))):
        assert each not in report
        assert each not in done.stdout + done.stderr
