"""All there is to answer with: articles, rules, calculators and the matching over them."""

from collections.abc import Callable, Iterable, Mapping
from contextlib import closing
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import TypeVar
from urllib.parse import urlencode

from kb import answers, materials
from kb.alarms import INPUT_OF_READING, single
from kb.answers import Answerer
from kb.calculators import ALL
from kb.calculators.model import Calculator
from kb.content import load as load_articles
from kb.content import short
from kb.content.load import GROUPS, Library
from kb.content.validate import Targets, broken, validate
from kb.errors import ContentErrors, Problem
from kb.matching import rank
from kb.matching.beginnings import Beginnings
from kb.matching.documents import Document
from kb.matching.rank import Ranker
from kb.readings import Readings
from kb.store import open_database, wordings
from kb.store.wordings import Wording
from rules import load as load_rules
from rules import state
from rules import validate as validate_rules
from rules.model import Rulebook, Symptom

OTHER_GROUP = "Other"
_Item = TypeVar("_Item", Symptom, Calculator)
Page = tuple[str, str]  # kind and slug: an article and a symptom may share a slug


@dataclass(frozen=True)
class Content:
    """One site's content."""

    library: Library
    rulebook: Rulebook
    calculators: Mapping[str, Calculator]
    wordings: tuple[Wording, ...] = ()

    @cached_property
    def documents(self) -> tuple[Document, ...]:
        """Everything that can be found: articles, calculators, troubleshooting."""
        found = answers.documents(self.library, self.calculators.values(), self.wordings)
        symptoms = self.rulebook.symptoms.values()
        return (*found, *(symptom_document(symptom) for symptom in symptoms))

    @cached_property
    def ranker(self) -> Ranker:
        """Matching over everything that can be found; built once."""
        return rank.build(self.documents)

    @cached_property
    def beginnings(self) -> Beginnings:
        """What finds pages while their words are still being typed; built once."""
        return Beginnings(self.documents)

    @cached_property
    def short_codes(self) -> Mapping[str, str]:
        """The code of each article's short link."""
        return short.codes(self.library.articles)

    @cached_property
    def _words(self) -> dict[str, str]:
        return {}

    def words_of(self, slug: str) -> str:
        """The words of an article in which materials are looked for; worked out once."""
        if slug not in self._words:
            self._words[slug] = materials.words_of(self.library.articles[slug])
        return self._words[slug]

    def short_path(self, slug: str) -> str:
        """The path of an article's short link; an article that is gone has its old path."""
        code = self.short_codes.get(slug)
        return f"/a/{code}" if code else f"/articles/{slug}"

    @cached_property
    def symptoms_by_group(self) -> Mapping[str, tuple[Symptom, ...]]:
        """The symptoms under the headings of the articles that belong to them."""
        return self._grouped(self.rulebook.symptoms.values(), lambda symptom: symptom.article)

    @cached_property
    def calculators_by_group(self) -> Mapping[str, tuple[Calculator, ...]]:
        """The calculators under the headings of their first articles."""
        return self._grouped(self.calculators.values(), lambda item: item.articles[0])

    @cached_property
    def symptoms_of(self) -> Mapping[Page, tuple[Symptom, ...]]:
        """For each article and calculator the symptoms that point at it, or that it names."""
        known = self.rulebook.symptoms
        ties = [
            tie
            for symptom in known.values()
            for tie in (
                (("article", symptom.article), symptom.id),
                *((("calculator", name), symptom.id) for name in self._sums_of(symptom)),
            )
        ]
        ties += [
            (("article", article.slug), slug)
            for article in self.library.articles.values()
            for slug in article.symptoms
        ]
        return _tied(ties, known)

    @cached_property
    def calculators_of(self) -> Mapping[Page, tuple[Calculator, ...]]:
        """For each article and symptom the calculators it names, or that name it."""
        ties = [
            (("article", article.slug), name)
            for article in self.library.articles.values()
            for name in article.calculators
        ]
        ties += [
            (("article", slug), calculator.id)
            for calculator in self.calculators.values()
            for slug in calculator.articles
        ]
        ties += [
            (("symptom", symptom.id), name)
            for symptom in self.rulebook.symptoms.values()
            for name in self._sums_of(symptom)
        ]
        return _tied(ties, self.calculators)

    def _sums_of(self, symptom: Symptom) -> tuple[str, ...]:
        derived = [item.derived.calculator for item in symptom.evidence if item.derived]
        article = self.library.articles.get(symptom.article)
        return tuple(dict.fromkeys((*derived, *(article.calculators if article else ()))))

    def _grouped(
        self, items: Iterable[_Item], article_of: Callable[[_Item], str]
    ) -> dict[str, tuple[_Item, ...]]:
        found: dict[str, list[_Item]] = {group: [] for group in (*GROUPS, OTHER_GROUP)}
        for item in items:
            article = self.library.articles.get(article_of(item))
            found[article.group if article else OTHER_GROUP].append(item)
        return {group: tuple(members) for group, members in found.items() if members}

    @cached_property
    def answerer(self) -> Answerer:
        """What answers questions out of this content."""
        titles = {slug: symptom.title for slug, symptom in self.rulebook.symptoms.items()}
        return Answerer(self.library, self.ranker, self.calculators, titles, self.symptom_link)

    def symptom_link(self, slug: str, readings: Readings) -> str:
        """The address of a troubleshooting with the readings filled in and marked as such."""
        numbers = {
            name: value
            for name in INPUT_OF_READING
            if (value := single(readings, name)) is not None
        }
        filled = state.prefill(self.rulebook.symptom(slug), numbers)
        if not filled:
            return f"/symptoms/{slug}"
        query = {name: _plain(value) for name, value in filled.items()}
        return f"/symptoms/{slug}?{urlencode({**query, 'read': ','.join(query)}, safe=',')}"


def _tied(
    ties: Iterable[tuple[Page, str]], known: Mapping[str, _Item]
) -> dict[Page, tuple[_Item, ...]]:
    """The items tied to each page, each once, in the order of the ties."""
    found: dict[Page, dict[str, _Item]] = {}
    for page, name in ties:
        found.setdefault(page, {})[name] = known[name]
    return {page: tuple(items.values()) for page, items in found.items()}


def load(folder: Path | None = None) -> Content:
    """The shipped content with a keeper's own on top; raises ContentErrors with every fault.

    What would leave a page unable to be shown is a fault; ``problems`` finds the rest.
    """
    if folder is None:
        return Content(load_articles.load(), load_rules.shipped(), ALL)
    library = load_articles.load(folder)
    own = (folder / "rules",) if (folder / "rules").is_dir() else ()
    rulebook = load_rules.load(
        load_rules.shipped_folder(),
        *own,
        calculators=ALL,
        sources=library.sources,
        cautions=library.cautions,
    )
    found = broken(library, Targets(frozenset(rulebook.symptoms), ALL))
    if found:
        raise ContentErrors(found)
    return Content(library, rulebook, ALL)


def answerer(folder: Path | None, database: Path) -> Answerer:
    """What answers out of the content and the database; another process may be given this."""
    return replace(load(folder), wordings=own_wordings(database)).answerer


def own_wordings(database: Path) -> tuple[Wording, ...]:
    """The wordings that the keeper has confirmed; none while there is no database."""
    if not database.is_file():
        return ()
    with closing(open_database(database)) as db:
        return wordings.listed(db)


def problems(content: Content) -> list[Problem]:
    """Every fault that only the sum of the content shows."""
    targets = Targets(frozenset(content.rulebook.symptoms), content.calculators)
    found = validate(content.library, targets)
    return found + validate_rules.validate(content.rulebook, articles=set(content.library.articles))


def symptom_document(symptom: Symptom) -> Document:
    """What makes a troubleshooting findable."""
    return Document(
        kind="symptom",
        slug=symptom.id,
        title=symptom.title,
        wordings=(symptom.summary,),
        headings=(),
        text=symptom.summary,
    )


def _plain(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)
