"""What hurts people, said at the foot of the screen where the risk is, in reading size."""

from __future__ import annotations

from kivy.properties import StringProperty

from fieldapp.ui.widgets.boxed import Ground
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.text import Words

REGISTERED = (Words,)


class Caution(Ground):
    """A line and a sentence; never a dialogue.  Empty text takes no room."""

    text = StringProperty("")


load_beside(__file__)
