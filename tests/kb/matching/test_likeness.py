"""Which questions ask the same: pairs of invented voices, near misses, and odd texts."""

import math
import random
import time
import tomllib
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.errors import ContentErrors
from kb.fields import Problems
from kb.matching import contrasts, shapes
from kb.matching.likeness import ALIKE, SAME_QUESTION, SAME_WORDS, Likeness
from kb.matching.postings import Postings

HERE = Path(__file__).parent
HALVES = tomllib.loads((HERE / "repeats.toml").read_text(encoding="utf-8"))
OTHERS = HERE.parents[1] / "content" / "matching" / "questions.toml"
FLOORS = {"tuned": (0.95, 0.60), "unseen": (0.97, 0.38)}  # measured: 0.975, 0.66; 1.00, 0.43
ORDERS = 3
texts = st.text(st.sampled_from("ph fish why tank high low raise 7 ? é 🐟\n"), max_size=60)


def asked(half):
    """Each text of a half with the group it belongs to; those that stand alone have their own."""
    found = [(text, name) for name, texts in HALVES[half]["groups"].items() for text in texts]
    return found + [(text, text) for text in HALVES[half]["alone"]]


def grouped(texts):
    """The group of each text, when they come in one after another, as the log groups them."""
    index, groups, known = Likeness(), [], {}
    for number, text in enumerate(texts):
        near = index.nearest(text, 12)
        group = groups[near[0].key] if near else number
        groups.append(group)
        like = sum(groups[one.key] == group for one in near)
        if not near or (near[0].how != SAME_WORDS and like == known[group] < 4):
            known[group] = known.get(group, 0) + 1
            index.add(number, text)
    return groups


def pairs(wanted, got):
    """Pairs that are together in both, only in the second, only in the first; and all pairs."""
    both, first, second = (
        sum(math.comb(count, 2) for count in Counter(labels).values())
        for labels in (zip(wanted, got, strict=True), wanted, got)
    )
    return both, second - both, first - both, math.comb(len(wanted), 2)


def adjusted_rand_index(wanted, got):
    """Hubert and Arabie (1985), Journal of Classification 2, 193-218, equation 5."""
    both, only_got, only_wanted, every = pairs(wanted, got)
    rows, columns = both + only_wanted, both + only_got
    chance = rows * columns / every
    return (both - chance) / ((rows + columns) / 2 - chance)


@pytest.mark.parametrize(
    ("first", "second", "index"),
    [([0, 0, 1, 2], [0, 0, 1, 1], 0.571), ([0, 0, 1, 1], [0, 1, 0, 1], -0.5),
     ([0, 0, 1, 1], [1, 1, 0, 0], 1.0)],
)  # fmt: skip
def test_the_index_is_that_of_a_library_everybody_uses(first, second, index):
    # scikit-learn's documentation of adjusted_rand_score prints these (from memory).
    assert adjusted_rand_index(first, second) == pytest.approx(index, abs=0.001)


def test_the_file_holds_enough_groups():
    for half, table in HALVES.items():
        sizes = [len(group) for group in table["groups"].values()]
        assert min(sizes) >= 3, half
    assert sum(len(table["groups"]) for table in HALVES.values()) >= 100
    every = [text for half in HALVES for text, _ in asked(half)]
    assert len(every) == len({text.casefold() for text in every})


@pytest.mark.parametrize("half", list(HALVES))
def test_questions_in_one_group_ask_the_same(half):
    total = [0, 0, 0]
    for order in range(ORDERS):
        items = asked(half)
        random.Random(order).shuffle(items)
        names = [name for _, name in items]
        groups = grouped([text for text, _ in items])
        assert adjusted_rand_index(names, groups) > 0.5
        total = [sum(two) for two in zip(total, pairs(names, groups), strict=False)]
    both, wrong, missed = total
    precision, recall = both / (both + wrong), both / (both + missed)
    print(f"{half}: precision {precision:.3f}, recall {recall:.3f}")
    assert precision >= FLOORS[half][0]
    assert recall >= FLOORS[half][1]


def test_of_others_questions_none_is_put_to_one_with_another_answer():
    halves = tomllib.loads(OTHERS.read_text(encoding="utf-8"))
    items = [
        (text, frozenset(slugs.split("|")))
        for half in halves.values()
        for slugs, found in half.items()
        for text in found
    ]
    index = Likeness()
    for number, (text, _) in enumerate(items):
        index.add(number, text)
    near = [
        (number, one.key)
        for number, (text, _) in enumerate(items)
        for one in index.nearest(text)
        if one.key < number
    ]
    wrong = [pair for pair in near if not items[pair[0]][1] & items[pair[1]][1]]
    assert [[items[number][0] for number in pair] for pair in wrong] == []


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("how do I raise the pH", "how do I lower the pH"),
        ("ammonia is too high", "nitrite is too high"),
        ("why is my ph so high", "why is my ph so low"),
        ("how much should I feed my fish", "how often should I feed my fish"),
        ("can I keep tilapia outside", "can I keep trout outside"),
        ("my fish stopped eating", "can you eat the fish"),
        ("is tap water safe", "is rain water safe"),
        ("why do my plants grow slowly", "why do my fish grow slowly"),
    ],
)
def test_a_word_that_changes_the_question_keeps_two_apart(first, second):
    assert shapes.likeness(shapes.shape(first), shapes.shape(second)) < ALIKE


@pytest.mark.parametrize(
    ("first", "second", "how"),
    [
        ("Why is my water cloudy?", "why is my water CLOUDY", SAME_WORDS),
        ("amonia is very high", "Ammonia is very high!!", SAME_WORDS),
        ("hi all, my pH 7.9 wont come down", "My pH 8.3 won't come down. Thanks!", SAME_WORDS),
        ("my water is murky", "Hello, my water is cloudy", SAME_WORDS),
        ("the leaf tips go brown, why", "leaf edges brown and dry, why?", SAME_WORDS),
        ("algae on the walls of my tank",
         "the walls of the fish tank are full of algae, what helps", SAME_QUESTION),
        ("🐟🐟", "🐟🐟", SAME_WORDS),
        ("水が濁っています", "水が濁っています", SAME_WORDS),
    ],
)  # fmt: skip
def test_the_same_question_is_found_and_how(first, second, how):
    index = Likeness()
    index.add(7, first)
    assert [(near.key, near.how) for near in index.nearest(second)] == [(7, how)]


def test_what_answers_both_speaks_for_two_questions_and_against():
    first, second = "algae on the walls of my tank", "the walls of the fish tank are full of algae"
    index = Likeness()
    index.add(1, first, article="foam")
    alone = shapes.likeness(shapes.shape(first), shapes.shape(second))
    agreed = index.nearest(second, article="foam")[0].likeness
    assert agreed == pytest.approx(alone + 0.05, abs=0.001)
    against = index.nearest(second, article="other")
    assert not against or against[0].likeness < alone


@pytest.mark.parametrize("text", ["", "   ", "\x00\x07", "?!", "the of and", "7.9 27C", "👍"])
def test_what_says_nothing_is_like_nothing_else(text):
    index = Likeness()
    index.add(1, "why is my water cloudy")
    index.add(2, "👎")
    assert index.nearest(text) == ()


@pytest.mark.parametrize(
    "text", ["fish " * 1000, "x" * 5000, "1 " * 2500, "why? " * 1000, "é🐟" * 2500, "a.b!c?" * 800]
)
def test_an_enormous_text_has_a_small_shape_soon(text):
    start = time.perf_counter()
    found = shapes.shape(text)
    assert len(found.packed()) < 500
    assert time.perf_counter() - start < 2


def test_a_long_letter_is_known_by_what_it_asks():
    letter = (
        "Hello from the school garden, we have had our system since last spring and the children "
        "love it. We painted the barrels, and grandpa made a bench of old boards for all of us. "
        "Why is my water cloudy? Thank you and greetings to everybody at the club evening."
    )
    index = Likeness()
    index.add(1, letter)
    assert [near.key for near in index.nearest("why is my water cloudy")] == [1]


def test_a_vague_sentence_is_not_what_a_long_letter_asks():
    letter = (
        "Our return pipe splashed all winter and grandpa could not hear his radio. Since Sunday it "
        "is quiet, which sounds nice, but the beds take twice as long to fill and the level in the "
        "sump has risen by a hand. I washed the pump already and the hoses look clean. "
        "Where do I begin?"
    )
    index = Likeness()
    index.add(1, "where do I begin")
    assert index.nearest(letter) == ()


def test_what_was_removed_is_found_no_more():
    index = Likeness()
    for key in (1, 2):
        index.add(key, "why is my water cloudy")
    index.remove(1)
    index.remove(99)
    assert [near.key for near in index.nearest("why is my water cloudy")] == [2]
    assert len(index) == 1


def test_adding_more_changes_no_likeness():
    items = [text for text, _ in asked("tuned")]
    index = Likeness()
    index.add(0, items[0])
    before = index.nearest(items[1], 99)
    for key, text in enumerate(items[1:], start=1):
        index.add(key, text)
    after = [near for near in index.nearest(items[1], 99) if near.key == 0]
    assert after == list(before)


@pytest.mark.parametrize("step", [1, 7, 64])
def test_the_index_finds_what_comparing_with_all_finds(step, monkeypatch):
    monkeypatch.setattr("kb.matching.postings._TAIL", 16)
    found = [shapes.shape(text) for text, _ in asked("tuned")]
    index, middle = Likeness(), len(found) // 2
    index.add_packed([(key, one.packed(), None) for key, one in enumerate(found[:middle])])
    for key, one in enumerate(found[middle:], start=middle):
        index.add_shape(key, one)
    for one in found[::step]:
        wanted = {
            key: value
            for key, other in enumerate(found)
            if (value := round(shapes.likeness(one, other), 4)) >= ALIKE
        }
        found_near = {near.key: near.likeness for near in index.nearest_to(one, 99)}
        assert found_near == pytest.approx(wanted, abs=2e-4)


def test_words_that_stand_nearly_everywhere_are_passed_over_and_the_same_still_found(monkeypatch):
    monkeypatch.setattr("kb.matching.postings._READ", 5)
    index = Likeness()
    for key in range(40):
        index.add(key, f"why is my water cloudy since we put number{'x' * key} in")
    index.add(99, "why is my water cloudy")
    assert index.nearest("Why is the water cloudy?")[0].key == 99


@given(st.lists(texts, min_size=1, max_size=8))
def test_rows_are_the_same_added_singly_or_at_once(words):
    found = [shapes.shape(text) for text in words]
    singly, at_once = Postings(), Postings()
    for key, one in enumerate(found):
        singly.add(key, one, 0)
    at_once.extend(range(len(found)), [one.packed() for one in found], [0] * len(found))
    for row, one in enumerate(found):
        assert singly.shape(row) == at_once.shape(row) == one
        wanted, exact = singly.candidates(one, 0.1, 99)
        found_at_once, _ = at_once.candidates(one, 0.1, 99)
        assert exact
        assert dict(found_at_once) == pytest.approx(dict(wanted))


@given(texts)
def test_a_shape_comes_back_out_of_its_bytes(text):
    found = shapes.shape(text)
    assert shapes.is_current(found.packed())
    assert shapes.unpacked(found.packed()) == found
    if found.words:
        assert shapes.likeness(found, found) == pytest.approx(1.0)


@given(texts, texts)
def test_likeness_is_mutual(first, second):
    one, other = shapes.shape(first), shapes.shape(second)
    assert shapes.likeness(one, other) == pytest.approx(shapes.likeness(other, one))


def test_a_fault_in_the_contrasts_is_named(tmp_path):
    path = tmp_path / "contrasts.toml"
    path.write_text(
        'same = ["feed, food"]\nopposite = ["up | down"]\nloose = ["colours"]\nextra = 1\n'
        '[kind]\ncolour = ["red"]\n[weight]\nnone = ["a"]\n'
    )
    problems = Problems()
    contrasts.read(path, path="contrasts.toml", problems=problems)
    with pytest.raises(ContentErrors) as caught:
        problems.raise_any()
    assert [problem.place for problem in caught.value.problems] == ["loose", "extra"]
