"""What asks for nothing is kept apart; in doubt a text asks."""

import pytest

from kb.asking import LONGEST_CHATTER, asks

CHATTER = """
We all loved the recording about the worms. Year 6 says hello!
first!!
Great recording, thanks for showing how you did it
who else is here on a rainy day?
nice tomatoes 🍅🍅
❤️❤️
isn't it lovely?
how cool is that!
what a great day!
Greetings from the allotment next door, we have three beds now
no problems at all with ours since we built it your way, thank you
I learnt so much about how water moves
zero leaks after a year, well done
My grandmother says your lettuce looks better than hers
"""
ASKING = """
can I keep crayfish with the perch
Please do a recording about crayfish
I would like to see the wiring of the timer
ours smells
My plants keep dropping leaves
any tips for a beginner
help
which net do you use
the fish won't come up any more
still stuck at the siphon
so is it the feed or the light
I don't know where to begin
Wondering about worms in the beds
no idea what that white stuff is
Lovely tank. How deep is it
"""


@pytest.mark.parametrize("text", CHATTER.strip().splitlines())
def test_praise_and_chatter_ask_nothing(text):
    assert not asks(text)


@pytest.mark.parametrize("text", ASKING.strip().splitlines())
def test_a_question_without_its_mark_still_asks(text):
    assert asks(text)


def test_a_long_story_may_hide_a_question():
    assert asks("We have a lovely tank. " * (LONGEST_CHATTER // 20))


@pytest.mark.parametrize("text", ["", "   ", "🐟" * 300, "\x00\x07", "…"])
def test_nothing_but_signs_asks_nothing(text):
    assert not asks(text)
