"""Invented questions in any number: a few asked again and again, most of them seldom."""

import random
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate

THINGS = {
    name: tuple(values.split(", "))
    for name, values in {
        "plant": "lettuce, basil, mint, kale, chard, celery, parsley, tomato, cucumber, pepper, "
        "strawberry, leek, spinach, radish, bean, pea, coriander, dill, chive, fennel, okra, "
        "cress, melon, pumpkin",
        "fish": "tilapia, trout, perch, catfish, carp, koi, goldfish, bass, tench, bream, eel",
        "part": "pump, air pump, heater, settler, grow bed, raft bed, sump, bell siphon, "
        "standpipe, overflow, drain pipe, float valve, air stone, timer, biofilter, net, liner, "
        "barrel, light, thermostat",
        "water": "ammonia, nitrite, nitrate, alkalinity, oxygen, iron, potassium, calcium, "
        "chlorine",
        "sight": "brown spots, white fluff, yellow edges, holes, curled tips, slime, foam, a "
        "film, black dots, green threads, a crust, red streaks, pale veins, dry margins, soft "
        "patches",
        "event": "cleaning the filter, a heavy rain, moving the fish, a power cut, adding lime, "
        "a water change, the frost, planting new seedlings, washing the gravel, a week of heat, "
        "switching the feed, the school fete, painting the tank, swapping the pump, opening the "
        "vents",
        "stuff": "copper pipe, pond liner, river stones, clay balls, coir, seaweed, wood ash, "
        "vinegar, rain water, peat, crushed shell, worm castings, a used drum, epsom salt, neem "
        "oil, soap spray",
        "place": "in the greenhouse, outside, in the cellar, on the balcony, under lights, in "
        "winter, in summer, at school, in the polytunnel, by the window, in a cold frame, on the "
        "roof",
    }.items()
}
CORES = (
    "can I grow {plant} {place}",
    "why does my {plant} have {sight} after {event}",
    "{sight} on the {plant} leaves {place}, what helps",
    "how long do {fish} live without the {part}",
    "why is {water} rising after {event}",
    "how much {stuff} for {plant} {place}",
    "is {stuff} safe for {fish}",
    "which {part} do you use for {fish} {place}",
    "my {part} makes a noise since {event}",
    "how do I get the {part} to work {place}",
    "{fish} hide behind the {part} since {event}, why",
    "does {stuff} change the {water} {place}",
    "how often do I clean the {part} {place}",
    "what do you do with the {part} during {event}",
    "{plant} or {plant2} in the {part}, which is better {place}",
    "{fish} with {sight} after {event}, is it ill",
)
OPENERS = (
    "",
    "",
    "",
    "hi, ",
    "Hello from the garden club. ",
    "quick question: ",
    "Sorry if asked, ",
)
CLOSERS = ("", "", "?", "??", "? thanks", ", any idea?", "? We have 1000 litres.", "? pH is 7.2")
_RANKS = 400_000  # so many different questions there are to draw from
_STEEPNESS = 1.05


@dataclass(frozen=True)
class MadeUp:
    """A question, and the number of what it asks: two with the same number ask the same."""

    text: str
    core: int


def questions(seed: int = 0) -> Iterator[MadeUp]:
    """Questions without end; the same seed gives the same ones."""
    chance = random.Random(seed)
    shares = list(accumulate(1 / (rank + 5) ** _STEEPNESS for rank in range(_RANKS)))
    while True:
        for core in chance.choices(range(_RANKS), cum_weights=shares, k=1000):
            yield MadeUp(_voiced(_core(core), chance), core)


@lru_cache(1 << 16)
def _core(number: int) -> str:
    own = random.Random(number)
    slots = {name: own.choice(values) for name, values in THINGS.items()}
    return own.choice(CORES).format(**slots, plant2=own.choice(THINGS["plant"]))


def _voiced(text: str, chance: random.Random) -> str:
    words = text.split()
    if chance.random() < 0.1:
        place = chance.randrange(len(words))
        word = words[place]
        words[place] = word[: len(word) // 2] + word[len(word) // 2 + 1 :]
    text = " ".join(words)
    text = text.capitalize() if chance.random() < 0.5 else text
    return chance.choice(OPENERS) + text + chance.choice(CLOSERS)
