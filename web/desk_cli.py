"""Commands of the desk: what its pages do, for people and programs at a terminal."""

import datetime
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, replace
from pathlib import Path

import click
from flask import current_app
from sqlite_utils import Database

from kb import drafting, judging
from kb.cli import Site, content_option, data_option, json_option, plainly, print_json
from kb.errors import InputErrors, InputProblem, KbError
from kb.store import acts, drafts, groups, places, triage, wordings
from kb.store import questions as log
from kb.store.acts import NewReply
from kb.store.triage import SECTIONS, Pile
from web import config, create_app, gaps, learning, looking, replying
from web.database import database
from web.rendering import content as site_content

_LONGEST_LINE = 90


@click.command("triage", epilog="Example: standpipe questions triage --section urgent")
@click.option("--section", type=click.Choice(SECTIONS), help="List this one; else count them all.")
@click.option("--limit", type=click.IntRange(1, 100_000), default=50, show_default=True)
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def triage_command(
    site: Site,
    section: str | None,
    limit: int,
    as_json: bool,
    data: Path | None,
    content: Path | None,
) -> None:
    """Count the open questions section by section, or list one section in working order."""
    db = site.database(data, content)
    counts = triage.counts(db)
    rows = triage.listed(db, Pile(section), limit=limit) if section else ()
    if as_json:
        listed = [{"id": one.id, "text": one.text, "article": one.article} for one in rows]
        print_json({"counts": counts} | ({"questions": listed} if section else {}))
        return
    for name, count in counts.items() if not section else ():
        click.echo(f"{count:>7}  {name}")
    for one in rows:
        words = " ".join(one.text.split())[:_LONGEST_LINE]
        click.echo(f"{one.id:>6}  {words}  [{one.article or 'no answer'}]")


@click.command("reply", epilog="Example: standpipe questions reply 12 --mark")
@click.argument("number", type=int)
@click.option("--article", help="Reply with this article in place of the best match.")
@click.option("--heading", default="", help="Lead to this heading of the article (its fragment).")
@click.option("--text", help="These words in place of the ready reply; - reads standard input.")
@click.option("--mark", is_flag=True, help="Note it as sent and the question as replied.")
@data_option
@content_option
@plainly
def reply_command(
    number: int,
    article: str | None,
    heading: str,
    text: str | None,
    mark: bool,
    data: Path | None,
    content: Path | None,
) -> None:
    """Print the ready reply to question NUMBER, within its place's length."""
    with _site(data, content) as db:
        ready, chosen = replying.ready(log.get(db, number), article, heading)
        words = sys.stdin.read().strip() if text == "-" else text or ready
        if mark:
            seen = acts.version(db, number)
            words = replying.reply_text(words)
            acts.reply(db, [NewReply(number, words, chosen, seen)], now=_now())
    click.echo(words)
    if mark:
        click.echo(f"Question {number} is marked as replied.", err=True)


@click.command("move", epilog="Example: standpipe questions move 12 15 --to set-aside")
@click.argument("numbers", type=int, nargs=-1, required=True)
@click.option("--to", "state", type=click.Choice(log.STATES), required=True)
@data_option
@content_option
@click.pass_obj
@plainly
def move_command(
    site: Site, numbers: tuple[int, ...], state: str, data: Path | None, content: Path | None
) -> None:
    """Set questions aside, open them again or mark them as replied, all in one act."""
    db = site.database(data, content)
    seen = [(number, acts.version(db, number)) for number in numbers]
    done = acts.move(db, seen, state, now=_now())
    click.echo(f"{len(done.changed)} moved to {state}.")


@click.command("undo", epilog="Example: standpipe questions undo")
@click.argument("act", type=int, required=False)
@data_option
@content_option
@click.pass_obj
@plainly
def undo_command(site: Site, act: int | None, data: Path | None, content: Path | None) -> None:
    """Take back the last act of the desk, or the one numbered ACT; replies are kept."""
    db = site.database(data, content)
    last = acts.last(db) if act is None else acts.get(db, act)
    if last is None:
        raise KbError("There is nothing to undo.")
    back = acts.undo(db, last.id, now=_now())
    click.echo(f"Undone: {', '.join(map(str, back)) or 'nothing'}.")


@click.command("learn", epilog="Example: standpipe questions learn 12 cloudy-water")
@click.argument("number", type=int)
@click.argument("article")
@data_option
@content_option
@plainly
def learn_command(number: int, article: str, data: Path | None, content: Path | None) -> None:
    """Note that ARTICLE answers question NUMBER; matching knows its words from now on."""
    with _site(data, content) as db:
        found = site_content().library.article(article)
        replying.learn_from(log.get(db, number), found)
    click.echo(f"Learnt: question {number} asks for “{found.title}”.")


@click.command("look-again", epilog="Example: standpipe questions look-again")
@data_option
@content_option
@plainly
def look_again_command(data: Path | None, content: Path | None) -> None:
    """Match every open question once more, with the articles and wordings of today."""
    with _site(data, content) as db:
        judging.again(db, site_content().library)
        looking.finish(current_app._get_current_object())  # type: ignore[attr-defined]
        counts = triage.counts(db)
    click.echo(", ".join(f"{count} {name}" for name, count in counts.items()))


@click.group("wordings")
def wordings_group() -> None:
    """What was learnt: questions confirmed or put right."""


@wordings_group.command("list", epilog="Example: standpipe questions wordings list")
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def list_wordings(site: Site, as_json: bool, data: Path | None, content: Path | None) -> None:
    """List the wordings learnt."""
    db = site.database(data, content)
    found = wordings.listed(db)
    if as_json:
        print_json([asdict(wording) for wording in found])
        return
    for one in found:
        words = " ".join(one.text.split())[:_LONGEST_LINE]
        click.echo(f"{one.id:>6}  {one.how:<9}  {words}  [{one.article}]")


@wordings_group.command("remove", epilog="Example: standpipe questions wordings remove 3")
@click.argument("number", type=int)
@data_option
@content_option
@click.pass_obj
@plainly
def remove_wording(site: Site, number: int, data: Path | None, content: Path | None) -> None:
    """Take wording NUMBER out again."""
    db = site.database(data, content)
    wordings.remove(db, number)
    click.echo(f"Wording {number} is taken out.")


@wordings_group.command("export", epilog="Example: standpipe questions wordings export > w.toml")
@click.option("--write", is_flag=True, help="Into the articles of the own content folder.")
@data_option
@content_option
@plainly
def export_wordings(write: bool, data: Path | None, content: Path | None) -> None:
    """Print the wordings article by article as TOML, or write them into own articles' files."""
    with _site(data, content) as db:
        found = learning.by_article(wordings.listed(db))
        folder = gaps.own_folder()
    if not write:
        click.echo(drafting.as_toml(found), nl=False)
        return
    if folder is None:
        raise KbError("There is no content folder of your own to write into; give --content.")
    for slug, texts in sorted(found.items()):
        path = folder / "articles" / f"{slug}.md"
        if not path.is_file():
            click.echo(f"{slug} is no article of {folder}; its wordings stay in the log.", err=True)
            continue
        _write(path, drafting.with_wordings(path.read_text("utf-8"), texts, path=str(path)))
        click.echo(f"{path}: {len(texts)} wordings.")


@click.group("group")
def one_group() -> None:
    """One group of questions that ask the same."""


@one_group.command("show", epilog="Example: standpipe questions group show 4")
@click.argument("number", type=int)
@click.option("--limit", type=click.IntRange(1, 100_000), default=100, show_default=True)
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def show_group(
    site: Site, number: int, limit: int, as_json: bool, data: Path | None, content: Path | None
) -> None:
    """Show group NUMBER with its questions, open ones first."""
    db = site.database(data, content)
    found = groups.get(db, number)
    members = groups.members(db, number, limit=limit)
    if as_json:
        listed = [{"id": one.id, "state": one.state, "text": one.text} for one in members]
        print_json(asdict(found) | {"members": listed})
        return
    click.echo(f"{found.name}: {found.open} of {found.questions} open")
    for one in members:
        click.echo(f"{one.id:>6}  {one.state:<9}  {' '.join(one.text.split())[:_LONGEST_LINE]}")


@one_group.command("rename", epilog='Example: standpipe questions group rename 4 "Worms in beds"')
@click.argument("number", type=int)
@click.argument("name")
@data_option
@content_option
@click.pass_obj
@plainly
def rename_group(
    site: Site, number: int, name: str, data: Path | None, content: Path | None
) -> None:
    """Give group NUMBER another NAME."""
    db = site.database(data, content)
    groups.rename(db, number, name)
    click.echo(f"Group {number} has its new name.")


@one_group.command("merge", epilog="Example: standpipe questions group merge 4 9")
@click.argument("into", type=int)
@click.argument("other", type=int)
@data_option
@content_option
@click.pass_obj
@plainly
def merge_group(site: Site, into: int, other: int, data: Path | None, content: Path | None) -> None:
    """Put the questions of group OTHER into group INTO, which keeps its name."""
    db = site.database(data, content)
    groups.merge(db, into, other)
    click.echo(f"Group {other} is part of group {into} now.")


@one_group.command("split", epilog="Example: standpipe questions group split 17")
@click.argument("question", type=int)
@data_option
@content_option
@click.pass_obj
@plainly
def split_group(site: Site, question: int, data: Path | None, content: Path | None) -> None:
    """Take QUESTION out of its group into one of its own."""
    db = site.database(data, content)
    number = groups.split_off(db, question)
    click.echo(f"Question {question} is in group {number} now.")


@one_group.command("answer", epilog="Example: standpipe questions group answer 4 cloudy-water")
@click.argument("number", type=int)
@click.argument("article")
@data_option
@content_option
@plainly
def answer_group(number: int, article: str, data: Path | None, content: Path | None) -> None:
    """Note that ARTICLE answers the open questions of group NUMBER."""
    with _site(data, content):
        count = gaps.learn_group(number, site_content().library.article(article))
    click.echo(f"Learnt: {count} questions ask for {article}.")


@one_group.command("draft", epilog="Example: standpipe questions group draft 4 worms-in-beds")
@click.argument("number", type=int)
@click.argument("slug")
@click.option("--title", default="", help="The article's question; the group's name if not said.")
@click.option("--heading", default="Running it", show_default=True, help="The group of articles.")
@data_option
@content_option
@plainly
def draft_group(
    number: int, slug: str, title: str, heading: str, data: Path | None, content: Path | None
) -> None:
    """Begin an article from group NUMBER: into the own content folder, else printed."""
    with _site(data, content) as db:
        text = gaps.drafted(number, slug=slug, title=title, heading=heading)
        folder = gaps.own_folder()
        path = gaps.write_draft(folder, slug, text) if folder else None
        drafts.begin(db, slug, group=number, now=_now())
    click.echo(text if path is None else f"{path} is begun; move it to articles/ when written.")


@click.command("places", epilog='Example: standpipe questions places "club" --longest 280')
@click.argument("name", required=False)
@click.option("--longest", type=int, help="The most characters a reply may have; 0: the site's.")
@click.option("--greeting", help="How a reply begins, with {name}; empty: the site's.")
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def places_command(
    site: Site,
    name: str | None,
    longest: int | None,
    greeting: str | None,
    as_json: bool,
    data: Path | None,
    content: Path | None,
) -> None:
    """List the places, or set how place NAME is replied to."""
    db = site.database(data, content)
    if name is None and (longest is not None or greeting is not None):
        message = "Name the place that this is to be set for."
        raise InputErrors([InputProblem("name", "", message)])
    if name is not None:
        place = places.get(db, name)
        if longest is not None:
            place = replace(place, longest_reply=longest or None)
        if greeting is not None:
            place = replace(place, greeting=greeting or None)
        places.put(db, place)
    found = [place for place in places.listed(db) if name in (None, place.name)]
    if as_json:
        print_json([asdict(place) for place in found])
        return
    for place in found:
        click.echo(f"{place.name}: {place.longest_reply or 'site’s length'}, ", nl=False)
        click.echo(f"{place.greeting or 'site’s greeting'}")


COMMANDS = (
    triage_command,
    reply_command,
    move_command,
    undo_command,
    learn_command,
    look_again_command,
    wordings_group,
    one_group,
    places_command,
)


@contextmanager
def _site(data: Path | None, content: Path | None) -> Iterator[Database]:
    """The question log of a site, inside its application."""
    own = config.content_folder(content)
    app = create_app({"DATA": data, "CONTENT": own, "SETTINGS": config.read_settings(own)})
    with app.app_context():
        yield database()


def _write(path: Path, text: str) -> None:
    """The file with its new text, whole or not at all."""
    partial = path.with_name(f".{path.name}.part")
    try:
        partial.write_text(text, "utf-8")
        partial.replace(path)
    except OSError as error:
        partial.unlink(missing_ok=True)
        raise KbError(f"{path} cannot be written: {error.strerror}.") from error


def _now() -> datetime.datetime:
    return datetime.datetime.now(datetime.UTC)
