"""The office by touch: from an empty device to a project with people, an acceptance set and a key."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from kivy.core.window import Window

from fieldapp.desk.projects.acceptance_editing import keys_of
from fieldapp.desk.trust.key_time import key_minutes
from fieldapp.desk.trust.people import make_key
from fieldapp.desk.trust.roster import PersonNow, person_now
from fieldapp.identity.certificates import Term
from fieldapp.identity.errors import Locked
from fieldapp.identity.keys import new_person_key
from fieldapp.identity.people import CertifiedPerson
from fieldapp.record.setup import ProjectSetup
from fieldapp.record.words import Role
from fieldapp.ui import session as session_module
from fieldapp.ui.screens.people_lock import BarLock, LockButton
from fieldapp.ui.screens.setup_rows import SetupRow
from fieldapp.ui.session import Session
from fieldapp.ui.tablet import Tablet
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.theme import theme
from fieldapp.ui.words import people as people_words
from fieldapp.ui.words import projects as words
from fieldapp.ui.words import tongue
from tests.identity.own_files import OWN_PHRASE, own_file
from tests.screens.journey import DEVICE, Journey, SteppedClock, begin, entries_of, set_out
from tests.support.driver import LANDSCAPE, PORTRAIT, Driver

PASSPHRASE = "seven quiet herons on the bank"
ENGINEER = "R. Heron"
WIDE = (1920, 1200)


@pytest.fixture(autouse=True)
def own_device(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "device"))
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    (tmp_path / "home").mkdir()
    yield
    tongue.choose(tongue.ENGLISH)
    theme.decimal_mark = "."


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("office") / "larkwater", "larkwater", ("P1-4",))


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "larkwater"))


@pytest.fixture
def opens(hand: Driver) -> Iterator[Callable[..., Journey]]:
    """Opens the app, on a folder or on an empty device, as the app itself does."""
    begun: list[tuple[Journey, BarLock]] = []

    def opened(folder: Path | None = None) -> Journey:
        on = set_out(hand, folder) if folder else empty(hand)
        begun.append((on, BarLock(on.session, on.walk)))
        return on

    yield opened
    for on, lock in begun:
        lock.end()
        on.leave()


def empty(hand: Driver) -> Journey:
    session = Session(Path.home() / "Basenote", None, SteppedClock(), DEVICE)
    walk = Walk(session)
    walk.go("projects")
    Window.bind(on_keyboard=walk.key)
    hand.show(walk)
    on = Journey(hand, session, walk)
    on.wait()
    return on


def rows(on: Journey) -> dict[str, SetupRow]:
    return {each.title: each for each in on.screen.walk() if isinstance(each, SetupRow)}


def tap_row(on: Journey, title: str) -> None:
    on.tap(next(row for name, row in rows(on).items() if name.startswith(title)))


def open_part(on: Journey, part: str) -> None:
    on.walk.go("acceptance set")
    on.wait()
    on.tap(on.screen.rail.row(part))


def box(on: Journey, name: str) -> None:
    on.tap(on.middle.fields[name])


def write(on: Journey, name: str, text: str) -> None:
    box(on, name)
    field = on.middle.tools.text_field.typing
    field.text = ""
    field.insert_text(text)
    on.wait()


def choose(on: Journey, name: str, *values: str) -> None:
    for value in values:
        if on.middle.typing.name != name:
            box(on, name)
        on.tap(on.middle.tools.choices.rows[value])


def press_next(on: Journey) -> None:
    on.tap(on.middle.next)


def type_secret(on: Journey, **texts: str) -> None:
    for name, text in texts.items():
        field = on.screen.fields[name].typing
        field.text = ""
        field.insert_text(text)
    on.wait()


def make_project(on: Journey, name: str = "Heron bridge") -> Path:
    press_next(on)
    assert on.walk.current == "new project"
    write(on, "name", name)
    choose(on, "units", "US")
    choose(on, "preset", "us-classic")
    write(on, "person", ENGINEER)
    choose(on, "roles", "resident engineer")
    press_next(on)
    on.wait()
    return on.session.folder


def holds(on: Journey) -> ProjectSetup:
    found: list[ProjectSetup] = []
    on.session.ask(lambda place: place.setup(), found.append, print)
    on.wait()
    return found[0]


def person(on: Journey, name: str) -> PersonNow:
    found: list[PersonNow] = []
    on.session.ask(lambda place: person_now(place, name), found.append, print)
    on.wait()
    return found[0]


def test_from_an_empty_device_to_a_key_and_the_board(opens):
    on = opens()
    assert words.NONE_YET in on.texts()
    folder = make_project(on)
    assert on.walk.current == "setup"
    assert (folder.name, on.session.person, on.walk.trail) == ("heron-bridge", ENGINEER, ["board", "setup"])
    setup = holds(on)
    assert (setup.name, setup.own_log_release) == ("Heron bridge", False)
    assert setup.people[0].roles == (Role.RESIDENT_ENGINEER,)

    tap_row(on, words.SET_ROW)
    tap_row(on, "Bored piles, EN 1536 form")
    assert on.walk.current == "acceptance set"
    assert on.screen.rail.row("base").shown == "not shown"
    tap_row(on, "Most sediment at any point")
    on.keys("5", "0")
    write(on, "source", "contract, section 31")
    press_next(on)
    assert on.walk.current == "acceptance set"
    assert rows(on)["Most sediment at any point"].value == "50 mm"
    press_next(on)
    assert "comes in" in on.texts() and "50 mm" in on.texts()
    press_next(on)
    assert on.walk.current == "setup"
    number = keys_of(holds(on).acceptance)["max_thickness_anywhere"]
    assert (number.value, number.unit, number.verified_by) == ("50", "mm", ENGINEER)
    assert (number.source, number.confidence) == ("contract, section 31", "contract")

    tap_row(on, words.PEOPLE_ROW)
    press_next(on)
    write(on, "name", "I. Wren")
    choose(on, "roles", "inspector")
    press_next(on)
    assert on.walk.current == "people"
    assert rows(on)["I. Wren"].shown == "not shown"
    tap_row(on, "I. Wren")
    tap_row(on, people_words.MAKE_KEY)
    type_secret(on, new=PASSPHRASE, again=PASSPHRASE)
    press_next(on)
    on.wait()
    assert on.walk.current == "person page"
    assert people_words.MADE.format(name="I. Wren") in on.texts()
    assert person(on, "I. Wren").key.holds
    assert (folder / "keys" / "i.-wren.p12").exists()
    on.press()
    on.press()
    press_next(on)
    assert (on.walk.current, on.session.trouble) == ("board", "")


def leave_as_killed(on: Journey) -> None:
    """The app ends without anybody going back: what is on disk is all there is."""
    on.wait()
    on.leave()


def test_a_half_typed_project_is_there_after_the_app_was_killed(opens):
    on = opens()
    press_next(on)
    write(on, "name", "Heron bridge")
    choose(on, "units", "SI")
    box(on, "person")
    on.hand.until((Path.home().parent / "device" / "basenote" / "new-project.json").exists)
    leave_as_killed(on)
    on = opens()
    press_next(on)
    assert on.middle.fields["name"].value == "Heron bridge"
    assert on.middle.fields["id"].value == "heron-bridge"
    assert on.middle.fields["units"].value == words.UNITS_SI


def test_a_first_person_without_an_office_role_is_refused_in_place(opens):
    on = opens()
    press_next(on)
    write(on, "name", "Heron bridge")
    choose(on, "units", "US")
    choose(on, "preset", "us-classic")
    write(on, "person", ENGINEER)
    choose(on, "roles", "inspector")
    press_next(on)
    on.wait()
    assert on.walk.current == "new project"
    assert on.middle.fields["roles"].shown == "not met"
    assert "they set up a project" in on.middle.fields["roles"].says
    assert not (Path.home() / "Basenote").exists()


def test_a_time_zone_is_found_by_a_part_of_it_and_another_folder_is_taken(opens, tmp_path):
    on = opens()
    press_next(on)
    write(on, "name", "Heron bridge")
    write(on, "time_zone", "denv")
    on.tap(on.middle.tools.suggested.rows["America/Denver"])
    assert on.middle.fields["time_zone"].value == "America/Denver"
    (Path.home() / "work").mkdir()
    on.tap(on.middle.second)
    assert on.walk.current == "folder"
    tap_row(on, "work")
    press_next(on)
    assert on.walk.current == "new project"
    choose(on, "units", "US")
    choose(on, "preset", "us-classic")
    write(on, "person", ENGINEER)
    choose(on, "roles", "designer")
    press_next(on)
    on.wait()
    assert on.session.folder == Path.home() / "work" / "heron-bridge"
    assert holds(on).time_zone == "America/Denver"


def test_known_projects_open_and_what_cannot_be_opened_says_what_is_safe(opens, folder, tmp_path):
    kept = Path(shutil.copytree(folder, tmp_path / "lost"))
    on = opens()
    for each in (kept, folder):
        on.screen._open(each)
        on.wait()
        on.walk.go("projects")
        on.wait()
    listed = [each.detail for each in on.screen.walk() if isinstance(each, SetupRow)]
    assert listed == [str(folder), str(kept)]
    on.session.turn_to(folder)
    on.wait()
    shutil.rmtree(kept)
    on.walk.go("projects")
    on.wait()
    lost = next(each for each in on.screen.walk() if isinstance(each, SetupRow) and each.shown == "not met")
    assert "is not changed by that" in lost.says
    on.tap(lost)
    on.tap(on.middle.ids.foot.question.ids.yes)
    assert len(rows(on)) == 1
    tap_row(on, "Larkwater crossing")
    assert (on.walk.current, on.session.folder) == ("board", folder)


def test_a_damaged_project_gives_a_sentence_in_the_list(opens, folder):
    on = opens()
    on.screen._open(folder)
    on.wait()
    leave_as_killed(on)
    for beside in ("journal.db-wal", "journal.db-shm"):
        (folder / beside).unlink(missing_ok=True)
    with (folder / "journal.db").open("r+b") as file:
        file.write(b"\0" * 4096)
    on = opens()
    row = next(each for each in on.screen.walk() if isinstance(each, SetupRow))
    assert row.shown == "not met"
    assert str(folder) in row.says


def test_another_project_is_found_by_its_folder_and_none_of_the_old_one_stays(opens, folder):
    on = opens(begin(folder.parent / "vesker", "vesker"))
    on.session.person = "Inspector C"
    on.walk.go("projects")
    on.wait()
    on.tap(on.middle.second)
    assert on.walk.current == "folder"
    tap_row(on, "Up to")
    tap_row(on, "larkwater")
    on.wait()
    assert (on.walk.current, on.walk.trail, on.session.person) == ("board", ["board"], "")
    assert "Larkwater crossing" in on.texts()
    assert "B1" not in on.texts()


def test_an_edited_set_is_there_after_a_kill_and_an_inspector_cannot_adopt_it(opens, folder):
    on = opens(folder)
    on.session.person = "Inspector A"
    open_part(on, "base")
    tap_row(on, "Most sediment at any point")
    on.keys("back", "back", "back", "back", "back", "back", "1")
    write(on, "source", "contract")
    press_next(on)
    leave_as_killed(on)
    before = len(entries_of(folder))
    on = opens(folder)
    on.session.person = "Inspector A"
    on.walk.go("setup")
    on.wait()
    assert words.IN_THE_MAKING in on.texts()
    open_part(on, "base")
    assert rows(on)["Most sediment at any point"].value == "1 in"
    press_next(on)
    assert "1-1/2 in becomes 1 in" in on.texts()
    press_next(on)
    assert on.walk.current == "acceptance changes"
    assert "may not make a project set-up" in on.middle.said
    on.press()
    tap_row(on, "Most sediment at any point")
    on.tap(on.middle.second)
    assert rows(on)["Most sediment at any point"].value == "1-1/2 in"
    leave_as_killed(on)
    assert len(entries_of(folder)) == before


def test_a_number_that_cannot_be_is_refused_beside_its_field(opens, folder):
    on = opens(folder)
    on.session.person = "Designer"
    open_part(on, "base")
    tap_row(on, "Least share of the base")
    on.keys(*["back"] * 4, "1", "2", "0")
    write(on, "source", "contract")
    press_next(on)
    assert on.walk.current == "acceptance number"
    assert "at most 100 %" in on.middle.fields["value"].says
    assert on.middle.typing.name == "value"


def test_a_preset_asks_before_it_forgets_what_was_edited(opens, folder):
    on = opens(folder)
    on.session.person = "Designer"
    open_part(on, "base")
    tap_row(on, "Most sediment at any point")
    on.keys(*["back"] * 6, "1")
    write(on, "source", "contract")
    press_next(on)
    on.tap(on.middle.second)
    tap_row(on, "Bored piles, EN 1536 form")
    question = on.middle.ids.foot.question
    assert question is not None
    on.tap(question.ids.no)
    assert on.walk.current == "acceptance"
    tap_row(on, "Bored piles, EN 1536 form")
    on.tap(on.middle.ids.foot.question.ids.yes)
    assert on.walk.current == "acceptance set"
    assert "Bored piles, EN 1536 form" in on.texts()


def test_keys_are_made_brought_changed_and_revoked_and_no_passphrase_stays_anywhere(opens, folder):
    (Path.home() / "mine.p12").write_bytes(own_file())
    on = opens(folder)
    on.session.person = "Resident engineer"
    on.walk.go("people")
    on.wait()
    tap_row(on, "Inspector A")
    tap_row(on, people_words.OWN_KEY)
    tap_row(on, "mine.p12")
    assert on.walk.current == "person key"
    type_secret(on, opens=OWN_PHRASE, new="12345", again="12345")
    assert not on.middle.next_able
    assert "too short" in on.texts()
    type_secret(on, new=PASSPHRASE, again=PASSPHRASE + "x")
    assert not on.middle.next_able
    type_secret(on, again=PASSPHRASE)
    fields = [each.typing for each in on.screen.fields.values()]
    press_next(on)
    on.wait()
    assert "a certificate of one's own" in on.texts()
    assert [each.text for each in fields] == ["", "", ""]

    tap_row(on, people_words.NEW_PASSPHRASE)
    other = "eleven loud otters under a bridge"
    type_secret(on, opens="not the right one", new=other, again=other)
    press_next(on)
    on.wait()
    assert "does not open" in on.middle.said
    type_secret(on, opens=PASSPHRASE)
    press_next(on)
    on.wait()
    assert people_words.CHANGED.format(name="Inspector A") in on.texts()

    tap_row(on, people_words.UNLOCK)
    type_secret(on, opens=other)
    on.press()
    assert [each.typing.text for each in on.walk.get_screen("person key").fields.values()] == [""]
    tap_row(on, people_words.REVOKE)
    on.tap(on.middle.tools.suggested.rows["tablet lost"])
    press_next(on)
    on.tap(on.middle.foot.question.ids.yes)
    on.wait()
    assert person(on, "Inspector A").key.says[0].startswith("revoked since 2026-05-22")
    leave_as_killed(on)
    told = [each.draft.values for each in entries_of(folder)][-1]
    assert (told.holder, told.why) == ("Inspector A", "tablet lost")
    written = [
        each for each in (*folder.rglob("*"), *Path.home().parent.rglob("device/**/*")) if each.is_file()
    ]
    assert len(written) >= 3
    for each in written:
        content = each.read_bytes()
        assert not [phrase for phrase in (PASSPHRASE, other, OWN_PHRASE) if phrase.encode() in content], each


def unlock(on: Journey, name: str = "Inspector A") -> None:
    on.session.ask(lambda place: make_key(place, name, PASSPHRASE), lambda _: None, print)
    on.wait()
    on.walk.go("person page", person=name)
    on.wait()
    tap_row(on, people_words.UNLOCK)
    type_secret(on, opens=PASSPHRASE)
    press_next(on)
    on.wait()
    assert on.session.key_of == name


def hold_a_key(on: Journey) -> None:
    person = CertifiedPerson("Inspector A", (Role.INSPECTOR,), "Larkwater crossing")
    start = SteppedClock().now("UTC")
    on.session.hold_key(new_person_key(person, Term(start, start + timedelta(days=2))))
    assert on.session.key_of == "Inspector A"


def lock_button(on: Journey) -> LockButton | None:
    return next((each for each in on.screen.walk() if isinstance(each, LockButton)), None)


def test_an_open_key_has_its_button_in_every_bar_and_one_tap_locks_it(opens, folder):
    on = opens(folder)
    unlock(on)
    assert on.session.key().certificate.name == "Inspector A"
    for go in (lambda: on.walk.go("board"), lambda: on.walk.go("shaft", shaft="P1-4")):
        go()
        on.wait()
        assert lock_button(on) is not None
    on.tap(lock_button(on))
    assert on.session.key_of == ""
    assert lock_button(on) is None
    with pytest.raises(Locked):
        on.session.key()


def test_a_key_locks_when_nobody_touches_when_the_app_is_left_and_for_another_person(
    opens, folder, monkeypatch
):
    on = opens(folder)
    hold_a_key(on)
    now_s = session_module.monotonic()
    monkeypatch.setattr(session_module, "monotonic", lambda: now_s + 170)
    on.hand.tap_at(640, 30)
    monkeypatch.setattr(session_module, "monotonic", lambda: now_s + 340)
    on.session.touched()
    assert on.session.key()
    monkeypatch.setattr(session_module, "monotonic", lambda: now_s + 521)
    on.hand.until(lambda: on.session.key_of == "")
    with pytest.raises(Locked):
        on.session.key()
    monkeypatch.undo()

    for leave in (lambda: left_in_the_pocket(on), lambda: on.walk.get_screen("person")._choose("Designer")):
        hold_a_key(on)
        on.walk.go("person")
        on.wait()
        leave()
        assert on.session.key_of == ""


def left_in_the_pocket(on: Journey) -> None:
    tablet = Tablet(on.session)
    tablet.root = on.walk
    assert tablet.on_pause()


def test_settings_are_in_force_as_soon_as_they_are_chosen(opens, folder):
    on = opens(folder)
    on.session.person = "Resident engineer"
    on.walk.go("settings")
    on.wait()
    choose(on, "scheme", "night")
    assert theme.scheme == "night"
    choose(on, "text_scale", "1.25")
    assert theme.text_scale == 1.25
    choose(on, "decimal_mark", ",")
    assert on.middle.tools.keypad.mark == ","
    choose(on, "key_time", "5")
    assert key_minutes() == 5
    choose(on, "units", "SI")
    assert str(holds(on).units) == "SI"
    assert "SI units from now on" in on.texts()
    choose(on, "language", "es")
    assert on.screen.bar.title == "Ajustes"
    now = on.session.preferences.now
    assert (now.language, now.scheme, now.text_scale, now.decimal_mark) == ("es", "night", 1.25, ",")


def test_the_units_of_a_project_are_no_matter_of_an_inspector(opens, folder):
    on = opens(folder)
    on.session.person = "Inspector A"
    on.walk.go("settings")
    on.wait()
    choose(on, "units", "SI")
    assert "may not make a project set-up" in on.texts()
    assert on.middle.fields["units"].value == words.UNITS_US
    assert str(holds(on).units) == "US"


def test_without_a_project_the_settings_of_the_device_are_there_all_the_same(opens):
    on = opens()
    on.walk.go("settings")
    on.wait()
    assert "units" not in on.middle.fields
    assert "nothing is sent anywhere" in on.texts()


def test_the_way_leads_from_the_person_to_the_project_and_a_shaft_is_scheduled(opens, folder):
    on = opens(folder)
    on.session.person = "Designer"
    on.walk.go("person")
    on.wait()
    on.tap_text(words.OFFICE)
    assert on.walk.current == "setup"
    tap_row(on, words.SCHEDULE_ROW)
    assert on.walk.current == "entry"
    for name, text in (("shaft", "P9-1"), ("location", "pier 9")):
        write(on, name, text)
    for name, word in (("method", "wet"), ("fluid", "mineral"), ("design_basis", "both")):
        box(on, name)
        on.tap(on.middle.tools.choices.rows[word])
    for name, number in (("diameter", "6"), ("reference_elevation", "5032"), ("tip_elevation", "5002")):
        box(on, name)
        on.keys(*number)
    on.tap_next()
    assert on.walk.current == "setup"
    assert rows(on)[words.SCHEDULE_ROW].says == "11 shafts are scheduled"
    on.walk.go("board")
    on.wait()
    on.tap_text("All")
    assert "P9-1" in {each["shaft"] for each in on.middle.ids.table.data}


@pytest.mark.parametrize(
    ("size", "scale", "language"),
    [
        pytest.param(LANDSCAPE, 1.0, "en", marks=pytest.mark.every_size),
        pytest.param(LANDSCAPE, 2.0, "es", marks=pytest.mark.every_size),
        pytest.param(PORTRAIT, 1.5, "en", marks=pytest.mark.every_size),
        pytest.param(PORTRAIT, 2.0, "es", marks=pytest.mark.every_size),
        pytest.param(WIDE, 2.0, "en", marks=pytest.mark.every_size),
    ],
)
def test_no_text_is_cut_and_no_target_is_small(hand, opens, folder, size, scale, language):
    hand.resize(size)
    theme.text_scale = scale
    tongue.choose(language)
    on = opens(folder)
    on.session.person = "Resident engineer"
    hold_a_key(on)
    for name, given in VISITS:
        on.walk.go(name, **given)
        on.wait()
        assert on.walk.current == name
        assert hand.cut_labels() == [], name
        assert hand.small_targets() == [], name
        assert lock_button(on) is not None
        for each in list(getattr(on.middle, "fields", ())):
            on.tap(on.middle.fields[each])
            assert hand.cut_labels() == [], (name, each)
            assert hand.small_targets() == [], (name, each)
    places = [(*w.pos, *w.size) for w in hand.widgets()]
    theme.scheme = "night"
    hand.settle()
    assert [(*w.pos, *w.size) for w in hand.widgets()] == places


VISITS = (
    ("setup", {}),
    ("acceptance", {}),
    ("acceptance set", {}),
    ("acceptance number", {"key": "max_thickness_anywhere"}),
    ("acceptance number", {"key": "rounds_required"}),
    ("acceptance changes", {}),
    ("people", {}),
    ("person page", {"person": "Inspector A"}),
    ("person roles", {}),
    ("person key", {"person": "Designer", "does": "make"}),
    ("person key", {"person": "Inspector A", "does": "change"}),
    ("revoke key", {"person": "Inspector A"}),
    ("projects", {}),
    ("folder", {"wants": "project", "chosen": print}),
    ("new project", {}),
    ("person", {}),
    ("settings", {}),
)
