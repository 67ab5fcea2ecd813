"""Plain words out of what people type, without case, accents, punctuation and figures."""

import re
import unicodedata
from dataclasses import dataclass

LONGEST_TEXT = 5000
LONGEST_PLAIN = 6000  # one sign may stand for eighteen letters
LONGEST_WORD = 40

_ADDRESS = re.compile(r"(?:https?://|www\.)\S+|(?<!\S)\S+@\S+\.\S+")
_APOSTROPHE = re.compile(r"(?<=\w)['’‘`´](?=\w)")
_WORD = re.compile(r"[^\W_]+")
_PH_FIGURE = re.compile(r"\bph(?=\d)")
_ORDINALS = {"1st": "first", "2nd": "second", "3rd": "third"}
_ORDINAL = re.compile(r"\b(?:1st|2nd|3rd)\b")
_FIGURE = r"(?<![^\W_])\d+(?:[.,:/]\d+){0,4}(?:\s*(?:-|–|to|or)\s*\d+(?:[.,]\d+){0,4})?\s*"
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


@dataclass(frozen=True)
class Part:
    """One stretch of a text that is scored by itself."""

    text: str
    whole: bool


def fold(text: str) -> str:
    """The text in small letters, without accents and without apostrophes inside words."""
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
    plain = _ADDRESS.sub(" ", fold(text))
    plain = _ORDINAL.sub(lambda found: _ORDINALS[found[0]], _PH_FIGURE.sub("ph ", plain))
    plain = _TEMPERATURE.sub(" temperature ", plain)
    plain = _AMOUNT.sub(" ", _FLOW.sub(" flow ", plain))
    return tuple(word for word in _WORD.findall(plain) if len(word) <= LONGEST_WORD)


def parts(text: str, *, most: int) -> tuple[Part, ...]:
    """The whole text, and in a longer one up to ``most`` sentences that ask something.

    Only the first 5,000 characters count.
    """
    text = text[:LONGEST_TEXT]
    sentences = [found.strip() for found in _SENTENCE.findall(text) if _WORD.search(found)]
    whole = Part(text, whole=True)
    if len(sentences) < 2:
        return (whole,)
    asking = [sentence for sentence in sentences if _ASKING.search(fold(sentence))]
    chosen = dict.fromkeys((*asking[-most:],))
    return (whole, *(Part(sentence, whole=False) for sentence in chosen))
