"""Replying: one question with its ready reply, or all the questions that one article answers."""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from kb.answers import Answer
from kb.content.load import Article
from kb.errors import InputErrors, InputProblem, KbError
from kb.store import acts, places, recordings, triage, wordings
from kb.store import judging as judged
from kb.store import questions as log
from kb.store import replies as sent
from kb.store.acts import NewReply
from kb.store.questions import Judgement, Question
from kb.store.triage import ANSWERED, Pile
from web import questions, replies
from web.book import using
from web.database import database
from web.desk import page_number, reasons
from web.rendering import content, settings
from web.replies import Manner
from web.run_sheets import covered_line
from web.security import only_the_keeper

blueprint = Blueprint("replying", __name__, url_prefix="/desk")
blueprint.before_request(only_the_keeper)
LONGEST_REPLY = 10_000
PEOPLE = 25  # whose replies stand on one page of a heap
MOVED = {"open": "is open again", "set-aside": "is set aside"}


@dataclass(frozen=True)
class Person:
    """One asker of a heap, with the reply that is theirs."""

    question: Question
    reply: str
    longest: int
    seen: int


@blueprint.get("/questions/<int:number>")
def question(number: int) -> str:
    """One question with what is known about it and a reply to copy."""
    found = log.get(database(), number)
    answer = questions.answerer().answer(found.text)
    chosen = _chosen(request.args.get("article"), answer, found)
    heading = request.args.get("heading", "")
    pile = _pile(found)
    return render_template(
        "desk/question.html",
        question=found,
        answer=answer,
        pieces=questions.marked(answer),
        chosen=chosen,
        headings=replies.headings(chosen) if chosen else (),
        heading=heading,
        reply=_compose(found, answer, chosen, heading),
        longest=_longest(found),
        sentences=using.reply_sentences(),
        sent=sent.of_question(database(), number),
        groups=content().library.groups(),
        seen=acts.version(database(), number),
        pile=pile,
        onward={step: triage.beside(database(), pile, number, step=step) for step in (1, -1)},
    )


@blueprint.post("/questions/<int:number>/reply")
def reply(number: int) -> ResponseReturnValue:
    """Note the reply as sent, and go on to the next question of the pile."""
    pile = _pile(log.get(database(), number))
    item = NewReply(
        number,
        reply_text(request.form.get("text", "")),
        _article(request.form.get("article")),
        _seen(number, request.form.get("seen")),
    )
    done = acts.reply(database(), [item], now=_now())
    _say(done, number, "is marked as replied")
    return _go_on(pile, number)


@blueprint.post("/questions/<int:number>/state")
def move(number: int) -> ResponseReturnValue:
    """Set a question aside, or open it again."""
    state = request.form.get("state", "")
    if state not in MOVED:
        abort(404)
    pile = _pile(log.get(database(), number))
    seen = _seen(number, request.form.get("seen"))
    _say(acts.move(database(), [(number, seen)], state, now=_now()), number, MOVED[state])
    if state == "open":
        return redirect(url_for(".question", number=number), 303)
    return _go_on(pile, number)


@blueprint.post("/questions/<int:number>/forget")
def forget(number: int) -> ResponseReturnValue:
    """Remove the asker's name, link and words."""
    log.forget(database(), number)
    flash(f"Name, link and words of question {number} are gone; it still counts.")
    return redirect(url_for("desk.desk"), 303)


@blueprint.post("/questions/<int:number>/learn")
def learn(number: int) -> ResponseReturnValue:
    """Note that this article answers this question, in the asker's own words."""
    found = log.get(database(), number)
    article = content().library.article(request.form.get("article", ""))
    learn_from(found, article)
    flash(f"Learnt: question {number} asks for “{article.title}”.")
    pile = request.form.get("pile") or triage.section_of(found)
    return redirect(url_for(".question", number=number, article=article.slug, pile=pile), 303)


@blueprint.get("/answers/<slug>")
def heap(slug: str) -> str:
    """Everyone whose question one article answers, each with a reply of their own."""
    article = content().library.article(slug)
    pile = Pile(ANSWERED, article=slug)
    total = triage.size(database(), pile)
    page = page_number()
    heading = request.args.get("heading", "")
    found = triage.listed(database(), pile, limit=PEOPLE, offset=(page - 1) * PEOPLE)
    return render_template(
        "desk/heap.html",
        article=article,
        people=_people(found, article, heading),
        headings=replies.headings(article),
        heading=heading,
        total=total,
        page=page,
        pages=-(-total // PEOPLE),
        pile=pile,
        reasons=reasons,
    )


@blueprint.post("/answers/<slug>")
def reply_to_heap(slug: str) -> ResponseReturnValue:
    """Note the replies that were ticked as sent, all in one act."""
    article = content().library.article(slug)
    numbers = list(dict.fromkeys(request.form.getlist("question", type=int)))
    items = [
        NewReply(
            number,
            reply_text(request.form.get(f"text-{number}", "")),
            article.slug,
            _seen(number, request.form.get(f"seen-{number}")),
        )
        for number in numbers
    ]
    done = acts.reply(database(), items, now=_now())
    kept = f" {len(done.passed_over)} had changed meanwhile." if done.passed_over else ""
    flash(f"{_count(done.changed)} marked as replied.{kept}")
    left = triage.size(database(), Pile(ANSWERED, article=slug))
    target = url_for(".heap", slug=slug) if left else url_for("desk.desk", section=ANSWERED)
    return redirect(target, 303)


def learn_from(found: Question, article: Article) -> None:
    """Keep a question's words as asking for the article, and note that it answers it."""
    if found.forgotten:
        message = f"The words of question {found.id} are forgotten; there is nothing to learn."
        raise KbError(message)
    best = questions.answerer().answer(found.text).best
    confirmed = best is not None and best.slug == article.slug
    how = wordings.CONFIRMED if confirmed else wordings.CORRECTED
    wordings.add(database(), article.slug, found.text, question=found.id, how=how, now=_now())
    judged.judge(database(), found.id, Judgement("strong", article.slug, found.urgent))


def reply_text(raw: str) -> str:
    """The words of a reply; raises InputErrors when there are none or too many."""
    text = raw.strip()
    if not 0 < len(text) <= LONGEST_REPLY:
        message = f"The reply has {len(text)} characters; write 1 to {LONGEST_REPLY}."
        raise InputErrors([InputProblem("reply", f"{text[:40]}…", message)])
    return text


def ready(found: Question, slug: str | None, heading: str = "") -> tuple[str, str | None]:
    """The ready reply to a question, and the slug of the article it is made with."""
    answer = questions.answerer().answer(found.text)
    article = _chosen(slug, answer, found)
    return _compose(found, answer, article, heading), article.slug if article else None


def manner_of(place: str, article: Article | None, heading: str = "") -> Manner:
    """How the place is replied to: what is set for it, else the site's own."""
    own = places.get(database(), place)
    return Manner(
        greeting=own.greeting or settings().greeting,
        longest=own.longest_reply or settings().longest_reply,
        heading=heading,
        covered=_covered(article) if article else (),
    )


def _covered(article: Article) -> tuple[str, ...]:
    """Where the newest recording that covers the article does so."""
    newest = recordings.covering(database(), article.slug)[:1]
    return tuple(covered_line(entry, settings()) for entry in newest)


def _compose(found: Question, answer: Answer, article: Article | None, heading: str) -> str:
    manner = manner_of(found.place, article, heading)
    return replies.compose(answer, article, name=found.asked_by, manner=manner)


def _longest(found: Question) -> int:
    return places.get(database(), found.place).longest_reply or settings().longest_reply


def _people(found: Sequence[Question], article: Article, heading: str) -> list[Person]:
    manners = {place: manner_of(place, article, heading) for place in {one.place for one in found}}
    seen = acts.versions(database(), [one.id for one in found])
    people = []
    for one in found:
        answer = questions.answerer().answer(one.text)
        manner = manners[one.place]
        text = replies.compose(answer, article, name=one.asked_by, manner=manner)
        people.append(Person(one, text, manner.longest or LONGEST_REPLY, seen[one.id]))
    return people


def _chosen(slug: str | None, answer: Answer, found: Question) -> Article | None:
    """The article to reply with: the one picked, none if none was picked, else the best."""
    best = answer.best.slug if answer.best else None
    noted = found.article if found.verdict == "strong" else None
    noted = noted if noted in content().library.articles else None
    named = (noted or best) if slug is None else slug
    return content().library.article(named) if named else None


def _pile(found: Question) -> Pile:
    """The pile the keeper is working through: the one named, else the question's section."""
    code = request.values.get("pile")
    return triage.read_pile(code) if code else Pile(triage.section_of(found))


def _go_on(pile: Pile, number: int) -> ResponseReturnValue:
    following = triage.beside(database(), pile, number)
    if following is None:
        flash("That was the last of this pile.")
        return redirect(url_for("desk.desk"), 303)
    return redirect(url_for(".question", number=following, pile=pile.code), 303)


def _say(done: acts.Done, number: int, what: str) -> None:
    if done.changed:
        flash(f"Question {number} {what}.")
    else:
        flash(f"Question {number} had changed meanwhile; nothing was done to it.")


def _count(numbers: Iterable[int]) -> str:
    count = len(tuple(numbers))
    return "1 question is" if count == 1 else f"{count} questions are"


def _article(slug: str | None) -> str | None:
    return content().library.article(slug).slug if slug else None


def _seen(number: int, raw: str | None) -> int:
    """The version a form was made from; one that does not say means the question as it is."""
    if raw and raw.isascii() and raw.isdigit() and len(raw) < 18:
        return int(raw)
    return acts.version(database(), number)


def _now() -> datetime.datetime:
    return datetime.datetime.now(datetime.UTC)
