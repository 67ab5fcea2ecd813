"""A new look at the open questions, when there are other answers than when they were logged."""

import hashlib

from sqlite_utils import Database

from kb.answers import Answerer
from kb.content.load import Library
from kb.store import drafts
from kb.store import judging as store
from kb.store.questions import Judgement, Question
from kb.store.triage import same

AT_ONCE = 50


def mark_of(library: Library) -> str:
    """A mark that changes when articles, their titles or their phrasings do."""
    parts = (
        "\x1f".join((slug, article.title, *article.phrasings))
        for slug, article in library.articles.items()
    )
    return hashlib.sha256("\x1e".join(parts).encode()).hexdigest()[:16]


def waiting(db: Database, library: Library) -> int:
    """How many open questions have not been looked at with these articles."""
    return store.waiting(db, mark_of(library))


def again(db: Database, library: Library) -> None:
    """Have every open question looked at once more."""
    store.again(db, mark_of(library))


def step(db: Database, answerer: Answerer, *, most: int = AT_ONCE) -> int:
    """Look at the next few open questions, and give how many; 0 when all have been looked at."""
    mark = mark_of(answerer.library)
    found = store.next_ones(db, mark, most=most)
    started = drafts.by_group(db)
    for question in found:
        judgement = _judge(answerer, question, started)
        if not same(question, judgement):
            store.judge(db, question.id, judgement)
    store.note(db, mark, found[-1].id if len(found) == most else None)
    return len(found)


def _judge(answerer: Answerer, question: Question, started: dict[int, str]) -> Judgement:
    """What matching says now; an article begun from a question's own group answers it for sure."""
    judgement = (
        Judgement("none", None, urgent=question.urgent, asks=question.asks)
        if question.forgotten
        else answerer.judge(question.text)
    )
    own = started.get(question.group or 0)
    if own and own in answerer.library.articles and judgement.verdict != "strong":
        return Judgement("strong", own, judgement.urgent)
    return judgement
