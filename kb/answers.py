"""From a question in anybody's words to an answer: matches, readings, alarms and ready links."""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from kb import alarms as alarm_rules
from kb.alarms import Alarm
from kb.asking import asks
from kb.calculators.model import Calculator
from kb.content.load import Article, Library
from kb.errors import InputErrors, InputProblem
from kb.matching.documents import Document, Match, Matches
from kb.matching.rank import Ranker
from kb.readings import Readings, Urgency, read, urgency
from kb.store.questions import Judgement
from kb.store.wordings import Wording

LONGEST_QUESTION = 5000
MOST_LINKS = 4
AMMONIA_ALARM = "unionised-ammonia"
RAISES_PH = frozenset({"raise-ph", "base-demand"})  # not offered while ammonia is dangerous
_CALCULATOR = re.compile(r"^```calculator .*?^```$", re.MULTILINE | re.DOTALL)
_LINK = re.compile(r"\[([^\]]*)\]\([^)]*\)")
_MARKS = re.compile(r"^```(?:drawing.*)?$|^ *[-#>]+ |[*_`|]+", re.MULTILINE)
SymptomLink = Callable[[str, Readings], str]


@dataclass(frozen=True)
class Way:
    """A troubleshooting or calculator worth opening, with the asker's figures in its link."""

    slug: str
    title: str
    link: str
    score: float
    filled: tuple[str, ...] = ()


@dataclass(frozen=True)
class Answer:
    """Everything Standpipe has to say to one question."""

    text: str
    matches: Matches
    readings: Readings
    urgency: Urgency
    alarms: tuple[Alarm, ...]
    symptoms: tuple[Way, ...]
    calculators: tuple[Way, ...]

    @property
    def urgent(self) -> bool:
        """May fish be dying now, or a person be in danger?"""
        dangers = any(alarm.danger for alarm in self.alarms) and not self.urgency.fishless
        return self.urgency.urgent or dangers

    @property
    def best(self) -> Match | None:
        """The article to answer with, unless nothing answers."""
        return self.matches.articles[0] if self.matches.verdict != "none" else None

    @property
    def judgement(self) -> Judgement:
        """What the question log keeps of the answer."""
        return _judgement(self.text, self.matches, self.urgent)

    def as_json(self) -> dict[str, object]:
        """The answer in the shape of the JSON contract."""
        return {
            "verdict": self.matches.verdict,
            "matches": [
                {
                    "article": match.slug,
                    "title": match.title,
                    "score": match.score,
                    "why": list(match.why),
                }
                for match in self.matches.articles
            ],
            "symptoms": [
                {"symptom": way.slug, "score": way.score, "link": way.link} for way in self.symptoms
            ],
            "calculators": [{"calculator": way.slug, "link": way.link} for way in self.calculators],
            "readings": self.readings.as_json(),
            "alarms": [alarm.sentence for alarm in self.alarms],
            "first": list(dict.fromkeys(step for alarm in self.alarms for step in alarm.first)),
            "parts": [
                {
                    "text": part.text,
                    "verdict": part.verdict,
                    "article": part.articles[0].slug,
                }
                for part in self.matches.parts
            ],
            "urgent": self.urgent,
            "urgent_because": list(self.urgency.reasons),
        }


@dataclass(frozen=True)
class Answerer:
    """Answers questions out of one library; ``symptom_link`` fills troubleshooting links."""

    library: Library
    ranker: Ranker
    calculators: Mapping[str, Calculator]
    symptom_titles: Mapping[str, str]
    symptom_link: SymptomLink

    def judge(self, text: str) -> Judgement:
        """What the question log keeps of the answer, without the rest; raises InputErrors."""
        _check_length(text)
        matches = self.ranker.match(text, limit=1)
        urgent = urgency(text).urgent or any(
            alarm.danger for alarm in alarm_rules.alarms(read(text), self.calculators)
        )
        return _judgement(text, matches, urgent)

    def answer(self, text: str) -> Answer:
        """The answer to one question; raises InputErrors when the text is too long."""
        _check_length(text)
        matches = self.ranker.match(text)
        readings = read(text)
        found = alarm_rules.alarms(readings, self.calculators)
        articles = _worth_following(matches, self.library)
        return Answer(
            text=text,
            matches=matches,
            readings=readings,
            urgency=urgency(text),
            alarms=found,
            symptoms=self._symptoms(matches, articles, readings),
            calculators=self._calculators(matches, articles, readings, found),
        )

    def _symptoms(
        self, matches: Matches, articles: Iterable[tuple[Article, float]], readings: Readings
    ) -> tuple[Way, ...]:
        scores = {match.slug: match.score for match in matches.symptoms}
        for article, score in articles:
            for slug in article.symptoms:
                scores[slug] = max(score, scores.get(slug, 0.0))
        best = sorted(scores.items(), key=lambda pair: -pair[1])[:MOST_LINKS]
        return tuple(
            Way(slug, self.symptom_titles[slug], self.symptom_link(slug, readings), score)
            for slug, score in best
            if slug in self.symptom_titles
        )

    def _calculators(
        self,
        matches: Matches,
        articles: Iterable[tuple[Article, float]],
        readings: Readings,
        found: Sequence[Alarm],
    ) -> tuple[Way, ...]:
        scores = {alarm.report.calculator.id: 1.0 for alarm in found if alarm.report}
        for match in matches.calculators:
            scores[match.slug] = max(match.score, scores.get(match.slug, 0.0))
        for article, score in articles:
            for number, slug in enumerate(article.calculators):
                scores[slug] = max(score * 0.9**number, scores.get(slug, 0.0))
        if any(alarm.id == AMMONIA_ALARM for alarm in found):
            scores = {slug: score for slug, score in scores.items() if slug not in RAISES_PH}
        best = sorted(scores.items(), key=lambda pair: -pair[1])[:MOST_LINKS]
        return tuple(self._calculator(slug, score, readings) for slug, score in best)

    def _calculator(self, slug: str, score: float, readings: Readings) -> Way:
        calculator = self.calculators[slug]
        given = alarm_rules.inputs_from(readings, calculator)
        labels = tuple(calculator.input(name).label for name in given)
        return Way(slug, calculator.title, calculator.link(given), score, labels)


def _check_length(text: str) -> None:
    if len(text) > LONGEST_QUESTION:
        message = (
            f"The question has {len(text)} characters; send at most {LONGEST_QUESTION}. "
            "Keep the part that asks, and the readings."
        )
        raise InputErrors([InputProblem("text", f"{text[:40]}…", message)])


def _judgement(text: str, matches: Matches, urgent: bool) -> Judgement:
    if matches.verdict == "none":
        return Judgement(matches.verdict, None, urgent, asks(text))
    return Judgement(matches.verdict, matches.articles[0].slug, urgent)


def documents(
    library: Library, calculators: Iterable[Calculator], wordings: Iterable[Wording] = ()
) -> list[Document]:
    """What can be found: the articles, with the keeper's own wordings, and the calculators."""
    own: dict[str, list[str]] = {}
    for wording in wordings:
        own.setdefault(wording.article, []).append(wording.text)
    found = [
        _article_document(
            article, (*library.wordings.get(article.slug, ()), *own.get(article.slug, ()))
        )
        for article in library.articles.values()
    ]
    return found + [
        Document(
            kind="calculator",
            slug=calculator.id,
            title=calculator.title,
            wordings=(calculator.question,),
            headings=(),
            text=" ".join(item.label for item in (*calculator.inputs, *calculator.results)),
        )
        for calculator in calculators
    ]


def _article_document(article: Article, own: Iterable[str]) -> Document:
    text = "\n".join(_bare(article.sections[heading]) for heading in ("Short answer", "Why", "How"))
    headings = tuple(
        _bare(line).strip()
        for section in article.sections.values()
        for line in section.split("\n")
        if line.startswith("### ")
    )
    asked = (*article.phrasings, *own)
    return Document("article", article.slug, article.title, asked, headings, text)


def _bare(markdown: str) -> str:
    """The words of Markdown: enough to search them, and many times quicker than reading it."""
    return _MARKS.sub(" ", _LINK.sub(r"\1", _CALCULATOR.sub("", markdown)))


def _worth_following(matches: Matches, library: Library) -> list[tuple[Article, float]]:
    if matches.verdict == "none":
        return []
    return [(library.articles[match.slug], match.score) for match in matches.articles[:2]]
