"""The way through the screens: each is built when it is needed, and back leads to the one before.

A screen stays built while it is on the way, while it is ``busy``, and for a visit more; then its memory
is given back, which is several megabytes each.

A screen has ``open(**given)`` for a visit, ``again()`` when the way leads back to it, and ``goes_back()``,
which says whether it took the back key for something of its own.  One that holds something half typed
has ``keep()``, which puts it on disk.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any, Final

from kivy.uix.screenmanager import NoTransition, Screen, ScreenManager

from fieldapp.ui.session import Session

SCREENS: Final = {
    "board": "fieldapp.ui.screens.board:BoardScreen",
    "person": "fieldapp.ui.screens.person:PersonScreen",
    "shaft": "fieldapp.ui.screens.shaft:ShaftScreen",
    "round": "fieldapp.ui.screens.round:RoundScreen",
    "fluid": "fieldapp.ui.screens.fluid:FluidScreen",
    "entry": "fieldapp.ui.screens.entry:EntryScreen",
    "picture": "fieldapp.ui.screens.picture:PictureScreen",
    "timeline": "fieldapp.ui.screens.timeline:TimelineScreen",
    "projects": "fieldapp.ui.screens.projects:ProjectsScreen",
    "folder": "fieldapp.ui.screens.folder_screen:FolderScreen",
    "new project": "fieldapp.ui.screens.projects_new:NewProjectScreen",
    "setup": "fieldapp.ui.screens.setup:SetupScreen",
    "acceptance": "fieldapp.ui.screens.acceptance:AcceptanceScreen",
    "acceptance set": "fieldapp.ui.screens.acceptance_set:AcceptanceSetScreen",
    "acceptance number": "fieldapp.ui.screens.acceptance_number:AcceptanceNumberScreen",
    "acceptance changes": "fieldapp.ui.screens.acceptance_changes:AcceptanceChangesScreen",
    "people": "fieldapp.ui.screens.people:PeopleScreen",
    "person page": "fieldapp.ui.screens.people_one:PersonPageScreen",
    "person roles": "fieldapp.ui.screens.people_roles:PersonRolesScreen",
    "person key": "fieldapp.ui.screens.people_key:PersonKeyScreen",
    "revoke key": "fieldapp.ui.screens.people_revoke:RevokeKeyScreen",
    "settings": "fieldapp.ui.screens.settings:SettingsScreen",
    "signoff": "fieldapp.ui.screens.signoff:SignoffScreen",
    "release": "fieldapp.ui.screens.release:ReleaseScreen",
    "credit": "fieldapp.ui.screens.credit:CreditScreen",
    "papers": "fieldapp.ui.screens.papers:PapersScreen",
    "paper": "fieldapp.ui.screens.papers_one:PaperScreen",
    "paper folder": "fieldapp.ui.screens.folder_screen:FolderScreen",
    "bundle out": "fieldapp.ui.screens.bundle_out:BundleOutScreen",
    "bundle in": "fieldapp.ui.screens.bundle_in:BundleInScreen",
    "bundle folder": "fieldapp.ui.screens.folder_screen:FolderScreen",
    "unlock": "fieldapp.ui.screens.unlock:UnlockScreen",
    "stopped": "fieldapp.ui.screens.stopped:StoppedScreen",
}
ESCAPE: Final = 27
KEPT: Final = 1
"""How many screens stay built that are not on the way any more: for the one to and fro of some work."""


class Walk(ScreenManager):
    """Every screen gets the session and this walk; nothing asks for the running app."""

    def __init__(self, session: Session, **kwargs: Any) -> None:
        super().__init__(transition=NoTransition(), **kwargs)
        self.session = session
        self.trail: list[str] = []
        self._given: dict[str, dict[str, Any]] = {}
        self._visited: list[str] = []
        """Screens that are built, the latest visit last."""

    def apply_class_lang_rules(self, *_: Any, **__: Any) -> None:
        """Without Kivy's own rule, which draws the walk twice to cut the screens to it: they fill it."""

    def go(self, name: str, **given: Any) -> None:
        """Open a screen.  One that is on the way already is gone back to."""
        if not self.has_screen(name):
            module, _, kind = SCREENS[name].partition(":")
            self.add_widget(getattr(import_module(module), kind)(self.session, self, name=name))
        if name in self.trail:
            del self.trail[self.trail.index(name) :]
        self.trail.append(name)
        self._given[name] = given
        self._visit(name)
        self.get_screen(name).open(**given)

    def back(self) -> bool:
        """One step back, unless the screen takes it; False at the beginning of the way."""
        here: Screen = self.get_screen(self.trail[-1])
        if here.goes_back():
            return True
        if len(self.trail) < 2:
            return False
        self.trail.pop()
        self._visit(self.trail[-1])
        self.get_screen(self.trail[-1]).again()
        return True

    def rebuild(self) -> None:
        """Build every screen of the way anew, as it was opened: the words of the screens have changed."""
        way = [(name, self._given[name]) for name in self.trail]
        for name in self.trail:
            keep = getattr(self.get_screen(name), "keep", None)
            if keep is not None:
                keep()
        self.clear_widgets()
        self.transition = NoTransition()  # the one of before keeps the last two screens
        self.trail, self._visited = [], []
        for name, given in way:
            self.go(name, **given)

    def key(self, _window: object, code: int, *_rest: object) -> bool:
        """Escape, and the back key of a tablet; nothing else is taken."""
        if code != ESCAPE:
            return False
        self.back()
        return True

    def stop_here(self, file: str) -> None:
        """Leave only the calm sentence standing."""
        self.go("stopped", file=file)
        self.trail = ["stopped"]

    def _visit(self, name: str) -> None:
        self.current = name
        built = [each for each in self._visited if each != name and self.has_screen(each)]
        self._visited = [*built, name]
        left = [each for each in self._visited if each not in self.trail and not self._is_busy(each)]
        for each in left[:-KEPT]:
            self.remove_widget(self.get_screen(each))
            self._visited.remove(each)
            del self._given[each]

    @property
    def busy(self) -> bool:
        """Whether any screen has something in the making."""
        return any(map(self._is_busy, self._visited))

    def _is_busy(self, name: str) -> bool:
        """Whether a screen waits for something that it has begun, such as a paper in the making."""
        return bool(getattr(self.get_screen(name), "busy", False))
