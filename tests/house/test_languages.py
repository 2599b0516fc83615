"""Every text of the app in every language: nothing missing, nothing left over, the same fields."""

from __future__ import annotations

import re
import subprocess
import sys
from gettext import GNUTranslations
from io import BytesIO

import pytest

from fieldapp.ui.words import board, tongue
from tests.house.catalogue import (
    COMMAND,
    HOUSE,
    NotLiteral,
    compiled,
    empty_in,
    fields_of,
    levelled,
    others,
    po_path,
    read,
    said_in,
    wanted,
)

pytestmark = pytest.mark.parametrize("code", others())


def table(made: bytes) -> dict[object, str]:
    """Every message of a compiled catalogue; what is under no text is its header."""
    found: dict[object, str] = dict(GNUTranslations(BytesIO(made))._catalog)  # type: ignore[attr-defined]
    found.pop("", None)
    return found


def test_every_text_has_its_translation(code):
    _, new, _ = levelled(code)
    assert new == [], f"not in the .po yet: run {COMMAND} and translate"
    assert empty_in(read(code)) == [], f"translate them in {po_path(code).relative_to(HOUSE)}, run {COMMAND}"


def test_nothing_is_translated_that_nobody_says(code):
    _, _, gone = levelled(code)
    assert gone == [], f"run {COMMAND}"


def test_no_translation_is_a_guess(code):
    assert [each.id for each in read(code) if each.id and each.fuzzy] == []


def test_a_translation_has_the_fields_of_its_text(code):
    wrong = {}
    for each in read(code):
        if not each.id:
            continue
        plural = isinstance(each.id, tuple | list)
        asked = fields_of(each.id[-1] if plural else each.id)
        for text in each.string if plural else (each.string,):
            if text and fields_of(text) != asked:
                wrong[str(each.id)] = text
    assert wrong == {}


def test_a_translation_begins_and_ends_as_its_text_does(code):
    """A sentence stays a sentence, and a word inside a line stays small."""
    odd = []
    for each in read(code):
        if each.id and isinstance(each.id, str) and each.string:
            stops = each.id[-1] in ".:?" and each.string[-1] != each.id[-1]
            small = each.id[0].islower() and each.string[0].isupper() and each.string not in {"EE. UU.", "SI"}
            lines = each.id.count("\n") != each.string.count("\n")
            odd += [(each.id, each.string)] if stops or small or lines else []
    assert odd == []


def test_what_the_app_reads_is_what_was_written(code):
    made = po_path(code).with_suffix(".mo").read_bytes()
    assert table(made) == table(compiled(read(code))), f"run {COMMAND}"
    assert len(table(made)) > 200


def test_a_language_has_its_file_and_the_words_change_with_it(code):
    assert code in tongue.languages()
    try:
        tongue.choose(code)
        assert tongue.language() == code
        assert tongue.tr(board.WHO) != board.WHO
    finally:
        tongue.choose(tongue.ENGLISH)
    assert tongue.tr(board.WHO) == board.WHO


def test_the_catalogue_sees_words_sentences_and_terms(code):
    del code
    assert board.SHAFTS in wanted()
    assert "not creditable" in wanted()
    assert "°F" not in wanted()
    source = (
        'x = said("A {b}.", b=1) if y else said("C." if z else "D.")\nT = {1: sayable("E {f}")}\nsaid(T[1])'
    )
    assert list(said_in(source, "m")) == ["A {b}.", "C.", "D.", "E {f}"]


@pytest.mark.parametrize("source", ['said(f"A {b}.")', 'said("A" + b)', "sayable(name)"])
def test_a_sentence_that_cannot_be_gathered_is_refused(code, source):
    del code
    with pytest.raises(NotLiteral, match=r"m:1: write the template as one literal"):
        list(said_in(source, "m"))


def test_english_reads_no_catalogue_and_loads_no_reader(code):
    program = (
        "import sys\nfrom fieldapp.ui.words import board\nfrom fieldapp.ui.words.tongue import choose, tr\n"
        "opened = []\nsys.addaudithook(lambda event, args: opened.append(str(args[0])) "
        "if event == 'open' and 'languages' in str(args[0]) else None)\n"
        "choose(sys.argv[1])\nprint(tr(board.WHO), 'gettext' in sys.modules, len(opened), sep='|')"
    )
    said = {
        each: subprocess.run(
            [sys.executable, "-c", program, each], cwd=HOUSE, capture_output=True, text=True, check=True
        ).stdout.strip()
        for each in ("en", code)
    }
    assert said["en"] == f"{board.WHO}|False|0"
    assert said[code].endswith("|True|1")


def test_no_screen_shows_a_word_past_the_catalogue(code):
    del code
    literal = re.compile(r"^\s*\w*(?:text|caption|title|says)\w*:\s*['\"][^'\"]*[A-Za-z]{2}")
    formatted = re.compile(r"\b(?:\w*words|common)\.[A-Z_]+(?:\[[^\]]+\])?\.format\(")
    guilty = [
        f"{path.relative_to(HOUSE)}:{number}"
        for path in sorted((HOUSE / "fieldapp" / "ui").rglob("*"))
        if path.suffix in {".py", ".kv"}
        for number, line in enumerate(path.read_text("utf-8").splitlines(), 1)
        if (path.suffix == ".kv" and literal.match(line)) or formatted.search(line)
    ]
    assert guilty == [], "show it through tr(...) of fieldapp.ui.words.tongue"
