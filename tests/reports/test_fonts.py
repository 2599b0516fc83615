"""Letters: those of Roboto, those of the spare font, and those that nobody has."""

from __future__ import annotations

import subprocess
import sys

import pytest

from reports import fonts


@pytest.fixture(autouse=True)
def registered():
    fonts.register_fonts()


def test_latin_greek_and_cyrillic_stay_as_they_are():
    text = "Ångström, Ψ and Ω, Щука"
    assert fonts.markup(text) == text == fonts.plain(text)


def test_markup_in_a_text_is_escaped():
    assert fonts.markup("a < b & <b>c</b>") == "a &lt; b &amp; &lt;b&gt;c&lt;/b&gt;"


def test_a_letter_that_only_the_spare_font_has_is_set_in_it():
    assert fonts.markup("up ↑") == f'up <font name="{fonts.SPARE}">↑</font>'


def test_a_letter_that_no_font_has_shows_its_code_point():
    assert fonts.markup("世") == "[U+4E16]" == fonts.plain("世")


def test_a_line_is_shortened_to_its_width_with_dots():
    short = fonts.fitted("a long line that will never fit", fonts.REGULAR, 9, 60)
    assert short.endswith("...")
    assert fonts.text_width_pt(short, fonts.REGULAR, 9) <= 60


def test_the_fonts_are_found_without_importing_kivy():
    code = (
        "import sys; from reports.fonts import register_fonts; register_fonts(); print('kivy' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"


def test_missing_fonts_are_said_in_a_sentence(monkeypatch):
    monkeypatch.setattr(fonts, "find_spec", lambda name: None)
    fonts.register_fonts.cache_clear()
    with pytest.raises(fonts.FontsMissing, match="install Kivy"):
        fonts.register_fonts()
    monkeypatch.undo()
    fonts.register_fonts.cache_clear()
