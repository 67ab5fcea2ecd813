"""Upkeep: what the log and the library tell about answers that need a hand."""

import datetime
from dataclasses import replace

import pytest

from kb import upkeep
from kb.content.load import Library
from kb.store import materials, recordings, replies
from kb.store import questions as log
from kb.store.materials import Link, Material
from kb.store.questions import Judgement, NewQuestion
from kb.upkeep import Asked, AskedAgain, Broken, Due, Unreached

NOW = datetime.datetime(2026, 11, 27, 12, tzinfo=datetime.UTC)
ADDRESS = "https://club.example.org"
DAY = datetime.timedelta(days=1)


def ask(db, text, article="iron", *, days=0.0, asked_by=None, again=0, verdict="strong"):
    at = NOW - days * DAY
    question = NewQuestion(text, "club", asked_by, None, at)
    judged = Judgement(verdict, article, urgent=False)
    number, _ = log.log(db, question, judged, now=at)
    for _ in range(again):
        log.log(db, question, judged, now=at, asked_again=True)
    return number


@pytest.fixture
def look(db, library):
    def look(**changes):
        given = {
            "now": NOW, "review_months": 12, "unreached_months": 6, "address": ADDRESS,
            "exists": lambda path: path != "/articles/gone",
        }  # fmt: skip
        return upkeep.look(db, changes.pop("library", library), **(given | changes))

    return look


def test_an_empty_log_says_so_and_counts_nobody_as_reached(look, library):
    report = look()
    assert report.log_begins is None
    assert report.again == report.asked == report.broken == ()
    assert len(report.unreached) == len(library.articles)
    assert report.competing is None


def test_answers_are_due_when_their_review_is_older_than_set(library):
    old = replace(library.article("iron"), reviewed=datetime.date(2025, 11, 26))
    edge = replace(library.article("cloudy-water"), reviewed=datetime.date(2025, 11, 27))
    small = Library({"iron": old, "cloudy-water": edge}, {}, {})
    assert upkeep.due(small, NOW.date(), 12) == (Due("iron", "2025-11-26"),)


def test_who_asks_again_after_a_reply_is_counted_once_a_person(look, db):
    first = ask(db, "yellow between veins", days=9, asked_by="finch")
    replies.send(db, first, "Iron.", article="iron", now=NOW - 8 * DAY)
    ask(db, "still yellow", days=3, asked_by="finch")
    ask(db, "yellow, still", days=2, asked_by="finch")
    ask(db, "yellow too", days=1, asked_by="wren")
    ask(db, "asked before the reply", days=8.5, asked_by="finch")
    assert look().again == (AskedAgain("iron", 1, 0),)


def test_the_same_words_put_again_on_the_site_are_counted(look, db):
    ask(db, "yellow?", again=2)
    assert look().again == (AskedAgain("iron", 0, 2),)


def test_most_asked_is_told_beside_the_thirty_days_before(look, db):
    for number in range(4):
        ask(db, f"yellow {number}", days=number)
    ask(db, "yellow then", days=31)
    ask(db, "cloudy", "cloudy-water")
    ask(db, "long ago", "cloudy-water", days=61)
    assert look().asked == (Asked("iron", 4, 1), Asked("cloudy-water", 1, 0))
    assert [entry.rising for entry in look().asked] == [True, False]


def test_an_answer_is_unreached_when_no_question_came_for_longer_than_set(look, db):
    ask(db, "yellow", days=10)
    ask(db, "cloudy", "cloudy-water", days=300)
    found = {entry.article: entry.last for entry in look().unreached}
    assert "iron" not in found
    assert found["cloudy-water"].startswith("2026-01-31")
    assert Unreached("lowering-ph", None) in look().unreached


def test_answers_that_are_gone_are_named_where_they_are_still_used(look, db, library):
    sheet = recordings.plan(db, "April", planned_for=None, now=NOW)
    recordings.add_article(db, sheet, "gone")
    number = ask(db, "x")
    text = f"See {ADDRESS}/articles/gone, {ADDRESS}/articles/iron. Or https://elsewhere.org/x"
    replies.send(db, number, text, article=None, now=NOW)
    assert look().broken == (
        Broken("run sheet “April”", "/articles/gone", "there is no such answer any more"),
        Broken("reply to question 1", f"{ADDRESS}/articles/gone", "no page is there any more"),
    )


def test_answers_of_one_meaning_are_found_to_compete(ranker, library):
    found = upkeep.competing(ranker, library, ())
    assert found
    assert all(
        pair.wordings >= upkeep.LEAST_COMPETING and pair.first < pair.second for pair in found
    )
    assert len(found) < len(library.articles)


def test_logged_near_ties_are_counted(library):
    class Even:
        """A ranker that cannot decide between two answers."""

        def match(self, text, *, limit):
            from kb.matching.documents import Match, Matches

            even = (Match("article", "iron", "", 0.60, ()), Match("article", "apex", "", 0.55, ()))
            return Matches("possible" if "?" in text else "none", even[:limit], (), ())

    empty = Library({}, {}, {})
    found = upkeep.competing(Even(), empty, ["a?", "b?", "chatter"])
    assert found == (upkeep.Competing("apex", "iron", 0, 2),)


def test_links_to_other_sites_are_named_with_their_place(db, library):
    shop = Material("acid", links=(Link("DE", "Shop", "https://example.org/shop"),))
    materials.put(db, shop)
    found = list(upkeep.outside_links(db, library))
    assert ("material “acid”", "https://example.org/shop") in found
    assert all(link.startswith(("http://", "https://")) for _, link in found)


def test_a_link_ends_before_the_mark_of_its_sentence():
    text = "See https://example.org/a, or (https://example.org/b?c=d). “https://example.org/e”"
    assert upkeep.web_links(text) == (
        "https://example.org/a", "https://example.org/b?c=d", "https://example.org/e",
    )  # fmt: skip
