"""The demo: thirteen stories come out as they are told, signed logs that others call valid, no harm twice."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from fieldapp.desk.demo import DemoProject, run_demo
from fieldapp.desk.papers.verifying import verify_file
from fieldapp.desk.trust.audit import audit
from fieldapp.desk.workplace import read_project
from fieldapp.identity.verification import Verdict
from fieldapp.record.words import Role
from tests.support.outside import VALID, openssl_accepts, pdfsig_says

# The stories as README of the samples tells them; nothing here is computed by the program.
STANDINGS = {
    "P1-1": "clean",
    "P1-2": "clean",
    "P1-3": "reduced",
    "P1-4": "rework",
    "P2-1": "not shown",
    "P2-2": "rework",
    "P2-3": "rework",
    "P2-4": "rework",
    "P2-5": "not creditable",
    "T-1": "reduced",
    "B1": "clean",
    "B2": "rework",
    "B3": "not shown",
}
RELEASES = {"P1-1": "released", "P1-3": "lapsed", "P1-4": "held", "P2-1": "none", "P2-4": "lapsed"}
NEXT = {"P1-4": "Restore the head", "P2-1": "Sound the base", "P2-3": "Overream the bottom"}


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, tuple[DemoProject, ...], list[str]]:
    home = tmp_path_factory.mktemp("home")
    before = os.environ.get("XDG_CONFIG_HOME")
    os.environ["XDG_CONFIG_HOME"] = str(home)
    said: list[str] = []
    folder = tmp_path_factory.mktemp("demo") / "demo"
    try:
        yield folder, run_demo(folder, said.append), said  # type: ignore[misc]
    finally:
        os.environ.pop("XDG_CONFIG_HOME")
        if before is not None:
            os.environ["XDG_CONFIG_HOME"] = before


def test_every_story_comes_out_as_it_is_told(demo: tuple[Path, tuple[DemoProject, ...], list[str]]) -> None:
    shafts = {each.shaft.id: each for project in demo[1] for each in project.shafts}
    assert {name: each.standing.standing for name, each in shafts.items()} == STANDINGS
    assert {name: shafts[name].release.status for name in RELEASES} == RELEASES
    assert {name: shafts[name].standing.next_step.says for name in NEXT} == NEXT
    assert shafts["P1-1"].credit == "full credit"
    assert "Base area share" in shafts["P2-4"].release.reason


def test_a_clean_shaft_has_every_asked_requirement_met(
    demo: tuple[Path, tuple[DemoProject, ...], list[str]],
) -> None:
    for project in demo[1]:
        for each in project.shafts:
            outcomes = {found.outcome for found in each.findings}
            assert (outcomes <= {"met", "not asked"}) is (STANDINGS[each.shaft.id] == "clean"), each.shaft.id


def test_it_shows_progress_and_its_projects_hold_up(
    demo: tuple[Path, tuple[DemoProject, ...], list[str]],
) -> None:
    assert any("P1-1.log" in each for each in demo[2])
    for project in demo[1]:
        assert [each for each in audit(project.folder) if not each.ok] == []


def test_run_again_it_adds_and_rewrites_nothing(
    demo: tuple[Path, tuple[DemoProject, ...], list[str]],
) -> None:
    folder, first, _ = demo
    before = {path: path.read_bytes() for path in folder.rglob("*.pdf")}
    again = run_demo(folder, lambda _: None)
    assert [each.shafts for each in again] == [each.shafts for each in first]
    assert not any(paper.new for project in again for paper in project.papers)
    assert {path: path.read_bytes() for path in folder.rglob("*.pdf")} == before


def test_we_and_two_independent_programs_agree_on_every_log_and_on_a_changed_one(
    demo: tuple[Path, tuple[DemoProject, ...], list[str]], pdfsig: str, openssl: str, tmp_path: Path
) -> None:
    judged = 0
    for project in demo[1]:
        last = {each.path.name.split("-log-")[0]: each.path for each in project.papers}
        last |= {each.path.name.split("-log-")[0]: each.path for each in project.signed_further}
        with read_project(project.folder) as place:
            for path in last.values():
                pdf = path.read_bytes()
                changed = flipped(pdf)
                signed = verify_file(pdf, place).signed.signatures
                pem = place.setup().person(signed[-1].signer or "").certificate  # type: ignore[union-attr]
                assert verify_file(pdf, place).verdict is Verdict.VALID, path.name
                assert verify_file(changed, place).verdict is Verdict.REJECTED, path.name
                assert pdfsig_says(pdfsig, tmp_path, pdf).count(VALID) == len(signed), path.name
                assert pdfsig_says(pdfsig, tmp_path, changed).count(VALID) < len(signed), path.name
                assert openssl_accepts(openssl, tmp_path, pdf, pem, place.now()), path.name
                assert not openssl_accepts(openssl, tmp_path, changed, pem, place.now()), path.name
                judged += 1
    assert judged == len(STANDINGS)


def test_one_log_is_signed_by_all_three_and_its_earlier_states_are_told_from_it(
    demo: tuple[Path, tuple[DemoProject, ...], list[str]],
) -> None:
    larkwater = demo[1][0]
    closed = larkwater.signed_further[-1].path
    first = next(each.path for each in larkwater.papers if each.path.name.startswith("p1-1-"))
    with read_project(larkwater.folder) as place:
        roles = [each.role for each in verify_file(closed.read_bytes(), place).signed.signatures]
        assert roles == [Role.INSPECTOR, Role.RESIDENT_ENGINEER, Role.DESIGNER]
        assert verify_file(first.read_bytes(), place).verdict is Verdict.REJECTED
    assert verify_file(closed.read_bytes()).verdict is Verdict.UNKNOWN


def flipped(pdf: bytes) -> bytes:
    """One bit changed in the middle of the first revision, which every signature covers."""
    changed = bytearray(pdf)
    changed[pdf.index(b"%%EOF") // 2] ^= 1
    return bytes(changed)
