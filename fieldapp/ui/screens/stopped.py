"""The last screen: something nobody foresaw has happened, and what is safe."""

from __future__ import annotations

from typing import Any

from kivy.app import App
from kivy.base import stopTouchApp
from kivy.properties import StringProperty
from kivy.uix.screenmanager import Screen

from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.boxed import Ground
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.press import ActButton
from fieldapp.ui.widgets.text import Words
from fieldapp.ui.words import common
from fieldapp.ui.words.tongue import tr

REGISTERED = (ActButton, Words)


class StoppedMiddle(Ground):
    """A sentence, where it is written down, and the one thing left to do."""

    __events__ = ("on_close",)
    says = StringProperty("")
    file = StringProperty("")

    def on_close(self) -> None:
        pass


class StoppedScreen(Screen):
    """Nothing leads on from here but the end of the app."""

    def __init__(self, session: Session, _way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session = session
        self.middle = StoppedMiddle()
        self.middle.bind(on_close=lambda _middle: _end())
        self.add_widget(self.middle)

    def open(self, file: str) -> None:
        time = self.session.saved
        saved = tr(common.STOPPED_SAVED, time=time) if time else tr(common.STOPPED_NOTHING)
        self.middle.says = tr(common.STOPPED, saved=saved)
        self.middle.file = tr(common.STOPPED_FILE, file=file) if file else ""

    def again(self) -> None:
        pass

    def goes_back(self) -> bool:
        return True


def _end() -> None:
    app = App.get_running_app()
    (app.stop if app else stopTouchApp)()


load_beside(__file__)
