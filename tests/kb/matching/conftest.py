"""A small invented library and held-out questions, for the matching alone."""

import tomllib
from pathlib import Path

import pytest

from kb.matching import rank
from kb.matching.documents import Document

HERE = Path(__file__).parent


@pytest.fixture(scope="session")
def documents():
    tables = tomllib.loads((HERE / "documents.toml").read_text(encoding="utf-8"))["document"]
    return tuple(
        Document(
            kind=table.get("kind", "article"),
            slug=table["slug"],
            title=table["title"],
            wordings=tuple(table["wordings"]),
            headings=tuple(table["headings"]),
            text=table["text"],
        )
        for table in tables
    )


@pytest.fixture(scope="session")
def small_ranker(documents):
    return rank.build(documents)


@pytest.fixture(scope="session")
def questions():
    groups = tomllib.loads((HERE / "questions.toml").read_text(encoding="utf-8"))["questions"]
    return tuple((text, slug) for slug, texts in groups.items() for text in texts)
