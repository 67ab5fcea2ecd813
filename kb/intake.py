"""Taking in a whole file: looked at first, then matched on all cores and logged batch by batch."""

import datetime
import multiprocessing
import os
import signal
from collections import OrderedDict, deque
from collections.abc import Callable, Generator, Iterable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from itertools import chain, islice
from pathlib import Path
from typing import TypeVar

from sqlite_utils import Database

from kb.answers import Answerer
from kb.errors import KbError
from kb.grouping import Grouper
from kb.matching.shapes import Shape, shape
from kb.store import questions as log
from kb.store.questions import Judgement, NewQuestion
from kb.take_in import Columns, Fault, take_in

BATCH = 250  # questions logged in one transaction
MOST_FAULTS = 1000  # faults kept with number and reason; the rest are counted
ALONE_UP_TO = 300  # so many questions are matched before other processes are started
_TASK = 25
_AHEAD = 4  # batches being matched while one is logged
_REMEMBERED = 20_000  # texts whose match is kept for the next who asks the same

MakeAnswerer = Callable[[], Answerer]
_Item = TypeVar("_Item")


@dataclass(frozen=True)
class Preview:
    """A file as it will be taken in: the first questions, how many there are, what is broken."""

    first: tuple[NewQuestion, ...]
    questions: int
    refused: int
    faults: tuple[Fault, ...]


@dataclass(frozen=True)
class Progress:
    """How far a file has been taken in."""

    logged: int = 0
    known: int = 0
    refused: int = 0
    faults: tuple[Fault, ...] = ()

    @property
    def read(self) -> int:
        """How many questions and broken lines have been read."""
        return self.logged + self.known + self.refused


@dataclass(frozen=True)
class Judged:
    """What matching makes of a text, and its shape for grouping."""

    judgement: Judgement
    shape: Shape


Judge = Callable[[Sequence[str]], "Future[list[Judged]]"]


def preview(
    path: Path, *, place: str, columns: Columns, form: str | None = None, most: int = 20
) -> Preview:
    """What taking in a file would come to; nothing is logged. Raises KbError for the file."""
    first: list[NewQuestion] = []
    faults: list[Fault] = []
    questions = refused = 0
    for item in take_in(path, place=place, columns=columns, form=form):
        if isinstance(item, Fault):
            refused += 1
            faults += [item] if len(faults) < MOST_FAULTS else []
        else:
            questions += 1
            first += [item] if len(first) < most else []
    return Preview(tuple(first), questions, refused, tuple(faults))


def take_in_file(
    db: Database,
    path: Path,
    *,
    place: str,
    columns: Columns,
    form: str | None = None,
    make: MakeAnswerer,
    grouper: Grouper | None = None,
    workers: int | None = None,
) -> Generator[Progress, None, None]:
    """Log each question in a file once, grouped; says after every batch how far it has come.

    ``make`` makes the answerer, in this process or another. Each batch is logged whole or not at
    all, so that a file whose taking in was broken off can be taken in again.
    Raises KbError for the file itself, before anything is logged.
    """
    items = take_in(path, place=place, columns=columns, form=form)
    return _taken_in(db, items, make, grouper or Grouper(), workers)


def _taken_in(
    db: Database,
    items: Iterable[NewQuestion | Fault],
    make: MakeAnswerer,
    grouper: Grouper,
    workers: int | None,
) -> Generator[Progress, None, None]:
    with _matching(items, make, workers) as (all_items, judge):
        yield from _Task(db, grouper, judge).run(all_items)


@dataclass
class _Task:
    db: Database
    grouper: Grouper
    judge: Judge
    _texts: "OrderedDict[str, tuple[Future[list[Judged]], int]]" = field(
        default_factory=OrderedDict
    )

    def run(self, items: Iterable[NewQuestion | Fault]) -> Iterator[Progress]:
        """Where the work stands after each batch, while the next ones are being matched."""
        done = Progress()
        ahead: deque[tuple[list[NewQuestion], list[Fault], int]] = deque()
        batches = _batches(items, BATCH)
        while True:
            ahead.extend(self._begin(batch) for batch in islice(batches, _AHEAD - len(ahead)))
            if not ahead:
                return
            new, faults, known = ahead.popleft()
            logged = self._log(new) if new else 0
            kept = (*done.faults, *faults[: MOST_FAULTS - len(done.faults)])
            done = replace(
                done,
                logged=done.logged + logged,
                known=done.known + known + len(new) - logged,
                refused=done.refused + len(faults),
                faults=kept,
            )
            yield done

    def _begin(
        self, batch: Sequence[NewQuestion | Fault]
    ) -> tuple[list[NewQuestion], list[Fault], int]:
        """The questions of a batch that may be new, on their way to be matched; faults; known."""
        faults = [item for item in batch if isinstance(item, Fault)]
        questions = [item for item in batch if isinstance(item, NewQuestion)]
        prints = [(log.fingerprint(question), log.nameless(question)) for question in questions]
        known = log.known(self.db, chain.from_iterable(prints))
        new = [one for one, marks in zip(questions, prints, strict=True) if known.isdisjoint(marks)]
        fresh = dict.fromkeys(one.text for one in new if one.text not in self._texts)
        for texts in _batches(fresh, _TASK):
            found = self.judge(texts)
            self._texts |= {text: (found, place) for place, text in enumerate(texts)}
        for one in new:
            self._texts.move_to_end(one.text)  # what is waited for is not let go
        return new, faults, len(questions) - len(new)

    def _log(self, new: Sequence[NewQuestion]) -> int:
        rows = [
            (one, found.judgement, found.shape) for one in new for found in [self._judged(one.text)]
        ]
        logged = self.grouper.log_all(self.db, rows, now=datetime.datetime.now(datetime.UTC))
        while len(self._texts) > _REMEMBERED:
            self._texts.popitem(last=False)
        return logged

    def _judged(self, text: str) -> Judged:
        found, place = self._texts[text]
        try:
            return found.result()[place]
        except BrokenProcessPool as error:
            raise KbError(
                "A process that matches questions was stopped; take the file in again to go on."
            ) from error


@contextmanager
def _matching(
    items: Iterable[NewQuestion | Fault], make: MakeAnswerer, workers: int | None
) -> Iterator[tuple[Iterable[NewQuestion | Fault], Judge]]:
    """All the items again, and what matches texts: this process for a few, else one a core."""
    items = iter(items)
    first = list(islice(items, ALONE_UP_TO))
    count = workers if workers is not None else _cores()
    if count < 2 or len(first) < ALONE_UP_TO:
        answerer = make()
        yield chain(first, items), lambda texts: _done(_judged(answerer, texts))
        return
    # Fresh processes: a forked one would share locks and open databases with this one.
    context = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(count, context, _start, (make,))
    try:
        yield chain(first, items), lambda texts: pool.submit(_judge, texts)
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _cores() -> int:
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


_started: list[Answerer | Exception] = []  # what a process for matching has to match with


def _start(make: MakeAnswerer) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the process that started this one decides
    try:
        _started[:] = [make()]
    except Exception as error:  # told to whoever waits for the first match
        _started[:] = [error]


def _judge(texts: Sequence[str]) -> list[Judged]:
    answerer = _started[0]
    if isinstance(answerer, Exception):
        raise answerer
    return _judged(answerer, texts)


def _judged(answerer: Answerer, texts: Sequence[str]) -> list[Judged]:
    return [Judged(answerer.judge(text), shape(text)) for text in texts]


def _done(found: list[Judged]) -> "Future[list[Judged]]":
    future: Future[list[Judged]] = Future()
    future.set_result(found)
    return future


def _batches(items: Iterable[_Item], size: int) -> Iterator[tuple[_Item, ...]]:
    rest = iter(items)
    while batch := tuple(islice(rest, size)):
        yield batch
