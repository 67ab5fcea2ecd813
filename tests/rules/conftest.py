"""The small rulebook of tests/rules/example, whole or with one edit."""

import shutil
from pathlib import Path

import pytest

from kb import calculators, cautions, sources
from rules.engine import diagnose
from rules.load import load

EXAMPLE = Path(__file__).parent / "example"
ARTICLES = frozenset(
    {
        "fish-gasping",
        "low-oxygen",
        "nitrite-high",
        "ammonia-high",
        "chlorine-and-chloramine",
        "spots-and-fungus",
    }
)

ALL_WELL = {
    "air-and-flow": "running",
    "untreated-water": "no",
    "oxygen": 8,
    "nitrite": 0,
    "gills": "red",
    "all-or-some": "all",
    "ammonia": 0,
    "ph": 7,
    "temperature": 22,
}


@pytest.fixture(scope="session")
def known():
    return {
        "calculators": calculators.ALL,
        "sources": sources.shipped(),
        "cautions": cautions.shipped(),
    }


@pytest.fixture(scope="session")
def example_folder():
    return EXAMPLE


@pytest.fixture(scope="session")
def articles():
    return ARTICLES


@pytest.fixture(scope="session")
def rulebook(known):
    return load(EXAMPLE, **known)


@pytest.fixture(scope="session")
def gasping(rulebook):
    return rulebook.symptom("fish-gasping")


@pytest.fixture(scope="session")
def all_well():
    """An answer to every check of the example that speaks against its causes."""
    return dict(ALL_WELL)


@pytest.fixture(scope="session")
def all_unknown():
    return dict.fromkeys(ALL_WELL, "unknown")


@pytest.fixture(scope="session")
def look():
    """Diagnoses a symptom; answers come in a dictionary, by name, or both."""

    def diagnosed(symptom, given=(), **answers):
        named = {key.replace("_", "-"): value for key, value in answers.items()}
        return diagnose(symptom, dict(given) | named, calculators=calculators.ALL)

    return diagnosed


@pytest.fixture
def edited(tmp_path, known):
    """Loads the example with edits: old text, found once, for new; no old text: appended."""

    def load_edited(*edits):
        folder = tmp_path / "rules"
        if not folder.exists():
            shutil.copytree(EXAMPLE, folder)
        for name, old, new in edits:
            file = folder / name
            text = file.read_text(encoding="utf-8") if file.exists() else ""
            if old is None:
                file.write_text(f"{text}\n{new}\n", encoding="utf-8")
                continue
            assert text.count(old) == 1, (name, old, text.count(old))
            file.write_text(text.replace(old, new), encoding="utf-8")
        return load(folder, **known)

    return load_edited
