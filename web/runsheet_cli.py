"""Commands of recordings: plan, put on, order, publish, and what comes out of it."""

import datetime
from collections.abc import Sequence
from pathlib import Path

import click

from kb import recordings as plain
from kb.cli import Site, content_option, data_option, json_option, plainly, print_json
from kb.errors import InputErrors, InputProblem, NotFound
from kb.recordings import clock
from kb.store import questions as log
from kb.store import recordings
from web import config, run_sheets
from web import content as site_content
from web.content import Content
from web.run_sheets import Line, day_of, place_of, times_of, title_of, web_link


@click.group()
def runsheet() -> None:
    """Recordings: what to say next, and what comes out of it."""


@runsheet.command("list", epilog="Example: standpipe runsheet list")
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def list_command(site: Site, as_json: bool, data: Path | None, content: Path | None) -> None:
    """List recordings, the newest first."""
    found = recordings.listed(site.database(data, content))
    if as_json:
        print_json([_recording_json(entry) for entry in found])
        return
    for entry in found:
        day = entry.published_on or entry.planned_for or "no day yet"
        click.echo(f"{entry.id:>4}  {day:<10}  {entry.title}  ({entry.items})")


@runsheet.command("plan", epilog='Example: standpipe runsheet plan "April in the greenhouse"')
@click.argument("title")
@click.option("--day", default="", help="When it is to be made, such as 2026-04-05.")
@data_option
@content_option
@click.pass_obj
@plainly
def plan_command(site: Site, title: str, day: str, data: Path | None, content: Path | None) -> None:
    """Plan a recording."""
    planned = day_of(day, "The day")
    title = title_of(title, "The title")
    db = site.database(data, content)
    number = recordings.plan(db, title, planned_for=planned, now=_now())
    click.echo(f"Recording {number} is planned.")


@runsheet.command("put", epilog="Example: standpipe runsheet put 3 --article cloudy-water")
@click.argument("recording", type=int)
@click.option("--article", help="An answer, by its slug.")
@click.option("--question", type=int, help="A question, by its number.")
@click.option("--group", type=int, help="A group of questions, by its number.")
@click.option("--topic", help="A title of your own.")
@click.option("--without-askers", is_flag=True, help="Leave out those who wait for the article.")
@data_option
@content_option
@click.pass_obj
@plainly
def put_command(
    site: Site,
    recording: int,
    article: str | None,
    question: int | None,
    group: int | None,
    topic: str | None,
    without_askers: bool,
    data: Path | None,
    content: Path | None,
) -> None:
    """Put an answer, a question, a group or a topic on a run sheet."""
    given = [value for value in (article, question, group, topic) if value is not None]
    if len(given) != 1:
        message = "Give one of --article, --question, --group and --topic."
        raise InputErrors([InputProblem("item", ", ".join(map(str, given)), message)])
    db = site.database(data, content)
    if article is not None:
        slug = _content(content).library.article(article).slug
        item = recordings.add_article(db, recording, slug, askers=not without_askers)
    elif question is not None:
        found = run_sheets.surely(log.get(db, question), _content(content))
        item = recordings.add_question(db, recording, question, article=found)
    elif group is not None:
        item = recordings.add_group(db, recording, group, article=None)
    else:
        item = recordings.add_topic(db, recording, title_of(str(topic), "The topic"))
    click.echo(f"Item {item} is on run sheet {recording}.")


@runsheet.command("show", epilog="Example: standpipe runsheet show 3")
@click.argument("recording", type=int)
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def show_command(
    site: Site, recording: int, as_json: bool, data: Path | None, content: Path | None
) -> None:
    """Show a run sheet: items in order, how many asked, what was covered before."""
    sheet = _sheet(site, recording, data, content)
    if as_json:
        shown = _recording_json(sheet.recording)
        print_json(shown | {"lines": [_line_json(line) for line in sheet.lines]})
        return
    click.echo(sheet.recording.title)
    for line in sheet.lines:
        start = clock(line.item.second) if line.item.second is not None else "-:--:--"
        earlier = ", ".join(str(entry.published_on) for entry in line.before)
        before = f"; covered {earlier}" if earlier else ""
        click.echo(f"{line.item.id:>5}  {start}  {line.title}  ({len(line.askers)} asked{before})")


@runsheet.command("move", epilog="Example: standpipe runsheet move 12 --by -1")
@click.argument("item", type=int)
@click.option("--by", "steps", type=int, required=True, help="Places down; negative: up.")
@data_option
@content_option
@click.pass_obj
@plainly
def move_command(
    site: Site, item: int, steps: int, data: Path | None, content: Path | None
) -> None:
    """Move ITEM on its run sheet."""
    recordings.move(site.database(data, content), item, steps)
    click.echo(f"Item {item} is moved.")


@runsheet.command("rename", epilog='Example: standpipe runsheet rename 12 "The plant sale"')
@click.argument("item", type=int)
@click.argument("title")
@click.option("--article", help="The answer that belongs to it, by its slug.")
@data_option
@content_option
@click.pass_obj
@plainly
def rename_command(
    site: Site, item: int, title: str, article: str | None, data: Path | None, content: Path | None
) -> None:
    """Give ITEM a title of its own; an empty one brings the answer's back."""
    db = site.database(data, content)
    found = recordings.item(db, item)
    slug = _content(content).library.article(article).slug if article else found.article
    words = title_of(title, "The title") if title.strip() else None
    recordings.change_item(db, item, title=words, article=slug)
    click.echo(f"Item {item} is renamed.")


@runsheet.command("take-off", epilog="Example: standpipe runsheet take-off 12")
@click.argument("item", type=int)
@data_option
@content_option
@click.pass_obj
@plainly
def take_off_command(site: Site, item: int, data: Path | None, content: Path | None) -> None:
    """Take ITEM off its run sheet; its questions stay in the log."""
    recordings.remove_item(site.database(data, content), item)
    click.echo(f"Item {item} is off its run sheet.")


@runsheet.command("order", epilog="Example: standpipe runsheet order 3")
@click.argument("recording", type=int)
@data_option
@content_option
@click.pass_obj
@plainly
def order_command(site: Site, recording: int, data: Path | None, content: Path | None) -> None:
    """Order a run sheet by topic."""
    db = site.database(data, content)
    wanted = plain.by_topic(recordings.items(db, recording), _content(content).library.articles)
    recordings.put_in_order(db, recording, [item.id for item in wanted])
    click.echo(f"Run sheet {recording} stands by topic.")


@runsheet.command("publish", epilog="Example: standpipe runsheet publish 3 --link URL 12=0:01:15")
@click.argument("recording", type=int)
@click.argument("times", nargs=-1, metavar="[ITEM=H:MM:SS]...")
@click.option("--link", required=True, help="Where the recording is.")
@click.option("--place", default="", help="One of the places for recordings in the settings.")
@click.option("--day", default="", help="When it was published; today if not said.")
@data_option
@content_option
@click.pass_obj
@plainly
def publish_command(
    site: Site,
    recording: int,
    times: tuple[str, ...],
    link: str,
    place: str,
    day: str,
    data: Path | None,
    content: Path | None,
) -> None:
    """Note where a recording is and when its items start."""
    sheet = _sheet(site, recording, data, content)
    raw = _times(times, sheet.lines)
    recordings.enter(
        site.database(data, content),
        recording,
        link=web_link(link, "The link"),
        place=place_of(place, _settings(content)),
        published_on=day_of(day, "The day") or _now().date(),
        seconds=times_of(sheet.lines, raw),
    )
    click.echo(f"Recording {recording} is published.")


@runsheet.command("texts", epilog="Example: standpipe runsheet texts 3 --place club")
@click.argument("recording", type=int)
@click.option("--place", help="Only the text for this place.")
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def texts_command(
    site: Site,
    recording: int,
    place: str | None,
    as_json: bool,
    data: Path | None,
    content: Path | None,
) -> None:
    """Print the text to put under a recording, for each place it is shown at."""
    settings = _settings(content)
    if place is not None:
        place_of(place, settings)
    sheet = _sheet(site, recording, data, content)
    found = [
        (where, under)
        for where, under in run_sheets.texts(sheet, settings, _content(content))
        if place in (None, where.name)
    ]
    if as_json:
        print_json(
            [
                {"place": where.name, "text": under.text, "left_out": list(under.left_out)}
                for where, under in found
            ]
        )
        return
    click.echo("\n\n----\n\n".join(under.text for _, under in found))
    for where, under in found:
        for line in under.left_out:
            click.echo(f"{where.name}: no room for {line}", err=True)


@runsheet.command("replies", epilog="Example: standpipe runsheet replies 3 --json")
@click.argument("recording", type=int)
@click.option("--mark", type=int, multiple=True, help="Mark this question as replied.")
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def replies_command(
    site: Site,
    recording: int,
    mark: tuple[int, ...],
    as_json: bool,
    data: Path | None,
    content: Path | None,
) -> None:
    """Print the replies to everyone who asked, and whom to thank; with names and links."""
    sheet = _sheet(site, recording, data, content)
    db = site.database(data, content)
    ready = run_sheets.replies(db, sheet, _settings(content), _content(content))
    for question in mark:
        if not run_sheets.mark_replied(db, ready, question, now=_now()):
            raise NotFound(f"No reply of recording {recording} waits for question {question}.")
    if mark:
        sheet = _sheet(site, recording, data, content)
    found = run_sheets.replies(db, sheet, _settings(content), _content(content))
    names = run_sheets.thanks(sheet)
    if as_json:
        print_json(
            {
                "replies": [
                    {
                        "question": reply.question.id,
                        "state": reply.question.state,
                        "link": reply.question.link,
                        "text": reply.text,
                    }
                    for reply in found
                ],
                "thanks": list(names),
            }
        )
        return
    for reply in found:
        click.echo(f"Question {reply.question.id} ({reply.question.link or 'no link'}):")
        click.echo(f"{reply.text}\n")
    click.echo(f"To thank: {', '.join(names) or 'nobody left a name'}")


@runsheet.command("remove", epilog="Example: standpipe runsheet remove 3")
@click.argument("recording", type=int)
@data_option
@content_option
@click.pass_obj
@plainly
def remove_command(site: Site, recording: int, data: Path | None, content: Path | None) -> None:
    """Take a recording away; its questions stay in the log."""
    recordings.remove(site.database(data, content), recording)
    click.echo(f"Recording {recording} is gone.")


def _times(words: Sequence[str], lines: Sequence[Line]) -> dict[int, str]:
    known = {str(line.item.id): line.item for line in lines}
    raw = {item.id: clock(item.second) for item in known.values() if item.second is not None}
    for word in words:
        name, mark, value = word.partition("=")
        if not mark or name not in known:
            shown = ", ".join(known) or "none"
            message = f"“{word[:40]}” is no ITEM=H:MM:SS; the items of this sheet are {shown}."
            raise InputErrors([InputProblem("times", word[:40], message)])
        raw[known[name].id] = value
    return raw


def _sheet(site: Site, recording: int, data: Path | None, folder: Path | None) -> run_sheets.Sheet:
    return run_sheets.read_sheet(site.database(data, folder), recording, _content(folder))


def _content(folder: Path | None) -> Content:
    _settings(folder)
    return site_content.load(config.content_folder(folder))


def _settings(folder: Path | None) -> config.Settings:
    return config.read_settings(config.content_folder(folder))


def _recording_json(entry: recordings.Recording) -> dict[str, object]:
    return {name: getattr(entry, name) for name in entry.__dataclass_fields__}


def _line_json(line: Line) -> dict[str, object]:
    return {
        "item": line.item.id,
        "title": line.title,
        "article": line.item.article,
        "second": line.item.second,
        "questions": [question.id for question in line.askers],
        "covered": [entry.id for entry in line.before],
    }


def _now() -> datetime.datetime:
    return datetime.datetime.now(datetime.UTC)
