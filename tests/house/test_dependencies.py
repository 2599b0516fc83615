"""What the program stands on: all of it declared, used, explained, and free to be shipped.

Known faults of a library are not looked up here: that needs a list that somebody keeps outside.
"""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from collections.abc import Iterator
from functools import cache
from importlib.metadata import Distribution, PackageNotFoundError, distribution, packages_distributions
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

HOUSE = Path(__file__).parents[2]
PROJECT = tomllib.loads((HOUSE / "pyproject.toml").read_text("utf-8"))["project"]
OPTIONAL = {"xlsxwriter"}
"""Imported only where somebody asks for what they do, and missed with a sentence."""
DATA_ALONE = {"tzdata"}
"""Read by the standard library, imported by nobody."""
MAY_SHIP = re.compile(
    r"MIT|MIT-0|MIT-CMU|BSD|0BSD|Apache|PSF|Python Software Foundation|Mozilla Public License 2\.0|MPL|Zlib"
    r"|CC0|Public Domain",
    re.IGNORECASE,
)
SAID_ELSEWHERE = {"pysqlite3": "zlib/libpng"}
"""Licences that stand in a file of the distribution, and not in its metadata."""
SEVERAL = {"docutils"}
"""Asked for by Kivy for a viewer that nothing here opens; only tools beside it are under the GPL."""


def declared() -> set[str]:
    return {canonicalize_name(Requirement(each).name) for each in PROJECT["dependencies"]}


def imported() -> set[str]:
    """The distributions whose modules the program imports, at the top or where they are needed."""
    names: set[str] = set()
    for path in (each for part in ("fieldapp", "reports") for each in (HOUSE / part).rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Import):
                names |= {each.name.partition(".")[0] for each in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
                names.add(node.module.partition(".")[0])
            elif isinstance(node, ast.Call) and ast.unparse(node.func) == "importlib.import_module":
                names |= {str(each.value) for each in node.args[:1] if isinstance(each, ast.Constant)}
    outside = names - sys.stdlib_module_names - {"fieldapp", "reports", "assets", "sample_logs"}
    homes = packages_distributions()
    return {canonicalize_name(homes.get(each, [each])[0]) for each in outside}


@cache
def needed(name: str) -> frozenset[str]:
    """A distribution and all that it asks for on this machine."""
    found = {name}
    for each in _asked(name):
        if each not in found:
            found |= {each} | needed(each)
    return frozenset(found)


def _asked(name: str) -> Iterator[str]:
    try:
        texts = distribution(name).requires or []
    except PackageNotFoundError:
        return
    for each in map(Requirement, texts):
        if each.marker is None or each.marker.evaluate({"extra": ""}):
            yield canonicalize_name(each.name)


def licences(found: Distribution) -> list[str]:
    said = found.metadata
    if "License-Expression" in said:
        return [said["License-Expression"]]
    classed = [each for each in said.get_all("Classifier") or [] if each.startswith("License ::")]
    return [each.rpartition(" :: ")[2] for each in classed] or (said.get_all("License") or [])


def test_what_is_imported_is_declared_and_what_is_declared_is_imported() -> None:
    assert imported() - OPTIONAL == declared() - DATA_ALONE


def test_every_dependency_has_its_reason_in_the_developers_page() -> None:
    page = (HOUSE / "DEVELOPERS.md").read_text("utf-8")
    table = page.partition("## Dependencies, and why each")[2].partition("\n## ")[0].lower()
    rows = {each.strip() for line in table.splitlines() for each in re.split(r"[|,:( ]+", line)}
    extras = {Requirement(each).name for some in PROJECT["optional-dependencies"].values() for each in some}
    assert {each for each in declared() | extras if each not in rows} == set()


def test_all_that_ships_may_be_shipped() -> None:
    ships = {part for each in declared() | OPTIONAL for part in needed(each)}
    assert len(ships) > len(declared())
    not_free = {}
    for name in sorted(ships - SEVERAL):
        said = [SAID_ELSEWHERE[name]] if name in SAID_ELSEWHERE else licences(distribution(name))
        if not said or not all(MAY_SHIP.search(each) for each in said):
            not_free[name] = said
    assert not_free == {}
