"""The base of a shaft as the rounds show it: the latest one, and earlier ones by a button each."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kivy.properties import NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.plan_parts import figures_of, plan_parts
from fieldapp.ui.widgets.base_plan import BasePlan
from fieldapp.ui.widgets.figure import Figure
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.press import PlainButton
from fieldapp.ui.widgets.text import Caption
from fieldapp.ui.words import shaft as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.shaft.view import RoundView

REGISTERED = (BasePlan, Figure, Notice)


class RoundChoice(PlainButton):
    """One round of the shaft."""


class RoundTitle(Caption):
    """Which round is shown; it stands with the plan."""

    leads = True


class BaseStage(BoxLayout):
    """Give it the rounds, the latest first."""

    title = StringProperty("")
    notice = StringProperty("")
    tallest = NumericProperty("400dp")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._rounds: tuple[RoundView, ...] = ()

    def show(self, rounds: tuple[RoundView, ...]) -> None:
        """Show the latest round; the others are offered when there are any."""
        self._rounds = rounds
        choices = self.ids.choices
        choices.clear_widgets()
        if len(rounds) > 1:
            for place, each in enumerate(rounds):
                choice = RoundChoice(text=tr(each.title).partition(",")[0])
                choice.bind(on_release=lambda _choice, place=place: self._choose(place))
                choices.add_widget(choice, index=len(choices.children))
        self._choose(0)

    def _choose(self, place: int) -> None:
        shown = self._rounds[place] if self._rounds else None
        for each, choice in enumerate(self.ids.choices.children):
            choice.chosen = each == place
        self.title = tr(shown.title) if shown else ""
        self.notice = tr(shown.problem if shown else words.NO_ROUND)
        figures = (self.ids.share, self.ids.largest, self.ids.mean)
        texts = figures_of(shown) if shown else (("", ""),) * len(figures)
        for figure, (number, caption) in zip(figures, texts, strict=True):
            figure.number, figure.caption = number, caption
        labels = {each.label for each in shown.cells} if shown else set()
        plan = self.ids.plan
        plan.cells, plan.points = plan_parts(shown, labels) if shown else ([], [])


load_beside(__file__)
