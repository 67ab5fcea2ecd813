"""Each rule for articles is broken once, in a small library of its own."""

import pytest

from kb.calculators import ALL
from kb.content.load import Library, read_article
from kb.content.validate import Targets, validate
from kb.fields import Problems
from kb.sources import Source

WORDS = "Moss likes damp, and damp is easy to have in a bed. " * 30
PHRASINGS = ", ".join(f'"moss question {number}"' for number in range(12))
TEXT = f"""+++
title = "Is moss a problem?"
group = "Plants"
phrasings = [{PHRASINGS}]
symptoms = []
calculators = []
related = ["fern"]
sources = ["moss-book"]
cautions = []
reviewed = 2026-03-01
confidence = "high"
confidence_why = "Everybody sees it."
+++

## Short answer

No, it is harmless. It likes 5 mm of damp.

## Why

{WORDS}
It likes 5 mm of damp ([Moss book](source:moss-book)).

## How

Leave it.

## Cautions

None.

## Sources

- [Moss book](source:moss-book): damp.
"""
FERN = TEXT.replace("moss", "fern").replace("Moss", "Fern").replace('["fern"]', '["moss"]')
TARGETS = Targets(frozenset({"foam"}), ALL)


def library(moss):
    problems = Problems()
    articles = {
        slug: read_article(text, slug=slug, path=f"{slug}.md", problems=problems)
        for slug, text in (("moss", moss), ("fern", FERN))
    }
    assert problems.found == []
    books = {name: Source(name, title=name) for name in ("moss-book", "fern-book")}
    return Library(articles, books, {})


def faults(moss):
    return [str(problem) for problem in validate(library(moss), TARGETS)]


def test_a_sound_library_has_no_fault():
    assert faults(TEXT) == []


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("symptoms = []", 'symptoms = ["rust"]', "symptoms: “rust” does not exist."),
        ("calculators = []", 'calculators = ["abacus"]', "calculators: “abacus” does not exist."),
        ('["fern"]', '["moss"]', "related: names the article itself."),
        ("Leave it.", "[x](article:nowhere)", "link: “article:nowhere” leads nowhere."),
        ("Leave it.", "[x](symptom:rust)", "link: “symptom:rust” leads nowhere."),
        ("Leave it.", "[x](page:1)", "link: “page:1” has no known scheme"),
        ("Leave it.", "[x](calculator:ammonia?tea=1)", "fills in “tea”, which ammonia does not"),
        ("Leave it.", "```calculator abacus\n```", "there is no calculator “abacus”."),
        ("Leave it.", "```calculator ammonia\nph = 7\n```", "Total ammonia is missing."),
        ("Leave it.", "```calculator ammonia\nph 7\n```", "presets cannot be read"),
        ("Leave it.", "Leave it for 3 days.", "“3 days” has neither a source nor the words"),
        ("5 mm of damp.\n\n## Why", "7 mm of damp.\n\n## Why", "“7 mm” is not found again"),
        ("Leave it.", "Pour acid on it.", "cautions: the text speaks of “acid”"),
        ("Leave it.", "Administrative " * 600, "has a readability index of"),
        (WORDS, "Short.", "words; write 300 to 900."),
        ("No, it is harmless. ", "", "has 1 sentences; write 2 to 4."),
        ("No, it is", "No.\n\nIt is", "must be a single paragraph."),
        ('"moss question 0", ', "", "phrasings: has 11; write 12 to 25."),
        ('"moss question 0"', '"fern question 0"', "also stands in"),
        ("- [Moss book](source:moss-book): damp.", "- [F](source:fern-book): damp.", "not listed"),
    ],
)
def test_each_fault_is_named(old, new, fault):
    found = faults(TEXT.replace(old, new, 1))
    assert any(fault in line for line in found), found


def test_an_article_nobody_leads_to_is_an_island():
    alone = FERN.replace('["moss"]', "[]")
    problems = Problems()
    articles = {
        "moss": read_article(TEXT, slug="moss", path="moss.md", problems=problems),
        "fern": read_article(alone, slug="fern", path="fern.md", problems=problems),
    }
    books = {name: Source(name, title=name) for name in ("moss-book", "fern-book")}
    found = validate(Library(articles, books, {}), TARGETS)
    assert [str(problem) for problem in found] == ["moss.md: related: no other article leads here."]
