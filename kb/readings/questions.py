"""Whether a number is only offered as the answer to a question in general."""

from .numbers import Figure
from .tokens import Found, Text, words

_OWNERS = words("my our mine ours i'm we're")


def offered_as_answer(text: Text, figure: Figure, mention: Found | None) -> bool:
    """Is it the 2 of "at what ammonia do fish die, 2 ppm?", with nobody's own system in there?"""
    if text.word(figure.first - 1) != "," or text.word(figure.last + 1) != "?":
        return False
    if mention and mention.last >= figure.first - 1:
        return False
    start = text.sentence_start[figure.first]
    asked = {text.word(start), text.word(start + 1)}
    owned = _OWNERS.isdisjoint(text.words[start : figure.first])
    return bool(asked & {"what", "which", "how", "what's", "where"}) and owned
