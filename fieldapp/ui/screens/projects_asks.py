"""What the screens of the projects ask before a project is in hand; everything here runs on the worker."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fieldapp.desk.clock import Clock
    from fieldapp.desk.entry_forms.form import FormField
    from fieldapp.desk.projects.beginning import NewProject
    from fieldapp.desk.projects.folders import FolderPage
    from fieldapp.desk.projects.known import ProjectNow


@dataclass(frozen=True, slots=True)
class NewPage:
    """A new project to be typed, as far as it has come; ``zones`` are those that it can have."""

    fields: tuple[FormField, ...]
    typed: dict[str, str]
    above: Path
    zones: tuple[str, ...]


def projects() -> tuple[ProjectNow, ...]:
    """The projects that this device knows."""
    from fieldapp.desk.projects.known import known_projects

    return known_projects()


def remember(folder: Path, clock: Clock) -> Path:
    """Look at a project and put it at the head of the list.  Raises StoreProblem."""
    from fieldapp.desk.projects.known import remember_project

    return Path(remember_project(folder, clock).folder)


def forget(folder: str) -> tuple[ProjectNow, ...]:
    """Take a project off the list."""
    from fieldapp.desk.projects.known import forget_project, known_projects

    forget_project(folder)
    return known_projects()


def folder(path: Path, suffixes: tuple[str, ...]) -> FolderPage:
    """What is in a folder, or in the nearest one above it that is there.  Raises StoreProblem."""
    from fieldapp.desk.projects.folders import DRIVES, folder_page, nearest_there

    return folder_page(path if path == DRIVES else nearest_there(path), suffixes)


def new_page() -> NewPage:
    """A new project to be typed."""
    from fieldapp.desk.projects.beginning import time_zones
    from fieldapp.desk.projects.folders import place_of_projects
    from fieldapp.desk.projects.known import half_typed

    typed = half_typed()
    above = typed.pop("above", "")
    return NewPage(
        fields_of_new_project(), typed, Path(above) if above else place_of_projects(), time_zones()
    )


def keep_new(texts: Mapping[str, str], above: Path) -> None:
    """Keep a half-typed project on this device."""
    from fieldapp.desk.projects.known import keep_half_typed

    keep_half_typed({**texts, "above": str(above)})


def new_project(texts: Mapping[str, str], above: Path) -> NewProject:
    """What was typed of a new project, as the desk takes it.  Raises Impossible."""
    from fieldapp.desk.projects.beginning import NewProject
    from fieldapp.record.words import Role, UnitSystem

    return NewProject(
        above=above,
        id=texts.get("id", "").strip(),
        name=texts.get("name", "").strip(),
        units=UnitSystem(texts["units"]),
        time_zone=texts.get("time_zone", "").strip(),
        preset=texts["preset"],
        person=texts.get("person", "").strip(),
        roles=tuple(Role(each) for each in texts.get("roles", "").split("\n") if each),
        own_log_release=texts.get("own_log_release") == "yes",
        keep_picture_positions=texts.get("keep_picture_positions") == "yes",
    )


def make_project(texts: Mapping[str, str], above: Path, clock: Clock, device: str) -> Path:
    """Make a project and remember it.  Raises Impossible, Refused, StoreProblem."""
    from fieldapp.desk.projects.beginning import create_project
    from fieldapp.desk.projects.known import drop_half_typed, remember_project

    folder = create_project(new_project(texts, above), clock, device)
    remember_project(folder, clock)
    drop_half_typed()
    return folder


def fields_of_new_project() -> tuple[FormField, ...]:
    """The boxes of a new project, with what this device proposes."""
    from fieldapp.desk.entry_forms.form import Ask, FormField, Option
    from fieldapp.desk.projects.beginning import zone_of_the_system
    from fieldapp.desk.projects.presets import preset, preset_names
    from fieldapp.record.said import said
    from fieldapp.record.words import Role, UnitSystem
    from fieldapp.ui.words import projects as words

    zone = zone_of_the_system()
    units = (Option(UnitSystem.US, words.UNITS_US), Option(UnitSystem.SI, words.UNITS_SI))
    sets = tuple(Option(each, preset(each).title) for each in preset_names())
    roles = tuple(Option(each, each) for each in Role)
    return (
        FormField("name", words.NAME, Ask.TEXT, needed=True, tells=words.NAME_TELLS),
        FormField("id", words.ID, Ask.TEXT, needed=True, tells=words.ID_TELLS),
        FormField("units", words.UNITS, Ask.CHOICE, needed=True, options=units),
        FormField(
            "time_zone",
            words.ZONE,
            Ask.TEXT,
            needed=True,
            options=(Option(zone, zone),),
            tells=said(words.ZONE_TELLS, zone=zone),
        ),
        FormField("preset", words.SET, Ask.CHOICE, needed=True, options=sets, tells=words.SET_TELLS),
        FormField("person", words.PERSON, Ask.TEXT, needed=True, tells=words.PERSON_TELLS),
        FormField("roles", words.ROLES, Ask.SEVERAL, needed=True, options=roles, tells=words.ROLES_TELLS),
        FormField("own_log_release", words.OWN_LOG, Ask.YES_NO, tells=words.OWN_LOG_TELLS),
        FormField("keep_picture_positions", words.POSITIONS, Ask.YES_NO, tells=words.POSITIONS_TELLS),
    )
