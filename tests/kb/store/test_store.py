"""The question log, the replies and the database file itself."""

import datetime
import sqlite3
import threading

import pytest

from kb.errors import NotFound, StoreError
from kb.store import check_database, copy_database, keeper, open_database, replies, restore_database
from kb.store import questions as log
from kb.store.migrations import MIGRATIONS
from kb.store.questions import Judgement, NewQuestion

NOW = datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)
STRONG = Judgement("strong", "fish-off-feed", urgent=False)
URGENT = Judgement("none", None, urgent=True)

SCHEMA = {
    "questions": [
        "id", "place", "fingerprint", "text", "asked_by", "link", "asked_at", "logged_at",
        "times", "state", "verdict", "article", "urgent", "group_id",
        "asks",
    ],
    "places": ["name", "columns", "longest_reply", "greeting"],
    "acts": ["id", "what", "made_at", "undone_at"],
    "marks": ["id", "act", "question", "before", "after", "reply"],
    "drafts": ["slug", "group_id", "made_at"],
    "judging": ["id", "mark", "reached", "end"],
    "replies": ["id", "question", "text", "article", "sent_at"],
    "keeper": ["id", "passphrase_hash", "set_at"],
    "groups": [
        "id", "name", "named_by", "article", "first_at", "last_at", "counted", "asked",
        "waiting", "waiting_strong", "waiting_none",
    ],
    "representatives": ["id", "group_id", "question", "shape"],
    "wordings": ["id", "article", "text", "words", "question", "how", "added_at"],
    "recordings": [
        "id", "title", "planned_for", "link", "place", "published_on", "made_at",
    ],
    "run_items": ["id", "recording", "position", "title", "article", "second"],
    "run_questions": ["item", "question"],
    "revision": ["id", "number"],
    "materials": ["id", "name", "plain", "aliases", "remark", "articles"],
    "material_links": ["id", "material", "country", "shop", "link", "earns"],
    "limits": ["id", "what", "who", "at"],
    "open_desks": ["secret_hash", "until"],
}  # fmt: skip


@pytest.fixture
def path(tmp_path):
    return tmp_path / "standpipe.db"


@pytest.fixture
def db(path):
    db = open_database(path)
    yield db
    db.close()


def ask(db, text="Why is my water cloudy?", place="site", judgement=STRONG, again=False, **more):
    return log.log(db, NewQuestion(text, place, **more), judgement, now=NOW, asked_again=again)


def test_a_question_comes_back_as_it_was_logged(db):
    number, new = ask(db, asked_by="pondweed_7", link="https://example.org/q/1", asked_at=NOW)
    assert new
    question = log.get(db, number)
    assert (question.text, question.place, question.asked_by, question.link) == (
        "Why is my water cloudy?",
        "site",
        "pondweed_7",
        "https://example.org/q/1",
    )
    assert (question.state, question.times, question.verdict) == ("open", 1, "strong")
    assert question.asked_at == "2026-04-01T12:00:00+00:00"


def test_a_message_taken_in_twice_is_logged_once_and_counted_once(db):
    first = ask(db, link="https://example.org/q/1")
    second = ask(db, link="https://example.org/q/1")
    assert second == (first[0], False)
    assert log.get(db, first[0]).times == 1


def test_a_question_put_again_on_the_site_is_counted_and_open_again(db):
    number, _ = ask(db)
    log.set_state(db, number, "set-aside")
    assert ask(db, "why is my water CLOUDY", again=True) == (number, False)
    assert (log.get(db, number).times, log.get(db, number).state) == (2, "open")


def test_the_same_words_in_another_place_are_another_question(db):
    assert ask(db)[0] != ask(db, place="club evening")[0]


def test_urgent_questions_stand_first_then_unanswered_ones(db):
    strong = ask(db)[0]
    doubtful = ask(db, "what about moss", judgement=Judgement("none", None, urgent=False))[0]
    urgent = ask(db, "fish dying", judgement=URGENT)[0]
    assert [question.id for question in log.listed(db)] == [urgent, doubtful, strong]


def test_counts_name_every_state(db):
    ask(db)
    assert log.counts(db) == {"open": 1, "replied": 0, "set-aside": 0}


def test_a_reply_is_noted_and_its_question_marked_together(db):
    number, _ = ask(db)
    replies.send(db, number, "Shake the jar test.", article="cloudy-water", now=NOW)
    assert log.get(db, number).state == "replied"
    assert [reply.text for reply in replies.of_question(db, number)] == ["Shake the jar test."]


def test_a_reply_to_nothing_leaves_no_trace(db):
    with pytest.raises(NotFound, match="no question 99"):
        replies.send(db, 99, "lost", article=None, now=NOW)
    assert db.table("replies").count == 0


def test_forgetting_removes_the_person_and_keeps_the_count(db):
    number, _ = ask(db, asked_by="pondweed_7", link="https://example.org/q/1")
    replies.send(db, number, "Dear pondweed_7", article=None, now=NOW)
    log.forget(db, number)
    question = log.get(db, number)
    assert (question.asked_by, question.link, question.forgotten) == (None, None, True)
    assert "pondweed" not in " ".join(db.iterdump())
    assert log.counts(db)["replied"] == 1


def test_unknown_numbers_are_named(db):
    for change in (log.get, log.forget):
        with pytest.raises(NotFound, match="no question 7"):
            change(db, 7)


def test_the_passphrase_hash_is_replaced_not_added(db):
    assert keeper.passphrase_hash(db) is None
    for value in ("first", "second"):
        keeper.set_passphrase_hash(db, value, now=NOW)
    assert keeper.passphrase_hash(db) == "second"
    assert db.table("keeper").count == 1


def test_applying_the_migrations_twice_changes_nothing(db):
    before = db.schema
    MIGRATIONS.apply(db)
    assert db.schema == before


def test_the_schema_is_the_stored_one(db):
    found = {name: [column.name for column in db.table(name).columns] for name in SCHEMA}
    assert found == SCHEMA


def test_rows_survive_closing_and_opening(path):
    first = open_database(path)
    ask(first)
    first.close()
    again = open_database(path)
    assert log.counts(again)["open"] == 1
    again.close()


def test_a_damaged_file_is_named_and_left_alone(path):
    path.write_bytes(b"SQLite format 3\x00" + b"\xff" * 4096)
    before = path.read_bytes()
    with pytest.raises(StoreError, match="damaged or no database"):
        open_database(path)
    assert path.read_bytes() == before


def test_a_foreign_database_is_refused_untouched(path):
    with sqlite3.connect(path) as other:
        other.execute("create table recipes (name text)")
    other.close()
    before = path.read_bytes()
    with pytest.raises(StoreError, match="not a Standpipe database"):
        open_database(path)
    assert path.read_bytes() == before


def test_a_newer_database_is_refused(path):
    db = open_database(path)
    db.table("_sqlite_migrations").insert(
        {"migration_set": "kb", "name": "m999_later", "applied_at": "2030-01-01"}
    )
    db.close()
    with pytest.raises(StoreError, match="newer Standpipe"):
        open_database(path)


def test_a_missing_folder_is_one_sentence(tmp_path):
    with pytest.raises(StoreError, match="cannot be opened"):
        open_database(tmp_path / "nowhere" / "standpipe.db")


def test_a_copy_made_while_open_is_whole_and_restores(db, path, tmp_path):
    ask(db)
    copy = tmp_path / "copy.db"
    copy_database(db, copy)
    ask(db, "asked after the copy")
    check_database(copy)
    db.close()
    restore_database(copy, path)
    again = open_database(path)
    assert [question.text for question in log.listed(again)] == ["Why is my water cloudy?"]
    again.close()
    assert path.with_name("standpipe.db.before-restore").exists()


def test_a_copy_never_overwrites(db, tmp_path):
    target = tmp_path / "copy.db"
    target.write_text("precious")
    with pytest.raises(StoreError, match="exists already"):
        copy_database(db, target)
    assert target.read_text() == "precious"


@pytest.mark.parametrize("content", [b"", b"not a database at all" * 100])
def test_restore_refuses_what_is_no_backup(path, tmp_path, content):
    bad = tmp_path / "bad.db"
    bad.write_bytes(content)
    db = open_database(path)
    ask(db)
    db.close()
    with pytest.raises(StoreError):
        restore_database(bad, path)
    again = open_database(path)
    assert log.counts(again)["open"] == 1
    again.close()


def test_many_at_once_are_all_kept(path):
    open_database(path).close()
    faults = []

    def put(worker):
        db = open_database(path)
        try:
            for turn in range(10):
                ask(db, f"question {turn} of {worker}")
                ask(db, f"shared question {turn}", again=True)
        except Exception as error:
            faults.append(error)
        finally:
            db.close()

    workers = [threading.Thread(target=put, args=(worker,)) for worker in range(4)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    db = open_database(path)
    assert faults == []
    assert log.counts(db)["open"] == 50
    assert sum(question.times for question in log.all_questions(db)) == 80
    db.close()
