"""The demo's five hundred comments against what a person made of each (comment_labels.csv).

U may be an emergency, C asks nothing, X asks for what no article is about, G:topic is a gap, and
anything else is the article that answers. Written for the demo by its makers: a check that the
piles are of use, no measure of matching.
"""

import csv
from pathlib import Path

import pytest

from kb.store import triage
from kb.store.questions import Question
from kb.take_in import Fault, take_in
from web.demo import CONFIG

COLUMNS = {
    "text": "Comment", "asked_by": "Author", "link": "Link", "asked_at": "Date", "place": "Place",
}  # fmt: skip
LABELS = Path(__file__).parent / "comment_labels.csv"


@pytest.fixture(scope="module")
def comments():
    return list(take_in(CONFIG["EXAMPLE"], place="club", columns=COLUMNS))


@pytest.fixture(scope="module")
def judged(comments, answerer):
    """Each comment's label, section and article."""
    with LABELS.open(encoding="utf-8") as file:
        labels = [row["label"] for row in csv.DictReader(file)]
    found = []
    for label, comment in zip(labels, comments, strict=True):
        known = answerer.judge(comment.text)
        question = Question(
            id=1, text=comment.text, place=comment.place, asked_by=None, link=None,
            asked_at=None, logged_at="", times=1, state="open", verdict=known.verdict,
            article=known.article, urgent=known.urgent, asks=known.asks,
        )  # fmt: skip
        found.append((label, triage.section_of(question), known.article))
    return found


def share(rows, fits):
    return sum(map(fits, rows)) / len(rows)


def test_all_five_hundred_can_be_taken_in_from_three_places(comments):
    assert len(comments) == 500
    assert not [item for item in comments if isinstance(item, Fault)]
    assert {item.place for item in comments} == {"video comments", "club evening", "letters"}


def test_emergencies_stand_first_and_little_else_does(judged):
    urgent = [row for row in judged if row[0] == "U"]
    others = [row for row in judged if row[0] != "U"]
    assert share(urgent, lambda row: row[1] == "urgent") > 0.9
    assert share(others, lambda row: row[1] == "urgent") < 0.03


def test_praise_is_kept_apart_and_hardly_a_question_with_it(judged):
    praise = [row for row in judged if row[0] == "C"]
    asking = [row for row in judged if row[0] != "C"]
    assert share(praise, lambda row: row[1] == "chatter") > 0.55
    assert share(asking, lambda row: row[1] == "chatter") < 0.03


def test_hardly_anybody_would_be_sent_the_wrong_article(judged):
    wrong = [row for row in judged if row[1] == "answered" and row[0] not in ("U", row[2])]
    assert len(wrong) <= 0.05 * len(judged)


def test_what_nothing_answers_is_hardly_ever_said_to_be_answered(judged):
    gaps = [row for row in judged if row[0][:1] in "CGX" and row[0][1:2] in ("", ":")]
    assert share(gaps, lambda row: row[1] == "answered") < 0.08
