"""The foot of a form: what hurts people here, or in its place a question that must be answered first."""

from __future__ import annotations

from collections.abc import Callable

from kivy.properties import StringProperty
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.widgets.caution import Caution
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.question import Question

REGISTERED = (Caution,)


class Foot(BoxLayout):
    """``ask`` puts a question in the place of the caution until it is answered or closed."""

    __events__ = ("on_asking",)
    caution = StringProperty("")
    question: Question | None = None

    def ask(self, text: str, no_text: str, yes_text: str, on_yes: Callable[[], None]) -> None:
        """Ask; no closes the question, yes closes it and goes on."""
        self.close()
        made = Question(text=text, no_text=no_text, yes_text=yes_text)
        made.bind(on_no=lambda _question: self.close(), on_yes=lambda _question: self._yes(on_yes))
        self.question = made
        self.clear_widgets()
        self.add_widget(made)
        self.dispatch("on_asking", True)

    def close(self) -> bool:
        """Close the question; False when there was none."""
        if self.question is None:
            return False
        self.question = None
        self.clear_widgets()
        self.add_widget(self._caution)
        self.dispatch("on_asking", False)
        return True

    def _yes(self, on_yes: Callable[[], None]) -> None:
        self.close()
        on_yes()

    def on_kv_post(self, _base: object) -> None:
        self._caution = self.ids.caution.__self__

    def on_asking(self, _asking: bool) -> None:
        pass


load_beside(__file__)
