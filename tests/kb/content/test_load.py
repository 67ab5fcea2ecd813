"""Articles are read strictly: every fault with its file and its place, all at once."""

import pytest

from kb.content.load import load, read_article
from kb.content.render import to_html, to_text
from kb.errors import ContentErrors
from kb.fields import Problems

GOOD = """+++
title = "Is moss a problem?"
group = "Plants"
phrasings = ["moss everywhere"]
symptoms = []
calculators = []
related = []
sources = ["common-practice"]
cautions = []
reviewed = 2026-03-01
confidence = "high"
confidence_why = "Everybody sees it."
+++

## Short answer

No. It is harmless.

## Why

It likes damp.

## How

Leave it.

## Cautions

None.

## Sources

- Common practice.
"""


def read(text):
    problems = Problems()
    article = read_article(text, slug="moss", path="moss.md", problems=problems)
    return article, [str(problem) for problem in problems.found]


def test_a_good_article_is_read_whole():
    article, faults = read(GOOD)
    assert faults == []
    assert article.title == "Is moss a problem?"
    assert article.short_answer == "No. It is harmless."
    assert article.reviewed.isoformat() == "2026-03-01"


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ('title = "Is moss a problem?"\n', "", "moss.md: title: is missing."),
        ('title = "Is moss a problem?"', 'title = ""', "moss.md: title: is empty"),
        ('title = "Is moss a problem?"', "title = 5", "moss.md: title: must be a text in quotes"),
        ('"Plants"', '"Mosses"', "moss.md: group: “Mosses” is not known; use Water chemistry"),
        ("symptoms = []", "symptom = []", "moss.md: symptom: is not known here; allowed are title"),
        ("2026-03-01", '"2026-03-01"', "moss.md: reviewed: must be a date such as 2026-03-31"),
        ('["moss everywhere"]', '["a", "a"]', "moss.md: phrasings[2]: “a” stands there twice."),
        ('["moss everywhere"]', "[]", "moss.md: phrasings: must name at least one."),
        ("## Why", "## Reasons", "moss.md: headings: must be Short answer, Why, How"),
        ("It likes damp.", "", "moss.md: Why: is empty."),
        ("+++\ntitle", "title", "moss.md: line 1: must begin with front matter"),
        ('group = "Plants"', "group = Plants", "moss.md: TOML: cannot be read: Invalid value"),
    ],
)
def test_each_fault_is_named_with_its_place(old, new, fault):
    _, faults = read(GOOD.replace(old, new, 1))
    assert any(found.startswith(fault) for found in faults), faults


def test_the_line_of_a_syntax_fault_is_the_line_of_the_file():
    _, faults = read(GOOD.replace('group = "Plants"', "group = Plants", 1))
    assert "line 3" in faults[0]


def test_all_faults_are_reported_together(tmp_path):
    (tmp_path / "articles").mkdir()
    (tmp_path / "articles" / "moss.md").write_text(GOOD.replace('"high"', '"sure"'))
    (tmp_path / "articles" / "Bad Name.md").write_bytes(b"\xff")
    with pytest.raises(ContentErrors) as caught:
        load(tmp_path)
    assert len(caught.value.problems) == 3


def test_html_in_an_article_is_shown_not_run():
    html = to_html("<script>x</script> [bad](javascript:alert(1))", link_for=str, block_for=str)
    assert "<script>" not in html
    assert 'href="javascript' not in html


def test_plain_text_keeps_words_and_list_marks():
    text = to_text("See [this](article:x):\n\n1. one\n2. two\n   - deep", block_for=str)
    assert text == "See this:\n1. one\n2. two\n  - deep"
