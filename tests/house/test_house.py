"""The rules of the house itself: contracts, sizes, documents, and what must never be committed."""

from __future__ import annotations

import argparse
import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

from fieldapp.cli import parser
from fieldapp.criteria.findings import RULE_NAMES
from fieldapp.desk.projects.presets import preset_names
from fieldapp.record.kinds import KINDS

HOUSE = Path(__file__).parents[2]
DEVELOPERS = (HOUSE / "DEVELOPERS.md").read_text("utf-8")
README = (HOUSE / "README.md").read_text("utf-8")
MODULES = sorted(path for part in ("fieldapp", "reports") for path in (HOUSE / part).rglob("*.py"))
COMMITTED = subprocess.run(
    ["git", "ls-files"], cwd=HOUSE, capture_output=True, text=True, check=False
).stdout.split("\n")


def test_the_import_contracts_hold() -> None:
    found = subprocess.run(
        [sys.executable, "-m", "importlinter.cli", "lint"],
        cwd=HOUSE,
        capture_output=True,
        text=True,
        check=False,
    )
    script = Path(sys.executable).with_name("lint-imports")
    if script.exists():
        found = subprocess.run([str(script)], cwd=HOUSE, capture_output=True, text=True, check=False)
    assert found.returncode == 0, found.stdout + found.stderr


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_every_entry_kind_is_in_the_developers_page(kind: str) -> None:
    assert f"| `{kind}` | {KINDS[kind].__name__} |" in DEVELOPERS


@pytest.mark.parametrize("name", sorted(RULE_NAMES))
def test_every_requirement_is_in_the_developers_page(name: str) -> None:
    assert f"| `{name}` | {RULE_NAMES[name]} |" in DEVELOPERS


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(HOUSE)))
def test_a_module_is_short_and_says_what_it_promises(path: Path) -> None:
    text = path.read_text("utf-8")
    assert len(text.splitlines()) <= 400
    assert ast.get_docstring(ast.parse(text)) or not text.strip()


def commands(top: argparse.ArgumentParser, before: str = "") -> dict[str, argparse.ArgumentParser]:
    """Every command, and what it does where it does several things, by its words."""
    found = {}
    for action in top._actions:
        if isinstance(action, argparse._SubParsersAction):
            for name, one in action.choices.items():
                found |= commands(one, f"{before}{name} ") or {f"{before}{name}": one}
    return found


@pytest.mark.parametrize("name", commands(parser()))
def test_every_command_is_in_the_readme_and_has_help(name: str) -> None:
    assert f"`basenote {name}" in README
    assert commands(parser())[name].description or name.partition(" ")[0] in parser().format_help()


def test_the_house_is_looked_at_in_a_checkout() -> None:
    if not (HOUSE / ".git").exists():
        pytest.skip("not a git checkout: what is committed cannot be known")
    assert "README.md" in COMMITTED


def test_the_top_level_is_the_house_of_the_design() -> None:
    top = {path.split("/")[0] for path in COMMITTED if path}
    allowed = {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "fieldapp",
        "reports",
        "tests",
        "assets",
        "sample_logs",
    }
    assert {each for each in top if not each.startswith(".")} <= allowed


def test_nothing_committed_names_a_machine_or_a_registry() -> None:
    never = re.compile(
        r"https?://[a-z.-]+/(simple|packages)/|extra-index" + r"-url|/wor" + r"k/|/ro" + r"ot/"
    )
    guilty = []
    for each in filter(None, COMMITTED):
        path = HOUSE / each
        if path.is_file() and path.suffix not in {".png", ".pdf", ".ttf"}:
            guilty += [each for line in path.read_text("utf-8", "replace").splitlines() if never.search(line)]
    assert guilty == []


def test_there_are_presets_to_adopt() -> None:
    assert "us-classic" in preset_names()
    assert len(preset_names()) >= 7
