"""Plain words out of what people type, without case, accents, punctuation and figures."""

import re
import unicodedata
from dataclasses import dataclass

LONGEST_TEXT = 5000
LONGEST_PLAIN = 6000  # one sign may stand for eighteen letters
LONGEST_WORD = 40
LEAST_ASKED = 4  # words of a question that stands alone

_ADDRESS = re.compile(r"(?:https?://|www\.)\S+|(?<!\S)[^\s@]+@[^\s@]+\.[^\s@]+")
_APOSTROPHE = re.compile(r"(?<=\w)['’‘`´](?=\w)")
PLAIN_WORD = re.compile(r"[^\W_]+")
_PH_FIGURE = re.compile(r"\bph(?=\d)")
_ORDINALS = {"1st": "first", "2nd": "second", "3rd": "third"}
_ORDINAL = re.compile(r"\b(?:1st|2nd|3rd)\b")
_FIGURE = r"(?<![^\W_])(?<!\d[.,:/])\d+(?:[.,:/]\d+)*(?:\s*(?:-|–|to|or)\s*\d+(?:[.,]\d+)*)?\s*"
_TEMPERATURE = re.compile(
    _FIGURE + r"(?:°\s*[cf]?|º\s*[cf]?|deg(?:ree)?s?\b(?:\s*(?:c|f|celsius|fahrenheit)\b)?"
    r"|celsius\b|centigrade\b|fahrenheit\b|[cf]\b)"
)
_FLOW = re.compile(
    _FIGURE + r"(?:[lg]p[hm]\b|l\s*/\s*(?:h|hr|hour|min|m)\b|gal\s*/\s*(?:h|hr|min)\b"
    r"|(?:litres?|liters?|gallons?)\s*(?:per|an|a|/)\s*(?:hour|minute|hr|min|h)\b)"
)
_AMOUNT = re.compile(
    _FIGURE
    + r"(?:(?:mg\s*/\s*l|ppm|ppt|ml|l|litres?|liters?|ltrs?|gals?|gallons?|kg|kilos?|g|grams?"
    r"|lbs?|pounds?|oz|ounces?|mm|cm|m|metres?|meters?|inch(?:es)?|ft|feet|foot|percent|w|watts?"
    r"|dkh|dgh|x|k|ish)(?![^\W_])|%|\")?(?:\s*/\s*l\b)?"
)
_SENTENCE = re.compile(r"[^.!?\n]*(?:\.(?=\w)[^.!?\n]*)*[.!?\n]*")
_ASKING = re.compile(
    r"\?|\b(?:how|why|what|whats|which|when|where|who|can|could|should|do i|does|did i|is it"
    r"|is there|are there|am i|will|would|any ideas?|any tips|help|stuck|wondering|wonder"
    r"|problem|trouble|wont|cant|doesnt|keeps?|not sure|no idea|tell me|advice)\b"
)
_STRETCH = re.compile(r"[,;]\s+")
_DIGIT = re.compile(r"\d")
_POINTS_BACK = re.compile(r"\b(?:it|its|that|thats|this|these|those|they|them|one|ones)\b")
_QUESTION_WORD = (
    r"(?:how|why|what|whats|which|when|where|who|can|could|should|do|does|did|is|are|will|would)"
)
_BEGINS_ASKING = re.compile(
    rf"\W{{0,9}}(?:(?:and|also|but|so|then|or|second|first)\b\W{{0,9}}){{0,4}}{_QUESTION_WORD}\b"
)
_AND_ASKS = re.compile(
    rf"[,;]?\s{{1,9}}(?:and|also|plus)\s{{1,9}}(?=(?:also\s{{1,9}})?{_QUESTION_WORD}\b)",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Part:
    """One stretch of a text that is scored by itself."""

    text: str
    whole: bool
    seeks: bool = False  # does it look for an answer in any way?
    asks: bool = False  # is it surely a question of its own?


def fold(text: str) -> str:
    """The text in small letters, without accents and without apostrophes inside words."""
    if text.isascii():
        return _APOSTROPHE.sub("", text.casefold())
    sound = text.encode("utf-8", "ignore").decode("utf-8")
    plain = unicodedata.normalize("NFKC", sound)[:LONGEST_PLAIN].casefold()
    spread = unicodedata.normalize("NFKD", plain)
    bare = "".join(letter for letter in spread if not unicodedata.combining(letter))
    return _APOSTROPHE.sub("", bare)


def words(text: str) -> tuple[str, ...]:
    """The words of a text in plain form; a figure gives its kind of quantity or nothing.

    >>> words("Why won’t my pH come down from 7.9 at 27C?")
    ('why', 'wont', 'my', 'ph', 'come', 'down', 'from', 'at', 'temperature')
    """
    return _words(_without_figures(text))


def sentence_words(text: str) -> tuple[tuple[str, ...], ...]:
    """The words of each sentence or line that holds one."""
    found = (_words(part) for part in _SENTENCE.findall(_without_figures(text)))
    return tuple(words for words in found if words)


def sentences(text: str) -> tuple[str, ...]:
    """The sentences and lines of a text that hold a word."""
    found = (part.strip() for part in _SENTENCE.findall(text))
    return tuple(part for part in found if PLAIN_WORD.search(part))


def parts(text: str, *, most: int) -> tuple[Part, ...]:
    """The whole text, and in a longer one up to ``most`` sentences, first those that ask.

    Only the first 5,000 characters count.
    """
    text = text[:LONGEST_TEXT]
    found = [part for sentence in sentences(text) for part in _clauses(sentence)]
    each = list(dict.fromkeys(map(_without_readings, found)))
    whole = Part(text, whole=True)
    if len(found) < 2 and each == found:
        return (whole,)
    asking = [part for part in each if len(found) < 2 or _ASKING.search(fold(part))][-most:]
    telling = [part for part in each if part not in asking and _words_in(part) >= LEAST_ASKED]
    chosen = {*asking, *telling[: most - len(asking)]}
    return (
        whole,
        *(
            Part(one, whole=False, seeks=one in asking, asks=_asks(one))
            for one in each
            if one in chosen
        ),
    )


def _clauses(sentence: str) -> list[str]:
    """The questions that one sentence strings together, or the sentence."""
    found = _AND_ASKS.split(sentence)
    if any(_words_in(part) < LEAST_ASKED or _POINTS_BACK.search(fold(part)) for part in found):
        return [sentence]
    return found


def _without_readings(sentence: str) -> str:
    """The sentence without stretches that only tell a reading, as in “my fish gasp, pH 7.9”."""
    stretches = _STRETCH.split(sentence)
    told = [
        stretch
        for stretch in stretches
        if not (_DIGIT.search(stretch) and "?" not in stretch and len(words(stretch)) < LEAST_ASKED)
    ]
    return ", ".join(told) if told and len(told) < len(stretches) else sentence


def _asks(part: str) -> bool:
    """Does the part read as a whole question?"""
    plain = fold(part)
    asks = "?" in part or bool(_BEGINS_ASKING.match(plain))
    return asks and _words_in(plain) >= LEAST_ASKED


def _words_in(text: str) -> int:
    return len(PLAIN_WORD.findall(text))


def _without_figures(text: str) -> str:
    plain = _ADDRESS.sub(" ", fold(text))
    plain = _ORDINAL.sub(lambda found: _ORDINALS[found[0]], _PH_FIGURE.sub("ph ", plain))
    plain = _TEMPERATURE.sub(" temperature ", plain)
    return _AMOUNT.sub(" ", _FLOW.sub(" flow ", plain))


def _words(plain: str) -> tuple[str, ...]:
    return tuple(word for word in PLAIN_WORD.findall(plain) if len(word) <= LONGEST_WORD)
