"""Passphrases of a person's key: made, brought along, changed, unlocked.

What is typed here is in no draft, no word of another screen and no log, and it is gone when the screen is
left.  Whether a new passphrase is good enough is said while it is typed.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from fieldapp.ui import asks_project as asks
from fieldapp.ui.screens.people_secret import SecretField
from fieldapp.ui.screens.people_secret_screen import SecretScreen
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.words import people as words
from fieldapp.ui.words.tongue import told, tr

if TYPE_CHECKING:
    from fieldapp.desk.trust.roster import UnlockedKey
    from fieldapp.desk.workplace import Workplace

NEW: Final = "new"
AGAIN: Final = "again"
OPENS: Final = "opens"
FIELDS: Final = {
    "make": (NEW, AGAIN),
    "own": (OPENS, NEW, AGAIN),
    "change": (OPENS, NEW, AGAIN),
    "unlock": (OPENS,),
}
DO: Final = {
    "make": words.MAKE_KEY,
    "own": words.MAKE_KEY,
    "change": words.NEW_PASSPHRASE,
    "unlock": words.UNLOCK,
}
DONE: Final = {
    "make": words.MADE,
    "own": words.BROUGHT,
    "change": words.CHANGED,
    "unlock": words.UNLOCKED,
}
CAPTIONS: Final = {NEW: words.NEW, AGAIN: words.AGAIN}
OPENS_CAPTIONS: Final = {"own": words.OF_FILE, "change": words.OLD, "unlock": words.PASSPHRASE}


class PersonKeyScreen(SecretScreen):
    """``does`` is make, own (with ``file``), change or unlock; ``opens``: the key that is made is unlocked.

    Then the way leads back to where it was asked for, else to the page of the person.
    """

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(session, way, **kwargs)
        self.person, self.does = "", "make"
        self.opens = False
        self.file: Path | None = None
        self._strength, self._same = Notice(), Notice()

    def open(self, person: str, does: str, file: Path | None = None, *, opens: bool = False) -> None:
        self.forget()
        self.person, self.does, self.file, self.opens = person, does, file, opens
        self.bar.title = tr(words.MAKE_KEY_OF, name=person)
        self.middle.next_text = tr(DO[does])
        self.middle.say(self._says(), "")
        self.fields = {name: self.field(name, self._caption(name)) for name in FIELDS[does]}
        rows: list[SecretField | Notice] = []
        for name, field in self.fields.items():
            rows += [field, *({NEW: [self._strength], AGAIN: [self._same]}.get(name, []))]
        self.middle.show(rows)
        self._judge()
        self.session.ask(lambda place: asks.person_page(place, person), lambda _: None, self._refused)

    def _says(self) -> str:
        if self.does == "own" and self.file is not None:
            return tr(words.OWN_SAYS, file=self.file.name)
        if self.does == "unlock":
            from fieldapp.desk.trust.key_time import key_minutes

            return tr(words.UNLOCK_SAYS, name=self.person, minutes=key_minutes())
        return tr(words.CHANGE_SAYS) if self.does == "change" else tr(words.MAKE_SAYS, name=self.person)

    def _caption(self, name: str) -> str:
        return tr(CAPTIONS.get(name) or OPENS_CAPTIONS[self.does])

    def _judge(self) -> None:
        """Say what is still missing, and let the next thing be pressed once nothing is."""
        texts = self.texts()
        able = all(texts.values())
        if NEW in texts:
            weak = asks.weakness(texts[NEW]) if texts[NEW] else ""
            self._strength.shown, self._strength.text = _judged(
                tr(weak) if texts[NEW] else tr(words.TOO_SHORT),
                tr(words.GOOD),
                ok=bool(texts[NEW]) and not weak,
            )
            same = texts[NEW] == texts[AGAIN]
            self._same.shown, self._same.text = _judged(tr(words.NOT_SAME), tr(words.BOTH_SAME), ok=same)
            if not texts[AGAIN]:
                self._same.shown, self._same.text = "", ""
            able = able and not weak and same
        self.middle.next_able = able

    def _do(self) -> None:
        texts = self.texts()
        self.middle.next_able = False
        self.middle.say(tr(words.OPENING if self.does == "unlock" else words.MAKING), "")
        if self.does == "unlock":
            person = self.person
            self.session.ask(
                lambda place: asks.open_key(place, person, texts[OPENS]), self._opened, self._refused
            )
            return
        if self.opens:
            self.session.ask(lambda place: self._made_and_open(place, texts), self._opened, self._refused)
            return
        self.session.ask(lambda place: self._act(place, texts), self._done, self._refused)

    def _made_and_open(self, place: Workplace, texts: dict[str, str]) -> UnlockedKey:
        self._act(place, texts)
        return asks.open_key(place, self.person, texts[NEW])

    def _act(self, place: Workplace, texts: dict[str, str]) -> str:
        if self.does == "make":
            return asks.make_key(place, self.person, texts[NEW])
        if self.does == "change":
            return asks.change_passphrase(place, self.person, texts[OPENS], texts[NEW])
        assert self.file is not None
        return asks.bring_key(place, self.person, self.file, texts[OPENS], texts[NEW])

    def _opened(self, key: UnlockedKey) -> None:
        if self.is_shown:  # somebody who left meanwhile wants no open key
            self.session.hold_key(key)
            if self.opens:
                self.forget()
                self.way.back()
                return
            self._done("")

    def _done(self, still_to_do: str) -> None:
        self.forget()
        if not self.is_shown:
            return
        said = tr(DONE[self.does], name=self.person)
        self.way.go("person page", person=self.person, said=f"{said} {tr(still_to_do)}".strip())

    def _refused(self, problem: Exception) -> None:
        self.middle.say(told(problem))
        self._judge()


def _judged(against: str, good: str, *, ok: bool) -> tuple[str, str]:
    return ("met", good) if ok else ("due", against)
