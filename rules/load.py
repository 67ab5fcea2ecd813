"""Rule files in one or more folders as a Rulebook; all faults are reported together."""

import hashlib
from collections.abc import Mapping
from dataclasses import replace
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from kb import calculators as all_calculators
from kb import cautions as all_cautions
from kb import sources as all_sources
from kb.calculators.model import Calculator
from kb.cautions import Caution
from kb.fields import Fields, Problems, read_table
from kb.sources import Source
from rules.model import Rulebook, Symptom
from rules.read import Known, read_causes, read_checks, read_readings, read_tools
from rules.symptom_file import read_symptom

SHARED = ("readings.toml", "tools.toml", "causes.toml", "checks.toml")
SHIPPED = "rules/data"
Folder = Path | Traversable


def shipped_folder() -> Traversable:
    """The folder of the rules that come with Standpipe."""
    return files("rules") / "data"


def shipped(*folders: Folder) -> Rulebook:
    """The rules that come with Standpipe, with a keeper's own folders read after them."""
    return load(
        shipped_folder(),
        *folders,
        calculators=all_calculators.ALL,
        sources=all_sources.shipped(),
        cautions=all_cautions.shipped(),
    )


def load(
    *folders: Folder,
    calculators: Mapping[str, Calculator],
    sources: Mapping[str, Source],
    cautions: Mapping[str, Caution],
) -> Rulebook:
    """The rules in these folders, later ones replacing by id or adding; raises ContentErrors."""
    problems = Problems()
    folders = folders or (shipped_folder(),)
    for folder in folders:
        _check_folder(folder, problems)
    known = Known(calculators, sources, cautions)
    for fields in _shared(folders, "readings.toml", problems):
        known.readings |= read_readings(fields)
    for fields in _shared(folders, "tools.toml", problems):
        known.tools |= read_tools(fields)
    for fields in _shared(folders, "causes.toml", problems):
        known.causes |= read_causes(fields, known)
    for fields in _shared(folders, "checks.toml", problems):
        known.checks |= read_checks(fields, known)
    symptoms = _read_symptoms(folders, known, problems)
    problems.raise_any()
    mark = fingerprint(folders)
    return Rulebook(
        symptoms={slug: replace(symptoms[slug], fingerprint=mark) for slug in sorted(symptoms)},
        checks=known.checks,
        causes=known.causes,
        readings=known.readings,
        tools=known.tools,
        fingerprint=mark,
    )


def fingerprint(folders: tuple[Folder, ...]) -> str:
    """Eight characters that change whenever a rule file does."""
    digest = hashlib.sha256()
    for folder in folders:
        for file in _rule_files(folder):
            digest.update(f"{file.name}\n".encode())
            digest.update(file.read_bytes().replace(b"\r\n", b"\n"))
    return digest.hexdigest()[:8]


def _read_symptoms(
    folders: tuple[Folder, ...], known: Known, problems: Problems
) -> dict[str, Symptom]:
    found = {}
    for file, path in _symptom_files(folders).values():
        slug = file.name.removesuffix(".toml")
        found[slug] = read_symptom(read_table(file, path=path, problems=problems), slug, known)
    return found


def _symptom_files(folders: tuple[Folder, ...]) -> dict[str, tuple[Folder, str]]:
    """The last file of each name, with its path for people."""
    return {
        file.name: (file, f"{_path(folder)}/symptoms/{file.name}")
        for folder in folders
        for file in _toml_files(folder / "symptoms")
    }


def _shared(folders: tuple[Folder, ...], name: str, problems: Problems) -> list[Fields]:
    return [
        read_table(folder / name, path=f"{_path(folder)}/{name}", problems=problems)
        for folder in folders
        if (folder / name).is_file()
    ]


def _check_folder(folder: Folder, problems: Problems) -> None:
    if not folder.is_dir():
        problems.add(_path(folder), "folder", "is no folder that can be read.")
        return
    for file in _toml_files(folder):
        if file.name not in SHARED:
            allowed = ", ".join(SHARED)
            problems.add(
                f"{_path(folder)}/{file.name}", "file", f"is not read here; known are {allowed}."
            )


def _rule_files(folder: Folder) -> list[Folder]:
    shared = [folder / name for name in SHARED if (folder / name).is_file()]
    return [*shared, *_toml_files(folder / "symptoms")]


def _toml_files(folder: Folder) -> list[Folder]:
    if not folder.is_dir():
        return []
    found = [file for file in folder.iterdir() if file.name.endswith(".toml")]
    return sorted(found, key=lambda file: file.name)


def _path(folder: Folder) -> str:
    return SHIPPED if folder == shipped_folder() else str(folder)
