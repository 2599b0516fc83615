"""Pictures on the glass: one large, or those of a shaft in a grid, with caption and place."""

from __future__ import annotations

from math import floor
from typing import TYPE_CHECKING, Any

from kivy.graphics.texture import Texture
from kivy.properties import NumericProperty, ObjectProperty, StringProperty
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.boxed import Boxed
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.text import Caption, Words
from fieldapp.ui.words import picture as words
from fieldapp.ui.words.tongue import tr, tr_count

if TYPE_CHECKING:
    from fieldapp.desk.pictures.kept import PicturesOfShaft, ShownPicture
    from fieldapp.desk.pictures.reading import SmallPicture

REGISTERED = (Caption, Notice, Words)


class PictureView(Widget):
    """One picture, whole, in the middle of its place; ``most`` is how high it may be."""

    texture = ObjectProperty(None, allownone=True)
    most = NumericProperty("420dp")
    least = NumericProperty("240dp")
    shown_width = NumericProperty(0.0)
    ratio = NumericProperty(0.0)
    """Height by width; 0 while there is no picture."""

    def show(self, small: SmallPicture | None) -> None:
        """Show these pixels, or nothing."""
        self.texture = None if small is None else texture_of(small)
        self.ratio = 0.0 if small is None else small.height_px / small.width_px


class Thumbnail(ButtonBehavior, Boxed, BoxLayout):
    """One picture of a shaft; ``wrong`` is the sentence that stands where it is lost."""

    subject = ObjectProperty(None, allownone=True)
    caption = StringProperty("")
    detail = StringProperty("")
    wrong = StringProperty("")
    high = NumericProperty("150dp")


class ThumbnailGrid(GridLayout):
    """Thumbnails in as many columns as there is room for."""

    least = NumericProperty("220dp")
    gap = NumericProperty("12dp")

    def on_width(self, *_: object) -> None:
        self.cols = max(1, floor((self.width + self.gap) / (self.least + self.gap)))


class Thumbnails(BoxLayout):
    """Pictures of a shaft: ``show`` what `asks_picture.pictures` gave; gives ``on_open(picture)``."""

    __events__ = ("on_open",)

    def show(self, found: PicturesOfShaft) -> None:
        grid = self.ids.grid
        grid.clear_widgets()
        for each in found.shown:
            grid.add_widget(self._made(each))
        more = found.count - len(found.shown)
        self.ids.older.text = tr_count(*words.OLDER, more) if more else ""

    def on_open(self, _picture: ShownPicture) -> None:
        pass

    def _made(self, picture: ShownPicture) -> Thumbnail:
        from fieldapp.ui.moments import day_and_time

        at = tr(words.AT_PLACE, place=picture.position) if picture.position else ""
        detail = "\n".join(each for each in (day_and_time(picture.observed_at), at) if each)
        made = Thumbnail(subject=picture, caption=picture.caption, detail=detail, wrong=tr(picture.wrong))
        made.ids.view.show(picture.small)
        made.bind(on_release=lambda tapped: self.dispatch("on_open", tapped.subject))
        return made


def texture_of(small: SmallPicture) -> Any:
    """Pixels as the window draws them."""
    made = Texture.create(size=(small.width_px, small.height_px), colorfmt="rgb")
    made.blit_buffer(small.rgb, colorfmt="rgb", bufferfmt="ubyte")
    made.flip_vertical()
    return made


load_beside(__file__)
