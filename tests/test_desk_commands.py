"""The desk's commands: triage, reply, undo, learn, groups, drafts and places without a browser."""

import json

import pytest
from click.testing import CliRunner

from web import content as site_content
from web.cli import main

TEXTS = (
    '{"text": "Fish gasping at the surface right now, please help", "asked_by": "finch_3"}',
    '{"text": "My water is cloudy since Friday, why?", "asked_by": "wren_4"}',
    '{"text": "Can snails sing in the moonlight?"}',
    '{"text": "Lovely evening, thank you"}',
)


@pytest.fixture
def run(tmp_path):
    """Run a command in a site of one's own, with four questions taken in."""
    environment = {"STANDPIPE_CONTENT": str(tmp_path / "site")}

    def run(*words, status=0, given=None):
        words = [str(word) for word in words]
        got = CliRunner().invoke(main, words, input=given, env=environment)
        assert got.exit_code == status, got.output
        assert "Traceback" not in got.output
        return got.stdout

    run("new", tmp_path / "site")
    file = tmp_path / "club.jsonl"
    file.write_text("\n".join(TEXTS))
    run("questions", "take-in", file)
    return run


@pytest.fixture
def loaded(monkeypatch, content):
    """The shipped content, loaded once for all commands of a test."""
    monkeypatch.setattr(site_content, "load", lambda _folder=None: content)


@pytest.mark.usefixtures("loaded")
def test_an_evening_at_the_terminal(run, tmp_path):
    counts = json.loads(run("questions", "triage", "--json"))["counts"]
    assert (counts["urgent"], counts["gaps"], counts["chatter"]) == (1, 1, 1)
    assert "gasping" in run("questions", "triage", "--section", "urgent")

    run("questions", "places", "club", "--longest", 200, "--greeting", "Hello {name}!")
    reply = run("questions", "reply", 2, "--article", "cloudy-water", "--mark")
    assert reply.startswith("Hello wren_4!")
    assert len(reply.strip()) <= 200
    assert json.loads(run("questions", "show", 2, "--json"))["state"] == "replied"
    assert run("questions", "undo") == "Undone: 2.\n"
    assert json.loads(run("questions", "show", 2, "--json"))["state"] == "open"

    run("questions", "learn", 2, "brown-water")
    (learnt,) = json.loads(run("questions", "wordings", "list", "--json"))
    assert (learnt["article"], learnt["how"]) == ("brown-water", "corrected")
    exported = run("questions", "wordings", "export")
    assert exported.startswith("# articles/brown-water.md")
    assert '"My water is cloudy since Friday, why?"' in exported
    run("questions", "wordings", "remove", learnt["id"])
    assert run("questions", "wordings", "list") == ""

    (group,) = json.loads(run("questions", "groups", "--unanswered", "--json"))[:1]
    run("questions", "group", "rename", group["id"], "Singing snails")
    run("questions", "group", "draft", group["id"], "singing-snails", "--heading", "Fish")
    draft = (tmp_path / "site" / "drafts" / "singing-snails.md").read_text()
    assert 'title = "Singing snails"' in draft
    run("questions", "move", 4, "--to", "set-aside")
    assert "0 chatter" in run("questions", "look-again")


def test_a_published_draft_answers_those_who_waited(run, tmp_path):
    groups = json.loads(run("questions", "groups", "--unanswered", "--json"))
    number = next(group["id"] for group in groups if "snails" in group["name"])
    run("questions", "look-again")
    run("questions", "group", "draft", number, "singing-snails", "--title", "Do snails sing?")
    folder = tmp_path / "site"
    (folder / "drafts" / "singing-snails.md").rename(folder / "articles" / "singing-snails.md")
    assert "0 gaps" in run("questions", "look-again")
    assert "/articles/singing-snails" in run("questions", "reply", 3)


@pytest.mark.usefixtures("loaded")
def test_wordings_are_written_into_own_articles_only(run, tmp_path):
    (own,) = (path for path in files_of("articles").iterdir() if path.name == "brown-water.md")
    copy = tmp_path / "site" / "articles" / "brown-water.md"
    copy.write_text(own.read_text("utf-8"), "utf-8")
    run("questions", "learn", 2, "brown-water")
    run("questions", "learn", 1, "fish-gasping")
    run("questions", "wordings", "export", "--write")
    text = copy.read_text("utf-8")
    assert text.count('"My water is cloudy since Friday, why?",') == 1
    run("questions", "wordings", "export", "--write")
    assert copy.read_text("utf-8") == text


BAD = (
    ("undo",), ("undo", "9"), ("places", "--longest", "300"), ("places", "club", "--longest", "5"),
    ("group", "show", "99"), ("group", "rename", "1", " "), ("wordings", "remove", "9"),
    ("move", "99", "--to", "open"), ("reply", "99"), ("learn", "1", "nothing"),
    ("group", "draft", "1", "Bad Slug"), ("reply", "1", "--text", " ", "--mark"),
)  # fmt: skip


@pytest.mark.usefixtures("loaded")
def test_bad_input_is_refused_and_changes_nothing(run):
    before = run("questions", "export", "--with-people")
    for words in BAD:
        assert run("questions", *words, status=2) == ""
    assert run("questions", "export", "--with-people") == before


def files_of(package):
    from importlib.resources import files

    return files(package)
