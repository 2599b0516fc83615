"""The tablet in Spanish: switched live with a round half typed, nothing cut, kept on the device."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from kivy.metrics import Metrics

from fieldapp.record.reading import Impossible
from fieldapp.record.said import said
from fieldapp.record.words import RoundWhy
from fieldapp.ui import moments
from fieldapp.ui.recording import sentence_of
from fieldapp.ui.settings import (
    Preferences,
    Settings,
    language_of_the_system,
    read_settings,
    write_settings,
)
from fieldapp.ui.widgets.keypad import Keypad
from fieldapp.ui.widgets.theme import theme
from fieldapp.ui.words import board as board_words
from fieldapp.ui.words import common, tongue
from fieldapp.ui.words.tongue import choose, told, tr, tr_count
from tests.screens.journey import Journey, begin, depth_keys, set_out
from tests.support.driver import LANDSCAPE, PORTRAIT, Driver

SHAFTS = ("P1-4", "P2-1")


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("spanish") / "larkwater", "larkwater", SHAFTS)


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "larkwater"))


@pytest.fixture(autouse=True)
def as_on_a_new_device() -> Iterator[None]:
    yield
    choose(tongue.ENGLISH)
    theme.decimal_mark = "."


@pytest.fixture
def on(hand: Driver, folder: Path) -> Iterator[Journey]:
    opened = set_out(hand, folder)
    yield opened
    opened.leave()


def change(on: Journey, **what: object) -> list[str]:
    """Change settings as the screen of settings does; what could not be kept comes back."""
    refused: list[str] = []
    preferences = on.session.preferences
    preferences.change(replace(preferences.now, **what), on.session, on.walk, refused.append)
    on.wait()
    return refused


def without_times(text: str) -> str:
    """A text without when something was saved last."""
    return re.sub(r"saved \d\d:\d\d:\d\d", "saved", text)


def half_type(on: Journey) -> None:
    on.walk.go("shaft", shaft="P2-1", stage="Base")
    on.wait()
    on.walk.go("round", shaft="P2-1")
    on.wait()
    on.keys(*depth_keys("25' 11 3/8\""))
    on.tap_next()
    on.keys(*depth_keys("26' 0\""))
    on.tap_next()  # C is an answer on disk
    on.keys(*depth_keys("25' 11 1/2\""))  # R1: only on the screen


def test_on_the_shaft_screen_the_words_change_at_once_and_the_half_typed_round_stays(on):
    half_type(on)
    on.press()
    assert on.walk.current == "shaft"
    assert on.strip.next_text == "Next: go on with the round"
    english, old = without_times(on.texts()), on.screen
    change(on, language="es")
    assert on.walk.current == "shaft"
    assert on.screen is not old
    assert on.screen.sides.rail.row("Base").text == "Fondo"
    assert on.screen.sides.rail.chosen == "Base"
    assert on.strip.next_text == "Sigue: continuar la ronda"
    assert on.strip.word == "sin demostrar"
    assert on.strip.caption == "estado del fondo"
    assert on.screen.sides.bar.right.startswith("al 18 may")
    on.tap_next()
    assert on.walk.current == "round"
    typing = on.screen.hand.typing
    assert (typing.label, typing.field, typing.done) == ("R1", "firm", 1)
    assert on.middle.fields.first == "25' 11 1/2\""
    assert {c.label: c.text for c in on.middle.plan.cells} == {"C": "5/8"}
    assert "R1, primer contacto" in on.texts()
    on.press()
    change(on, language="en")
    assert without_times(on.texts()) == english


def test_in_the_middle_of_a_point_the_round_is_reopened_with_what_was_on_the_screen(on):
    half_type(on)
    change(on, language="es")
    assert on.walk.current == "round"
    assert on.walk.trail == ["board", "shaft", "round"]
    typing = on.screen.hand.typing
    assert (typing.label, typing.done) == ("R1", 1)
    assert on.middle.fields.first == "25' 11 1/2\""
    on.tap_second()
    assert "lo impide la armadura" in on.texts()
    on.tap_text("lo impide la armadura")
    on.tap_point("R1")
    assert on.screen.hand.typing.typed.points["R1"] == {"no_reading": "cage in the way"}  # as it is recorded


def test_a_half_typed_fluid_sample_stays_and_back_leads_the_same_way(on):
    on.walk.go("shaft", shaft="P1-4", stage="Fluid")
    on.walk.go("fluid", shaft="P1-4")
    on.wait()
    on.keys("6", "6", "mark", "4")
    change(on, language="es")
    assert on.walk.current == "fluid"
    assert on.middle.fields["density"].value == "66.4"
    assert on.strip.second_text == "No ensayado"
    on.press()
    assert (on.walk.current, on.screen.sides.rail.chosen) == ("shaft", "Fluid")
    on.press()
    assert on.walk.current == "board"
    assert on.middle.rows.choices.button("needs a hand").text == "Por atender 10"
    assert on.screen.bar.subtitle == "10 pilotes"


def test_the_board_in_spanish_says_standing_step_and_clock(on):
    change(on, language="es")
    rows = {each["shaft"]: each for each in on.middle.ids.table.data}
    assert rows["P2-1"]["word"] == "sin demostrar"
    assert rows["P2-1"]["next_text"] == "Sondear el fondo"
    assert rows["P2-1"]["clock_caption"] == "escariar si sigue abierto después de 13:36"
    head = on.middle.ids.table.head
    assert (head.shaft_text, head.standing_text, head.next_text) == ("pilote", "estado del fondo", "sigue")


@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
@pytest.mark.long_walk
@pytest.mark.parametrize("scale", [1.5, 2.0])
def test_no_spanish_word_is_cut_on_any_screen(hand, folder, size, scale):
    hand.resize(size)
    theme.text_scale = scale
    choose("es")
    on = set_out(hand, folder)

    def fits(screen: str) -> None:
        assert on.walk.current == screen
        assert hand.cut_labels() == []
        assert hand.small_targets() == []

    try:
        fits("board")
        on.tap(on.middle.ids.who)
        fits("person")
        on.tap_text("Inspector A")
        on.walk.go("shaft", shaft="P2-1")
        on.wait()
        for stage in ("Hole", "Fluid", "Head", "Cleaning", "Base", "Pictures and notes"):
            on.tap_stage(stage)
            fits("shaft")
        on.walk.go("round", shaft="P2-1")
        on.wait()
        fits("round")
        on.tap_second()
        fits("round")
        on.tap_text("no se pudo alcanzar")
        on.keys(*depth_keys("26' 0\""))
        on.tap_next()
        on.keys(*depth_keys("25' 11 1/2\""))
        on.tap_next()
        assert on.middle.fields.refused == "firm"
        fits("round")
        on.walk.go("fluid", shaft="P1-4")
        on.wait()
        on.keys("8", "5", "next")
        fits("fluid")
        on.tap_next()
        assert on.middle.ids.foot.question.yes_text == "Registrar de todos modos"
        fits("fluid")
        on.walk.stop_here("basenote-stopped-20260522-180200.txt")
        on.wait()
        fits("stopped")
    finally:
        on.leave()


def test_a_sentence_that_was_said_is_said_in_spanish_and_all_else_stays():
    choose("es")
    assert tr(common.AS_OF, time="18:00") == "al 18:00"
    assert tr(said("as of {time}", time="18:00")) == "al 18:00"
    assert tr(common.STATE_AND_TIME, state=said("released"), as_of=RoundWhy.AFTER_CAGE) == (
        "liberado, tras la armadura"
    )
    inner = said("{label}, firm", label="R2")
    assert tr(said("{said} Record all the same?", said=inner)) == "R2, fondo firme ¿Registrar de todos modos?"
    # a note of a person is no word of ours, though it reads like one
    assert tr(common.AS_OF, time="clean") == "al clean"
    assert tr("Nobody wrote this down") == "Nobody wrote this down"
    assert tr("") == ""
    with pytest.raises(KeyError):
        tr(common.AS_OF, at="18:00")


def test_a_count_takes_the_form_of_its_language():
    counts = (0, 1, 2)
    assert [tr_count(*board_words.SHAFTS, n) for n in counts] == ["0 shafts", "1 shaft", "2 shafts"]
    choose("es")
    assert [tr_count(*board_words.SHAFTS, n) for n in counts] == ["0 pilotes", "1 pilote", "2 pilotes"]


def test_a_problem_is_told_in_spanish_as_far_as_it_was_said():
    choose("es")
    assert told(ValueError(said("Last saved {time}.", time="18:00"))) == "Último guardado: 18:00."
    assert told(ValueError("a", 1)) == "('a', 1)"
    problem = Impossible("head", "6 ft", "less")
    assert sentence_of(problem) == ("Nivel: 6 ft no puede ser. Se espera less.", "head")


def test_a_language_that_is_not_there_is_english():
    choose("es")
    choose("xx")
    assert tongue.language() == "en"
    assert tr(board_words.WHO) == board_words.WHO


def test_every_month_has_its_spanish_name():
    days = [datetime(2026, month, 3, 14, 5, tzinfo=UTC) for month in range(1, 13)]
    # English as the C locale has it, so that the record reads the same everywhere
    assert [moments.day(each) for each in days] == [f"3 {each:%b}" for each in days]
    choose("es")
    spanish = ["ene", "feb", "mar", "abr", "may", "jun", "jul", "ago", "sep", "oct", "nov", "dic"]
    assert [moments.day_and_time(each) for each in days] == [f"3 {each} 14:05" for each in spanish]
    assert moments.with_month("3 Aug 14:05") == "3 ago 14:05"


def test_settings_are_in_force_at_once_and_there_again_at_the_next_start(on, tmp_path):
    path = tmp_path / "of the device" / "tablet.json"
    on.session.preferences = Preferences(path)
    on.walk.go("round", shaft="P2-1")
    on.wait()
    old = on.screen
    assert change(on, scheme="night", text_scale=1.5, decimal_mark=",") == []
    assert on.screen is old  # nothing is built anew for these
    assert theme.scheme == "night"
    assert Metrics.fontscale == 1.5
    assert on.middle.keypad.mark == ","
    assert change(on, language="es") == []
    assert on.screen is not old
    assert json.loads(path.read_text("utf-8")) == {
        "language": "es", "scheme": "night", "text_scale": 1.5, "decimal_mark": ",",
    }  # fmt: skip
    assert [each.name for each in path.parent.iterdir()] == ["tablet.json"]
    again = Preferences(path)
    assert again.now == Settings("es", "night", 1.5, ",")
    choose("en")
    theme.scheme = "noon"
    again.apply()
    assert (tongue.language(), theme.scheme) == ("es", "night")


def test_a_comma_of_the_keypad_is_typed_and_read(hand):
    theme.decimal_mark = ","
    pad = Keypad(mode="decimal")
    hand.show(pad)
    for code in ("1", "mark", "5"):
        hand.tap(pad.key(code))
    assert pad.text == "1,5"


def test_settings_that_cannot_be_kept_say_so_and_stay_in_force(on, tmp_path):
    in_the_way = tmp_path / "a file"
    in_the_way.write_text("not a folder")
    on.session.preferences = Preferences(in_the_way / "tablet.json")
    (sentence,) = change(on, language="es")
    assert sentence.startswith("Los ajustes ya rigen, pero no se pudieron guardar")
    assert "El registro está a salvo" in sentence
    assert tongue.language() == "es"


@pytest.mark.parametrize(
    "text", ["", "{", "[]", "null", "\x00\xff", "1", '{"language": 1}', "[" * 100_000, '{"text_scale": NaN}']
)
def test_a_damaged_file_is_a_new_device(tmp_path, monkeypatch, text):
    monkeypatch.setenv("LC_ALL", "C")
    path = tmp_path / "tablet.json"
    path.write_bytes(text.encode("latin-1"))
    assert read_settings(path) == Settings()
    assert read_settings(tmp_path) == Settings()  # a folder in its place
    assert read_settings(tmp_path / "nothing") == Settings()


def test_one_value_that_is_none_of_ours_costs_only_itself(tmp_path, monkeypatch):
    monkeypatch.setenv("LC_ALL", "C")
    path = tmp_path / "tablet.json"
    path.write_text('{"language": "xx", "scheme": "night", "text_scale": 9, "decimal_mark": ";", "new": 1}')
    assert read_settings(path) == Settings(scheme="night")


@pytest.mark.parametrize(
    ("named", "code"),
    [("es_MX.UTF-8", "es"), ("es", "es"), ("en_US.UTF-8", "en"), ("fr_FR.UTF-8", "en"), ("C", "en")],
)
def test_a_new_device_speaks_the_language_of_its_system(tmp_path, monkeypatch, named, code):
    monkeypatch.setenv("LC_ALL", named)
    assert language_of_the_system() == code
    assert read_settings(tmp_path / "nothing").language == code


@pytest.mark.parametrize(
    "wrong", [{"language": "xx"}, {"scheme": "pink"}, {"text_scale": 2.1}, {"decimal_mark": "'"}]
)
def test_settings_that_cannot_be_are_refused(wrong):
    with pytest.raises(ValueError, match=next(iter(wrong))):
        Settings(**wrong)


def test_a_written_file_replaces_the_one_before_as_a_whole(tmp_path):
    path = tmp_path / "tablet.json"
    assert write_settings(path, Settings(text_scale=2.0)) == ""
    assert write_settings(path, Settings("es")) == ""
    assert read_settings(path) == Settings("es")
