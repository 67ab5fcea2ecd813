"""What the ranker promises: good first answers, honest verdicts, the same result every time."""

import os
import random
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.errors import KbError
from kb.matching import rank
from kb.matching.documents import Document
from kb.matching.normalise import LONGEST_TEXT, words

ROOT = Path(__file__).parents[3]

SHOW_MATCHES = """
import tomllib
from kb.matching import rank
from kb.matching.documents import Document
tables = tomllib.load(open("tests/kb/matching/documents.toml", "rb"))["document"]
ranker = rank.build(
    Document(t.get("kind", "article"), t["slug"], t["title"], tuple(t["wordings"]),
             tuple(t["headings"]), t["text"])
    for t in tables
)
print(ranker.limits, ranker.measure())
for text in ("amonia wont come down at 27C", "two rfs in series?", "ph up again. Help! KH is 2"):
    print(ranker.match(text))
"""


@pytest.fixture(scope="module")
def answered(small_ranker, questions):
    return [(small_ranker.match(text), slug) for text, slug in questions]


def share(hits):
    hits = list(hits)
    return sum(hits) / len(hits)


def test_held_out_questions_repeat_no_wording(documents, questions):
    asked = {words(text) for document in documents for text in document.asked}
    assert len(questions) >= 100
    assert [text for text, _ in questions if words(text) in asked] == []


def test_the_first_article_is_right_for_most_held_out_questions(answered):
    right = [matches.articles[0].slug == slug for matches, slug in answered if slug != "none"]
    assert share(right) >= 0.85


def test_the_right_article_is_among_the_first_three(answered):
    near = [
        slug in [match.slug for match in matches.articles[:3]]
        for matches, slug in answered
        if slug != "none"
    ]
    assert share(near) >= 0.95


def test_strong_matches_are_hardly_ever_wrong(answered):
    strong = [
        matches.articles[0].slug == slug
        for matches, slug in answered
        if matches.verdict == "strong"
    ]
    assert len(strong) >= 15
    assert share(strong) >= 0.95


def test_chatter_is_never_strong_and_mostly_none(answered):
    verdicts = [matches.verdict for matches, slug in answered if slug == "none"]
    assert "strong" not in verdicts
    assert share(verdict == "none" for verdict in verdicts) >= 0.85


def test_most_answerable_questions_are_not_turned_away(answered):
    kept = [matches.verdict != "none" for matches, slug in answered if slug != "none"]
    assert share(kept) >= 0.7


def test_articles_come_best_first_whatever_the_verdict(answered):
    for matches, _ in answered:
        scores = [match.score for match in matches.articles]
        assert scores == sorted(scores, reverse=True)
        assert len(scores) <= 5
        assert all(0 <= score <= 1 for score in scores)


def test_a_verdict_agrees_with_the_score(answered):
    lowest = {"strong": 0.75, "possible": 0.40, "none": 0.0}
    highest = {"strong": 1.0, "possible": 0.75, "none": 0.40}
    for matches, _ in answered:
        if matches.articles:
            first = matches.articles[0].score
            assert lowest[matches.verdict] - 1e-4 <= first <= highest[matches.verdict] + 1e-4


def test_the_limit_shortens_the_list_of_articles(small_ranker):
    text = "why does the ph bounce back after adding acid"
    assert len(small_ranker.match(text, limit=2).articles) == 2
    assert small_ranker.match(text, limit=0).articles == ()


def test_symptoms_and_calculators_come_only_when_sure(small_ranker):
    asked = small_ranker.match("my fish ignore their food")
    assert [match.slug for match in asked.symptoms] == ["fish-off-feed"]
    assert asked.calculators == ()
    counted = small_ranker.match("how much acid for my barrel of top-up water")
    assert [match.slug for match in counted.calculators] == ["lower-ph-top-up"]
    chatter = small_ranker.match("Lovely video, thanks to all of you")
    assert (chatter.symptoms, chatter.calculators) == ((), ())


@pytest.mark.parametrize("text", ["", "   \n", "?!...", "🐟🐟", "7.5 - 8.2", "\x00"])
def test_a_text_without_words_matches_nothing(small_ranker, text):
    matches = small_ranker.match(text)
    assert matches.verdict == "none"
    assert (matches.articles, matches.symptoms, matches.calculators) == ((), (), ())


def test_a_match_says_which_words_it_rests_on(small_ranker):
    first = small_ranker.match("Why have our trout stopped eating?").articles[0]
    assert first.slug == "fish-off-feed"
    assert "stopped eating" in first.why[0]
    assert " as in “" in first.why[0]


def test_a_match_says_what_was_read_differently(small_ranker):
    why = small_ranker.match("amonia spike, what now?").articles[0].why
    assert "read “amonia” as “ammonia”" in why
    why = small_ranker.match("is my NH3 too high?").articles[0].why
    assert "“nh3” means ammonia" in why


@pytest.mark.parametrize(
    ("text", "slug"),
    [
        ("my alkalinity is gone and ph crashes", "ph-keeps-falling"),
        ("my KH is gone and ph crashes", "ph-keeps-falling"),
        ("my carbonate hardness is gone and ph crashes", "ph-keeps-falling"),
        ("what size of RFS for 3000 l/h", "retention-time"),
        ("what size of clarifier for 800 gph", "retention-time"),
    ],
)
def test_trade_words_that_mean_the_same_match_the_same(small_ranker, text, slug):
    assert small_ranker.match(text).articles[0].slug == slug


def test_figures_do_not_move_a_match(small_ranker):
    low = small_ranker.match("What acid brings pH 7.4 down in 200 litres?")
    high = small_ranker.match("What acid brings pH 8.6 down in 1,500 L?")
    assert low == high


def test_several_questions_get_several_answers(small_ranker):
    text = (
        "Why does the pH climb back after I add acid? It is a lovely day. "
        "Also, why have our trout stopped eating?"
    )
    found = small_ranker.match(text)
    assert [(part.text, part.articles[0].slug) for part in found.parts] == [
        ("Why does the pH climb back after I add acid?", "ph-bounces-back"),
        ("Also, why have our trout stopped eating?", "fish-off-feed"),
    ]
    assert {match.slug for match in found.articles[:2]} == {"ph-bounces-back", "fish-off-feed"}
    assert found.verdict != "none"


def test_one_question_has_no_parts(small_ranker):
    assert small_ranker.match("Why does the pH climb back after I add acid?").parts == ()
    twice = "Why does the pH climb back? I added acid, so why did the pH bounce back up again?"
    assert small_ranker.match(twice).parts == ()


def test_a_question_is_found_inside_a_long_comment(small_ranker):
    chatter = "We had such a lovely day at the school fair and the pupils sang. " * 6
    asked = "Why does the pH climb back after I add acid? "
    matches = small_ranker.match(chatter + asked + chatter)
    assert matches.articles[0].slug == "ph-bounces-back"
    assert matches.verdict != "none"


def test_only_the_first_5000_characters_count(small_ranker):
    head = ("la " * LONGEST_TEXT)[:LONGEST_TEXT]
    tail = " Why have my fish stopped eating?"
    assert small_ranker.match(head + tail) == small_ranker.match(head)


# Each of these once, or nearly, cost a search through all its places from all its places.
@pytest.mark.parametrize(
    "piece", ["a@", "1.", "7 ", "1-", ".", "🐟", "水", "\x00ph ", "why ", "http://", "a\u0301", "x"]
)
def test_an_enormous_text_of_any_kind_is_matched_in_bounded_time(small_ranker, piece):
    text = piece * (LONGEST_TEXT // len(piece))
    usual = min(_spent(small_ranker, "how do i bring the ph down " * 180) for _ in range(2))
    spent = min(_spent(small_ranker, text) for _ in range(2))
    assert spent < 40 * usual + 0.2


def _spent(ranker, text):
    start = time.process_time()
    assert ranker.match(text).verdict in {"strong", "possible", "none"}
    return time.process_time() - start


@settings(max_examples=60, deadline=None)
@given(st.text(st.characters(), max_size=300))
def test_any_text_is_matched_without_an_error(small_ranker, text):
    matches = small_ranker.match(text)
    assert matches.verdict in {"strong", "possible", "none"}
    assert matches == small_ranker.match(text)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from(['"', "OR", "NEAR", "*", "ph", "(", "acid", "^", "-", ":"])))
def test_marks_of_the_query_language_are_plain_text(small_ranker, pieces):
    assert small_ranker.match(" ".join(pieces)).verdict in {"strong", "possible", "none"}


def test_the_result_does_not_depend_on_the_hash_seed():
    outputs = {
        subprocess.run(
            [sys.executable, "-c", SHOW_MATCHES],
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "4711")
    }
    assert len(outputs) == 1
    assert "verdict" in outputs.pop()


def test_many_threads_get_the_same_matches(small_ranker, questions):
    texts = [text for text, _ in questions[:20]]
    expected = [small_ranker.match(text) for text in texts]
    found = {}

    def work(number):
        found[number] = [small_ranker.match(text) for text in texts]

    threads = [threading.Thread(target=work, args=(number,)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert list(found.values()) == [expected] * 4


def test_the_order_of_the_documents_changes_no_verdict(documents, small_ranker, questions):
    turned = rank.build(reversed(documents))
    for text, _ in questions[::9]:
        ours, theirs = small_ranker.match(text), turned.match(text)
        assert ours.verdict == theirs.verdict
        assert [match.slug for match in ours.articles[:1]] == [
            match.slug for match in theirs.articles[:1]
        ]


def test_the_measures_are_good_enough(small_ranker):
    measures = small_ranker.measure()
    assert measures.cases == 182
    assert measures.first >= 0.75
    assert measures.first_three >= 0.9
    assert measures.strong_wrong <= 0.06
    assert measures.off_topic_strong <= 0.03
    assert measures.off_topic_none >= 0.85


def test_a_library_of_nothing_matches_nothing():
    assert rank.build(()).match("why is my pH high?").verdict == "none"


def test_one_document_alone_can_be_found():
    only = Document("article", "iron", "How much iron?", ("how much iron do I add",), (), "Iron.")
    ranker = rank.build((only,))
    assert ranker.match("how much iron must i add").articles[0].slug == "iron"
    assert ranker.match("lovely weather today").verdict == "none"


def test_a_document_of_an_unknown_kind_is_refused():
    with pytest.raises(KbError, match=r"article, symptom, calculator, not “page”"):
        Document("page", "iron", "Iron", (), (), "")


def test_a_hundred_documents_are_built_and_searched_quickly(documents, questions):
    many = _many_documents(documents, 100, 20)
    start = time.process_time()
    ranker = rank.build(many)
    built = time.process_time() - start
    texts = [text for text, _ in questions if len(text) < 120][:25]
    spent = []
    for text in texts:
        start = time.process_time()
        ranker.match(text)
        spent.append(time.process_time() - start)
    assert built < 8.0  # room for a slow machine; `make bench` measures it
    assert sorted(spent)[len(spent) // 2] < 0.050


def _many_documents(documents, number, wordings):
    """Documents made of shuffled words of ours: the right size, without any sense."""
    chance = random.Random(7)
    texts = [text for document in documents for text in document.wordings]
    vocabulary = sorted({word for text in texts for word in text.split()})
    made = []
    for place in range(number):
        topic = chance.sample(vocabulary, 12)
        asked = {" ".join(chance.choice(texts).split()[:6] + chance.sample(topic, 4)): None}
        while len(asked) < wordings:
            asked[" ".join(chance.choice(texts).split()[:6] + chance.sample(topic, 4))] = None
        text = " ".join(chance.choices(vocabulary, k=600))
        title = " ".join(topic[:5])
        made.append(Document("article", f"made-{place}", title, tuple(asked), (), text))
    return tuple(made)
