"""The demo: thirteen stories come out as they are told, signed logs that others call valid, no harm twice."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest

from fieldapp.desk.audit import audit
from fieldapp.desk.demo import DemoProject, run_demo

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


@pytest.mark.skipif(
    shutil.which("pdfsig") is None and not os.environ.get("CI"), reason="pdfsig (poppler-utils) is not here"
)
def test_an_independent_program_calls_every_log_valid(
    demo: tuple[Path, tuple[DemoProject, ...], list[str]],
) -> None:
    papers = [paper.path for project in demo[1] for paper in project.papers]
    assert len(papers) == len(STANDINGS)
    for path in papers:
        done = subprocess.run(
            ["pdfsig", "-nocert", str(path)],
            capture_output=True,
            text=True,
            check=False,
            env={**os.environ, "LC_ALL": "C"},
        )
        assert "Signature is Valid" in done.stdout, path.name
        changed = bytearray(path.read_bytes())
        changed[len(changed) // 2] ^= 1
        other = path.with_name("changed.pdf")
        other.write_bytes(changed)
        done = subprocess.run(["pdfsig", "-nocert", str(other)], capture_output=True, text=True, check=False)
        assert "Signature is Valid" not in done.stdout, path.name
        other.unlink()
