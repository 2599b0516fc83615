"""The settings of this device, and a few of the project: each is in force as soon as it is chosen.

The address of the timestamp server alone is typed, and is in force once it is taken by the button.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

from kivy.uix.screenmanager import Screen

from fieldapp.desk.entry_forms.form import Ask, EntryForm, FormField, Option
from fieldapp.record.said import said
from fieldapp.ui import asks_project as asks
from fieldapp.ui.recording import Recording
from fieldapp.ui.screens.setup_form import SetupForm
from fieldapp.ui.screens.setup_page import framed
from fieldapp.ui.session import Session
from fieldapp.ui.settings import MARKS, SCHEMES, Settings
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.words import projects as project_words
from fieldapp.ui.words import settings as words
from fieldapp.ui.words.tongue import languages, told, tr

if TYPE_CHECKING:
    from fieldapp.record.entry import Entry

SIZES: Final = (1.0, 1.25, 1.5, 1.75, 2.0)
UNITS: Final = "units"
KEY_TIME: Final = "key_time"
POSITIONS: Final = "keep_picture_positions"
SERVER: Final = "timestamp_server"


class SettingsScreen(Screen):
    """Without a project in hand what is the project's is left out."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar(title=tr(words.TITLE))
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupForm(goes_on=False)
        self.middle.bind(
            on_typed=lambda _form, name, text: self._chosen(name, text),
            on_next=lambda _form: self._name_server(),
        )
        self.add_widget(framed(session, self.middle, self.bar))
        self.recording = Recording(session, way, self.middle.foot, self._recorded, self._refused)
        self.units = self.positions = ""
        self._server: str | None = None
        """What is kept; None while that is not known."""
        self._server_typed: str | None = None
        self._unread = ""

    def open(self) -> None:
        self._server_typed, self._unread = None, ""
        self.session.jobs.run(asks.timestamp_server, self._with_server, self._without_server)
        if self.session.ready:
            self.session.ask(asks.project_units, self._with_units, self._refused)
            self.session.ask(asks.keeps_positions, self._with_positions, self._refused)
        self._show()

    def again(self) -> None:
        self._show()

    def goes_back(self) -> bool:
        return bool(self.middle.foot.close())

    def _with_server(self, server: str) -> None:
        self._server = server
        self._show()

    def _without_server(self, problem: Exception) -> None:
        """What this device is told cannot be read: it is left as it is, and said as long as it is so."""
        self._server, self._unread = None, told(problem)
        self._show()

    def _with_units(self, units: str) -> None:
        self.units = units
        self._show()

    def _with_positions(self, keep: bool) -> None:
        self.positions = _yes_no(keep)
        self._show()

    def _show(self) -> None:
        from fieldapp.desk.trust.key_time import key_minutes

        now = self.session.preferences.now
        typed = {
            "language": now.language,
            "scheme": now.scheme,
            "text_scale": str(_nearest(now.text_scale)),
            "decimal_mark": now.decimal_mark,
            KEY_TIME: str(key_minutes()),
            UNITS: self.units,
            POSITIONS: self.positions,
            SERVER: (self._server or "") if self._server_typed is None else self._server_typed,
        }
        name = self.middle.typing.name if self.middle.typing is not None else ""
        unknown = {name for name in (UNITS, POSITIONS) if not typed[name]}
        unknown |= {SERVER} if self._server is None else set()
        fields = tuple(each for each in _fields() if each.name not in unknown)
        self.middle.begin(EntryForm("settings", words.TITLE, None, fields), typed)
        self.middle.beside((tr(words.SERVER_SENDS),))
        self.middle.boxes.say("not met" if self._unread else "", self._unread)
        self._offer_server()
        self.middle.go_to(name if name in self.middle.fields else "language")

    def _offer_server(self) -> None:
        """The button that takes the typed address, as long as it is another one."""
        typed = self._server_typed.strip() if self._server_typed is not None else self._server
        changed = typed != self._server
        self.middle.next_text = tr(words.KEEP_SERVER if typed else words.KEEP_NO_SERVER) if changed else ""

    def _name_server(self) -> None:
        typed, self.middle.able = self._server_typed or "", False
        self.session.jobs.run(
            lambda: asks.name_timestamp_server(typed), self._server_named, self.middle.refused
        )

    def _server_named(self, server: str) -> None:
        self._server, self._server_typed, self.middle.able = server, None, True
        self._show()
        says = tr(words.SERVER_KEPT, server=server) if server else tr(words.NO_SERVER_KEPT)
        self.middle.boxes.say("met", says)

    def _chosen(self, name: str, text: str) -> None:
        if name == SERVER:
            self._server_typed = text
            self._offer_server()
            return
        if not text:
            self._show()
            return
        if name == UNITS:
            if text != self.units:
                self.recording.record(lambda place, by: asks.change_units(place, text, by))
            return
        if name == POSITIONS:
            if text != self.positions:
                keep = text == _yes_no(True)
                self.recording.record(lambda place, by: asks.change_positions(place, keep, by))
            return
        if name == KEY_TIME:
            from fieldapp.desk.trust.key_time import keep_key_minutes

            minutes = int(text)
            self.session.jobs.run(lambda: keep_key_minutes(minutes), lambda _: None, self._refused)
            return
        self._change(name, text)

    def _change(self, name: str, text: str) -> None:
        preferences = self.session.preferences
        what: dict[str, Any] = {name: float(text) if name == "text_scale" else text}
        new: Settings = replace(preferences.now, **what)
        if new != preferences.now:
            preferences.change(
                new, self.session, self.way, lambda why: self.middle.boxes.say("not shown", why)
            )

    def _recorded(self, entry: Entry) -> None:
        units, keep = (getattr(entry.draft.values, each) for each in (UNITS, POSITIONS))
        new_units, self.units, self.positions = str(units) != self.units, str(units), _yes_no(keep)
        self._show()
        says = tr(words.UNITS_CHANGED, units=self.units) if new_units else tr(words.POSITIONS_CHANGED[keep])
        self.middle.boxes.say("met", says)

    def _refused(self, problem: Exception) -> None:
        self._show()
        self.middle.boxes.say("not met", told(problem))


def _nearest(scale: float) -> float:
    return min(SIZES, key=lambda each: abs(each - scale))


def _yes_no(keep: bool) -> str:
    return "yes" if keep else "no"


def _fields() -> tuple[FormField, ...]:
    from fieldapp.desk.trust.key_time import CHOICES_MIN, IDLE_MIN

    sizes = tuple(Option(str(each), said(words.PERCENT, percent=round(each * 100))) for each in SIZES)
    minutes = tuple(Option(str(each), said(words.MINUTES, minutes=each)) for each in CHOICES_MIN)
    units = (Option("US", project_words.UNITS_US), Option("SI", project_words.UNITS_SI))
    own_names = tuple(Option(code, name) for code, name in languages().items())
    schemes = tuple(Option(each, words.SCHEMES[each]) for each in SCHEMES)
    key_tells = said(words.KEY_TELLS, minutes=IDLE_MIN)
    marks = tuple(Option(each, words.MARKS[each]) for each in MARKS)
    return (
        FormField("language", words.LANGUAGE, Ask.CHOICE, options=own_names),
        FormField("scheme", words.SCHEME, Ask.CHOICE, options=schemes),
        FormField("text_scale", words.TEXT_SIZE, Ask.CHOICE, options=sizes),
        FormField("decimal_mark", words.MARK, Ask.CHOICE, options=marks, tells=words.MARK_TELLS),
        FormField(KEY_TIME, words.KEY_TIME, Ask.CHOICE, options=minutes, tells=key_tells),
        FormField(UNITS, words.UNITS, Ask.CHOICE, options=units, tells=words.UNITS_TELLS),
        FormField(POSITIONS, words.POSITIONS, Ask.YES_NO, tells=words.POSITIONS_TELLS),
        FormField(SERVER, words.SERVER, Ask.TEXT, tells=words.SERVER_TELLS),
    )
