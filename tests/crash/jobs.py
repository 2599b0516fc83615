"""What people do with a project, each once from beginning to end, and what each has been told is safe.

The same jobs are killed at random, cut off from power after every step, and refused by the disk at every
one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Final, TypeAlias

from fieldapp.desk.decisions.engineer import ReleaseAsked, release
from fieldapp.desk.decisions.signing_off import SignOffAsked, sign_off
from fieldapp.desk.inspector import Saying, keep_form, record_entry
from fieldapp.desk.office import begin_project, save_backup
from fieldapp.desk.papers.forms import FORMS
from fieldapp.desk.papers.summary import write_summary
from fieldapp.desk.papers.writing import Wanted, write_paper
from fieldapp.desk.pictures.kept import keep_picture, look_at_file
from fieldapp.desk.projects.beginning import NewProject, create_project
from fieldapp.desk.projects.known import keep_half_typed, remember_project
from fieldapp.desk.settings import keep_server
from fieldapp.desk.travel.arriving import NewFolder, begin_from_bundle, take_bundle
from fieldapp.desk.travel.sending import Asked, make_bundle
from fieldapp.desk.trust.key_time import keep_key_minutes
from fieldapp.desk.trust.unlocking import change_passphrase, key_file, save_key
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, read_project
from fieldapp.identity.keys import seal_key
from fieldapp.record.hole import Note, Photo
from fieldapp.record.words import PaperKind, Role, UnitSystem
from fieldapp.store.driver import sqlite3
from fieldapp.store.opening import JOURNAL
from tests.crash.ground import SHAFT, Ground, noise
from tests.desk.signed_work import ENGINEER, INSPECTOR

Tell: TypeAlias = Callable[[str, str], None]
"""Gets what kind of thing is safe from now on, and which one."""
Act: TypeAlias = Callable[[Workplace, Ground, Tell], None]

CONFIRMED: Final = ("sign-open", "override", "past-forecast", "forecast")
FORM: Final = "note of the crash tests"
PASSPHRASE: Final = "six plain words for the test"
NEW_PASSPHRASE: Final = "seven other words for the test"
SEALED: Final[list[bytes]] = []


@dataclass(frozen=True)
class Job:
    """Something that is done at once: on a project that is open, or from its opening on.

    ``before`` brings a fresh copy into the state in which it begins.  ``whole`` says how many entries it
    adds in one piece: none or all of them are there, whatever happens.
    """

    act: Act | None = None
    outside: Callable[[Ground, Tell], None] | None = None
    before: Callable[[Ground], None] = lambda _ground: None
    whole: int = 1

    def run(self, ground: Ground, tell: Tell) -> None:
        ground.stand_here()
        if self.outside is not None:
            self.outside(ground, tell)
            return
        with ground.at_work() as place:
            self.do(place, ground, tell)

    def do(self, place: Workplace, ground: Ground, tell: Tell) -> None:
        assert self.act is not None
        self.act(place, ground, tell)


def save(place: Workplace, ground: Ground, tell: Tell) -> None:
    """A note is half typed, typed, and recorded, which ends its form."""
    number = ground.clock.made
    keep_form(place, FORM, SHAFT, {"text": f"note {number}, half ty"})
    tell("form", f"note {number}, half ty")
    entry = record_entry(
        place, Saying(SHAFT, Note(f"note {number} " + "is long " * 40), INSPECTOR, form=FORM)
    )
    tell("entry", entry.id)


def picture(place: Workplace, ground: Ground, tell: Tell) -> None:
    taken = ground.beside("base.jpg")
    taken.write_bytes(noise(10 + ground.clock.turn * 20 + ground.clock.made % 20, (320, 240)))
    digest = keep_picture(place, look_at_file(place, taken))
    tell("picture", digest)
    entry = record_entry(place, Saying(SHAFT, Photo(digest, "the base"), INSPECTOR))
    tell("entry", entry.id)


def bundle_in(place: Workplace, ground: Ground, tell: Tell) -> None:
    before = {each.id for each in place.entries()}
    take_bundle(place, ground.arriving)
    for each in place.entries():
        if each.id not in before:
            tell("entry", each.id)


def bundle_out(place: Workplace, ground: Ground, tell: Tell) -> None:
    out = free(ground.root / "out.bundle.zip")
    made = make_bundle(place, out, Asked(ENGINEER, key=ground.keys[ENGINEER]))
    tell("bundle", str(made.path))


def reports(place: Workplace, ground: Ground, tell: Tell) -> None:
    wanted = Wanted(FORMS[PaperKind.RELEASE_SHEET], SHAFT, place.now(), INSPECTOR)
    tell("paper", str(write_paper(place, wanted).path))
    tell("paper", str(write_summary(place, place.now(), INSPECTOR).path))


def signing(place: Workplace, ground: Ground, tell: Tell) -> None:
    asked = SignOffAsked(confirmed=CONFIRMED)
    entry, paper = sign_off(place, SHAFT, asked, INSPECTOR, ground.keys[INSPECTOR])
    tell("entry", entry.id)
    tell("paper", str(paper.path))


def releasing(place: Workplace, ground: Ground, tell: Tell) -> None:
    until = place.now() + timedelta(minutes=20)
    asked = ReleaseAsked(until, reason="Sounded by hand, the rig stands by.", confirmed=CONFIRMED)
    entry = release(place, SHAFT, asked, ENGINEER, ground.keys[ENGINEER])
    tell("entry", entry.id)


def typed(place: Workplace, ground: Ground, tell: Tell) -> None:
    log = ground.beside("typed.log")
    log.write_text(TYPED, "utf-8")
    before = {each.id for each in place.entries()}
    add_logs(place, read_logs([log]))
    for each in place.entries():
        if each.id not in before:
            tell("entry", each.id)


def settings(place: Workplace, ground: Ground, tell: Tell) -> None:
    keep_server("https://time.example/stamp")
    tell("server", "https://time.example/stamp")
    keep_key_minutes(10)
    tell("minutes", "10")
    remember_project(ground.project, ground.clock)
    tell("known", str(ground.project))
    keep_half_typed({"name": "Vesker"})
    tell("half typed", "Vesker")


def passphrase(place: Workplace, ground: Ground, tell: Tell) -> None:
    """The inspector's key is put under another passphrase: its file is written anew."""
    change_passphrase(place, INSPECTOR, PASSPHRASE, NEW_PASSPHRASE)
    tell("key", NEW_PASSPHRASE)


def with_key_file(ground: Ground) -> None:
    if not SEALED:  # slow on purpose
        SEALED.append(seal_key(ground.keys[INSPECTOR], PASSPHRASE))
    with read_project(ground.project) as place:
        save_key(key_file(place, INSPECTOR), SEALED[0])


def hasty(place: Workplace, ground: Ground, tell: Tell) -> None:
    """The control: says that an entry is safe before anybody has written it."""
    number = ground.clock.made + 2
    high, low = divmod(ground.clock.turn, 0x1000)
    tell("entry", f"019e1d46-3180-7{low:03x}-9{high:03x}-{number:012x}")
    ground.clock.new_id()
    record_entry(place, Saying(SHAFT, Note("said too early"), INSPECTOR))


def rebuild(ground: Ground, tell: Tell) -> None:
    """The project was last used with another version: its read tables are made anew when it is opened."""
    with ground.at_work() as place:
        tell("open", str(len(place.entries())))


def older(ground: Ground) -> None:
    connection = sqlite3.connect(ground.project / JOURNAL)
    connection.execute("UPDATE about SET value = '0/of long ago' WHERE name LIKE 'version%'")
    connection.commit()
    connection.close()


def backup(ground: Ground, tell: Tell) -> None:
    tell("backup", str(save_backup(ground.project, free(ground.root / "backup")).folder))


def new_project(ground: Ground, tell: Tell) -> None:
    """An empty folder, a project by its set-up, and one that is made of a bundle."""
    begin_project(ground.root / "empty")
    tell("empty", str(ground.root / "empty"))
    asked = NewProject(
        ground.root,
        "vesker",
        "Vesker",
        UnitSystem.SI,
        "UTC",
        "us-classic",
        ENGINEER,
        (Role.RESIDENT_ENGINEER,),
    )
    tell("project", str(create_project(asked, ground.clock, "tablet new")))
    new = NewFolder(ground.root / "from-bundle", ground.clock, "tablet new")
    begin_from_bundle(new, ground.arriving)
    tell("project", str(new.folder))


def free(path: Path) -> Path:
    """A name that nothing has yet."""
    stem, _, rest = path.name.partition(".")
    names = (path.with_name(f"{stem}-{number}{'.' if rest else ''}{rest}") for number in range(1000))
    return next(each for each in names if not each.exists())


TYPED: Final = f"""\
project   larkwater
device    tablet typed
author    {INSPECTOR}
zone      America/Denver
day       2026-05-12
shaft     {SHAFT}

13:23  note
  text   the tremie is on its way
device    tablet typed too
13:24  note
  text   the tremie is here
"""

JOBS: Final[Mapping[str, Job]] = {
    "save": Job(save),
    "picture": Job(picture),
    "bundle in": Job(bundle_in, whole=5),
    "bundle out": Job(bundle_out),
    "reports": Job(reports),
    "signing": Job(signing),
    "release": Job(releasing),
    "typed log": Job(typed, whole=2),
    "settings": Job(settings),
    "passphrase": Job(passphrase, before=with_key_file),
    "rebuild": Job(outside=rebuild, before=older),
    "backup": Job(outside=backup),
    "new project": Job(outside=new_project),
}
CONTROL: Final[Mapping[str, Job]] = {"hasty": Job(hasty)}
