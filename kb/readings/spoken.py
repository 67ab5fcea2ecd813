"""Numbers said in words: "two hundred and fifty", "eight point three", "half a litre"."""

from .tokens import Text, words

_COUNTED = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen "
    "fifteen sixteen seventeen eighteen nineteen twenty"
)
NUMBER_WORDS = {word: float(value) for value, word in enumerate(_COUNTED.split())} | {
    "thirty": 30.0, "forty": 40.0, "fifty": 50.0, "sixty": 60.0, "seventy": 70.0, "eighty": 80.0,
    "ninety": 90.0, "nil": 0.0, "undetectable": 0.0, "zip": 0.0, "nada": 0.0,
    "zeros": 0.0, "zeroes": 0.0, "nought": 0.0,
    "dozen": 12.0, "hundred": 100.0, "thousand": 1000.0,
}  # fmt: skip
_SCALES = {"dozen": 12.0, "hundred": 100.0, "thousand": 1000.0}
_PARTS = {
    ("half",): 0.5, ("quarter",): 0.25, ("a", "half"): 0.5, ("a", "quarter"): 0.25,
    ("three", "quarters"): 0.75, ("one", "quarter"): 0.25, ("one", "half"): 0.5,
    ("a", "third"): 1 / 3, ("a", "couple"): 2.0,
}  # fmt: skip
_FIRST_OF_PARTS = frozenset(("a", "an", *(said[0] for said in _PARTS)))
STARTS = _FIRST_OF_PARTS | NUMBER_WORDS.keys()
_MEASURES = words(
    "litre litres liter liters pound pounds kilo kilos kilogram gallon gallons ounce ounces cup "
    "cups teaspoon teaspoons tablespoon tablespoons tsp tbsp quart lb lbs kg oz gram grams gal "
    "hundred dozen ppm ml cubic"
)
_WHOLE_MEASURES = _MEASURES - frozenset(
    ("gram", "ppm", "cubic", "ml", "grams", "lbs", "kg", "oz", "lb")
)


def in_words(text: Text, index: int) -> tuple[float, int] | None:
    """The value of a number said in words and its last token; None when there is none."""
    said = _share(text, index) or _counted(text, index)
    return with_point(text, *said) if said else None


def with_point(text: Text, value: float, last: int) -> tuple[float, int]:
    """The value with what "point three" or "and a half" behind it adds, and the last token."""
    if [text.word(last + place) for place in (1, 2, 3)] == ["and", "a", "half"]:
        return value + 0.5, last + 3
    if text.word(last + 1) != "point" or not value.is_integer():
        return value, last
    digits, place = "", last + 2
    while len(digits) < 3 and (digit := _digits(text, place)):
        digits += digit
        place += 1
    return (value + float(f"0.{digits}"), place - 1) if digits else (value, last)


def scaled(text: Text, value: float, last: int) -> tuple[float, int]:
    """The value times the "hundred", "thousand" or "dozen" behind it, and the last token."""
    first = last
    while text.word(last + 1) in _SCALES and last < first + 2:
        value *= _SCALES[text.word(last + 1)]
        last += 1
    return value, last


def _digits(text: Text, index: int) -> str:
    word = text.word(index)
    if word in ("oh", "o"):
        return "0"
    if word.isdecimal() and len(word) <= 2:
        return word
    value = NUMBER_WORDS.get(word, 10.0)
    return str(int(value)) if value < 10 else ""


def _counted(text: Text, index: int) -> tuple[float, int] | None:
    value = NUMBER_WORDS.get(text.word(index))
    if value is None:
        return None
    value, last = scaled(text, value, index)
    if value >= 100 and text.word(last + 1) == "and":
        rest = _counted(text, last + 2)
        if rest and 0 < rest[0] < 100:
            return value + rest[0], rest[1]
    if 20 <= value < 100 and value % 10 == 0:
        ones = last + 1 + (text.word(last + 1) == "-")
        if 0 < NUMBER_WORDS.get(text.word(ones), 0) < 10:
            return value + NUMBER_WORDS[text.word(ones)], ones
    return value, last


def _share(text: Text, index: int) -> tuple[float, int] | None:
    """ "half a" before a measure, "a quarter of a", or "a" alone before one said in full."""
    if text.word(index) not in _FIRST_OF_PARTS:
        return None
    for said, value in _PARTS.items():
        if text.words[index : index + len(said)] != said:
            continue
        last = index + len(said) - 1
        last += text.word(last + 1) == "of"
        last += text.word(last + 1) in ("a", "an")
        if text.word(last + 1) in _MEASURES:
            return scaled(text, value, last)
    if [text.word(index + place) for place in (0, 2)] == ["a", "of"] and (
        text.word(index + 1) in ("couple", "pair")
    ):
        return 2.0, index + 2
    if text.word(index) in ("a", "an") and text.word(index + 1) in _WHOLE_MEASURES:
        return scaled(text, 1.0, index)
    return None
