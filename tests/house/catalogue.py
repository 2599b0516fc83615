"""The words of the app and their translations: ``python -m tests.house.catalogue`` brings them level.

It writes every text that is wanted into each language's .po (new ones empty, to be translated; what is
no longer wanted is taken out) and compiles the .mo that the app reads.  Wanted are the texts of
``fieldapp/ui/words``, the literals of ``said(...)`` and ``sayable(...)``, and the words of the record.
"""

from __future__ import annotations

import ast
import sys
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import fields
from datetime import UTC, datetime
from enum import EnumType
from functools import cache
from importlib import import_module
from io import BytesIO
from pathlib import Path
from string import Formatter

from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from fieldapp.base.back_figure import Agreement
from fieldapp.base.credit import CAVEATS
from fieldapp.base.load_test import Cause
from fieldapp.criteria import finding
from fieldapp.criteria.findings import RULE_NAMES
from fieldapp.criteria.parameters import PARAMETERS
from fieldapp.desk.entry_forms.sheets import SHEETS
from fieldapp.desk.shaft.view import STAGES
from fieldapp.record import words as record_words
from fieldapp.record.acceptance import CONFIDENCES
from fieldapp.record.decisions import Amend, Strike
from fieldapp.record.kinds import TYPED_KINDS
from fieldapp.store.problems import StoreProblem
from fieldapp.ui.words.tongue import ENGLISH, Counted, languages

HOUSE = Path(__file__).parents[2]
WORDS = HOUSE / "fieldapp" / "ui" / "words"
COMMAND = "python -m tests.house.catalogue"
SAYING = ("said", "sayable")
ENUMS = {
    "fieldapp/base/back_figure.py": [Agreement],
    "fieldapp/base/load_test.py": [Cause],
    "fieldapp/record/words.py": [each for each in vars(record_words).values() if isinstance(each, EnumType)],
    "fieldapp/criteria/finding.py": [
        finding.Outcome, finding.Group, finding.Standing, finding.Work, finding.ReleaseStatus,
    ],
}  # fmt: skip
UNSAID = tuple(
    f'"{each}' for each in ("Report-", "POT-", "PO-Rev", "Last-", "Language-Team", "Generated-", "Project-Id")
)
ANY_DAY = datetime(2026, 1, 1, tzinfo=UTC)

Wanted = dict[str | Counted, list[str]]


class NotLiteral(Exception):
    """A sentence is said whose template cannot be gathered."""


@cache
def wanted() -> Wanted:
    """Every text to be translated, with the files in which it stands."""
    found: Wanted = {}
    for where, text in (*_words(), *_terms(), *_sentences()):
        places = found.setdefault(text, [])
        if where not in places:
            places.append(where)
    found.pop("", None)
    return found


def _words() -> Iterator[tuple[str, str | Counted]]:
    for path in sorted(WORDS.glob("*.py")):
        if path.stem in {"__init__", "tongue"}:
            continue
        module = import_module(f"fieldapp.ui.words.{path.stem}")
        for name, value in vars(module).items():
            if name.isupper() and not name.startswith("_"):
                yield from ((str(path.relative_to(HOUSE)), text) for text in _texts(value))


def _texts(value: object) -> Iterator[str | Counted]:
    if isinstance(value, str | Counted):
        yield value
    elif isinstance(value, Mapping):
        for each in value.values():
            yield from _texts(each)
    elif isinstance(value, tuple | list | frozenset):
        for each in value:
            yield from _texts(each)


def _terms() -> Iterator[tuple[str, str]]:
    for where, enums in ENUMS.items():
        yield from ((where, str(member)) for kind in enums for member in kind)
    yield from (("fieldapp/criteria/findings.py", name) for name in RULE_NAMES)
    yield from (("fieldapp/criteria/parameters.py", name.replace("_", " ")) for name in PARAMETERS)
    yield from (("fieldapp/record/acceptance.py", name) for name in CONFIDENCES)
    yield from (("fieldapp/base/credit.py", text) for text in CAVEATS)
    yield from (("fieldapp/desk/shaft/view.py", name) for name in STAGES)
    yield from (("assets/cautions.toml", text) for text in caution_texts())
    yield from (("fieldapp/store/problems.py", each.says) for each in store_problems())
    yield from (("fieldapp/record/kinds.py", name) for name in field_names())


def caution_texts() -> Iterator[str]:
    """What is said of what hurts people, at the foot of the screen where the risk is."""
    for each in tomllib.loads((HOUSE / "assets" / "cautions.toml").read_text("utf-8"))["caution"]:
        yield each["text"]


def store_problems() -> Iterator[type[StoreProblem]]:
    """Every problem of a project folder; its sentence stands in the class, the record is not loaded there."""
    yield from (StoreProblem, *StoreProblem.__subclasses__())


def field_names() -> Iterator[str]:
    """The fields of the record as a sentence names them when a value cannot be."""
    for kind in TYPED_KINDS.values():
        if kind not in {Amend, Strike}:
            yield from (each.name.replace("_", " ") for each in fields(kind))
    for sheet in SHEETS.values():
        yield from (each.name.replace("_", " ") for each in sheet.specs)
    for part in ("record", "desk"):
        for path in sorted((HOUSE / "fieldapp" / part).rglob("*.py")):
            yield from _refused_names(path.read_text("utf-8"))


def _refused_names(source: str) -> Iterator[str]:
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Impossible":
            first = node.args[0]
            if isinstance(first, ast.Constant):
                yield str(first.value).replace("_", " ")


def _sentences() -> Iterator[tuple[str, str]]:
    for path in sorted((HOUSE / "fieldapp").rglob("*.py")):
        where = str(path.relative_to(HOUSE))
        if where != "fieldapp/record/said.py":
            yield from ((where, text) for text in said_in(path.read_text("utf-8"), where))


def said_in(source: str, where: str) -> Iterator[str]:
    """Templates that a module says.  Raises NotLiteral for one that is neither written out nor marked."""
    tree = ast.parse(source)
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in SAYING:
            yield from _literals(node.args[0], node.func.id, f"{where}:{node.lineno}")


def _literals(node: ast.expr, function: str, place: str) -> Iterator[str]:
    if isinstance(node, ast.IfExp):
        yield from _literals(node.body, function, place)
        yield from _literals(node.orelse, function, place)
    elif isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.JoinedStr | ast.BinOp) or function == "sayable":
        raise NotLiteral(f"{place}: write the template as one literal, its values as named fields")


def fields_of(text: str) -> list[str]:
    """The fields of a template, sorted, each with how it is printed."""
    parts = [each[1:] for each in Formatter().parse(text) if each[1] is not None]
    return sorted(f"{name}!{how}:{spec}" for name, spec, how in parts)


def po_path(code: str) -> Path:
    return HOUSE / "assets" / "languages" / code / "LC_MESSAGES" / "basenote.po"


def read(code: str) -> Catalog:
    with po_path(code).open("rb") as file:
        return read_po(file, locale=code, domain="basenote", abort_invalid=True)


def written(catalogue: Catalog) -> str:
    """The .po, without the lines of its header that say when and by whom."""
    made = BytesIO()
    write_po(made, catalogue, width=100, include_lineno=False, sort_by_file=True)
    lines = made.getvalue().decode("utf-8").splitlines(keepends=True)
    return "".join(each for each in lines if not each.startswith(UNSAID))


def compiled(catalogue: Catalog) -> bytes:
    """The .mo, the same bytes for the same words."""
    catalogue.creation_date = catalogue.revision_date = ANY_DAY
    made = BytesIO()
    write_mo(made, catalogue)
    return made.getvalue()


def others() -> list[str]:
    """Every language but English, which is the text itself."""
    return [each for each in languages() if each != ENGLISH]


def levelled(code: str) -> tuple[Catalog, list[str], list[str]]:
    """The catalogue with exactly what is wanted, what was added, and what was taken out."""
    catalogue = read(code)
    ids = {each[0] if isinstance(each, Counted) else each: each for each in wanted()}
    gone = [_id(each.id) for each in catalogue if each.id and _id(each.id) not in ids]
    new = [key for key in ids if key not in catalogue]
    for key in gone:
        catalogue.delete(key)
    for key, text in ids.items():
        plain = tuple(text) if isinstance(text, Counted) else text
        if key in new:
            catalogue.add(plain, ("", "") if isinstance(text, Counted) else "")
        message = catalogue[key]
        message.id, message.locations = plain, [(where, None) for where in wanted()[text]]
        message.flags.discard("python-brace-format")
    return catalogue, new, gone


def _id(found: str | tuple[str, ...] | list[str]) -> str:
    return found if isinstance(found, str) else found[0]


def empty_in(catalogue: Catalog) -> list[str]:
    """Texts that wait for their translation."""
    return [_id(each.id) for each in catalogue if each.id and not all(_strings(each.string))]


def main() -> None:
    for code in others():
        catalogue, new, gone = levelled(code)
        po_path(code).write_text(written(catalogue), "utf-8")
        po_path(code).with_suffix(".mo").write_bytes(compiled(catalogue))
        empty = empty_in(catalogue)
        counts = f"{len(catalogue)} texts, {len(new)} new, {len(gone)} taken out, {len(empty)} to translate"
        sys.stdout.write("\n  ".join((f"{code}: {counts}", *map(repr, empty))) + "\n")


def _strings(found: str | tuple[str, ...] | list[str]) -> tuple[str, ...]:
    return (found,) if isinstance(found, str) else tuple(found)


if __name__ == "__main__":
    main()
