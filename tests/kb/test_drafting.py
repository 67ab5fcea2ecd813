"""An article begun from questions is one the loader reads; wordings go into files or not at all."""

import datetime
import tomllib

import pytest

from kb.content.load import read_article
from kb.drafting import MOST_WORDINGS, as_toml, draft, slug_of, with_wordings, wordings
from kb.errors import InputErrors, KbError
from kb.fields import Problems

TODAY = datetime.date(2026, 4, 1)
HOSTILE = 'say "pH" \\ back\\nslash \x00\x1f\x7f ünïcode 🐟 """ +++ ]'


def read(text):
    problems = Problems()
    article = read_article(text, slug="snails", path="snails.md", problems=problems)
    assert problems.found == []
    return article


def begun(**more):
    given = {
        "title": "Do snails sing?", "slug": "snails", "group": "Fish",
        "texts": ["can snails\nsing?", "Can snails sing?", "do they hum"], "today": TODAY,
    }  # fmt: skip
    return draft(**given | more)


def test_a_draft_is_read_with_its_wordings_in_place():
    article = read(begun())
    assert (article.title, article.group) == ("Do snails sing?", "Fish")
    assert article.phrasings == ("can snails sing?", "do they hum")
    assert article.reviewed == TODAY


def test_any_words_an_asker_wrote_can_stand_in_a_draft():
    article = read(begun(title=HOSTILE, texts=[HOSTILE, "plain"]))
    assert "🐟" in article.title
    assert article.phrasings[1] == "plain"


@pytest.mark.parametrize(
    ("fault", "said"),
    [
        ({"title": " \n"}, "Give the article a title"),
        ({"slug": "Not A Slug"}, "small letters, digits and single hyphens"),
        ({"slug": "../up"}, "small letters, digits and single hyphens"),
        ({"group": "Elsewhere"}, "Choose one of"),
    ],
)
def test_what_no_article_can_have_is_refused(fault, said):
    with pytest.raises(InputErrors, match=said):
        begun(**fault)


def test_wordings_are_single_none_twice_none_endless():
    assert wordings(["a\n b", "A B", " ", "x" * 500]) == ("a b",)
    assert len(wordings(f"wording {n}" for n in range(100))) == MOST_WORDINGS


@pytest.mark.parametrize(
    ("title", "slug"), [("Do snails sing?", "do-snails-sing"), ("¿?", ""), ("pH 6.4!", "ph-6-4")]
)
def test_a_slug_is_made_of_a_titles_words(title, slug):
    assert slug_of(title) == slug


def test_exported_wordings_are_toml_lists_article_by_article():
    text = as_toml({"snails": [HOSTILE, "b"], "moss": ["a"]})
    assert text.index("articles/moss.md") < text.index("articles/snails.md")
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    found = tomllib.loads(f"all = [\n{chr(10).join(lines)}\n]")["all"]
    assert [found[0], found[2]] == ["a", "b"]


def test_wordings_go_into_a_file_once_and_change_nothing_else():
    before = begun()
    after = with_wordings(before, ["Do they hum", "any tune?"], path="snails.md")
    assert read(after).phrasings == ("can snails sing?", "do they hum", "any tune?")
    assert after.replace('  "any tune?",\n', "") == before
    assert with_wordings(after, ["ANY tune?"], path="snails.md") == after


def test_a_file_that_cannot_take_them_is_refused_whole():
    one_line = begun().replace("phrasings = [\n", "phrasings = [").replace(",\n]", "]")
    with pytest.raises(KbError, match="paste by hand"):
        with_wordings(one_line, ["any tune?"], path="snails.md")
