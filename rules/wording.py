"""What the sentences of rule files are held to: cautions beside risks, short and plain words."""

import re
from collections.abc import Iterable, Iterator

from rules.model import Cause, Check, Symptom

LONGEST_SENTENCE = 28  # words
_RISKS = re.compile(
    r"\b(?:(?:un|bi)?(?:acid|base|hydroxide|carbonate|lime|salt|copper|peroxide|medicine|heater"
    r"|pump|plug|gas)(?:s|es|ed|ging)?|(?:de)?chlor\w*)\b",
    re.IGNORECASE,
)
_STATISTICS = re.compile(
    r"\b(?:probabilit\w+|probabl[ey]|likelihood\w*|statistic\w*|bayes\w*|priors?|posteriors?"
    r"|odds|correlat\w+|significan\w+|confidence|percentile\w*|variance)\b",
    re.IGNORECASE,
)
Found = Iterator[tuple[str, str]]  # level and place-less message
ERROR, REMARK = "error", "remark"


def cause_faults(cause: Cause) -> Found:
    """The faults in the words of one cause."""
    for remedy in cause.remedies:
        risks = _RISKS.findall(" ".join((remedy.title, *remedy.steps)))
        if risks and not remedy.cautions:
            named = ", ".join(dict.fromkeys(risk.lower() for risk in risks))
            yield ERROR, f"the remedy “{remedy.title}” names {named} and has no caution."
    steps = [step for remedy in cause.remedies for step in (remedy.title, *remedy.steps)]
    yield from sentence_faults((cause.name, cause.why, *steps))


def check_faults(check: Check) -> Found:
    """The faults in the words of one check."""
    if check.reading is None and not check.ask.endswith("?"):
        yield REMARK, f"the question “{check.ask}” has no question mark at its end."
    yield from sentence_faults((check.ask, check.how, *(answer.text for answer in check.answers)))


def symptom_faults(symptom: Symptom) -> Found:
    """The faults in the words of a symptom itself."""
    because = [saying.because for item in symptom.evidence for saying in item.sayings]
    derived = [a.text for item in symptom.evidence if item.derived for a in item.answers]
    texts = (symptom.title, symptom.summary, *symptom.do_first, *because, *derived)
    yield from sentence_faults(texts)


def sentence_faults(texts: Iterable[str]) -> Found:
    """The sentences that are too long or talk of statistics."""
    for text in texts:
        for sentence in re.split(r"(?<=[.!?:;])\s+", text):
            if len(sentence.split()) > LONGEST_SENTENCE:
                yield REMARK, f"“{sentence[:50]}…” has more than {LONGEST_SENTENCE} words."
        for word in dict.fromkeys(_STATISTICS.findall(text)):
            yield REMARK, f"“{word}” is a word of statistics; say it plainly."
