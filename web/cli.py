"""The command ``standpipe``: all commands together, and those that need the whole site."""

import datetime
import logging
import shutil
import sys
import tempfile
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from importlib.resources import files
from importlib.util import find_spec
from pathlib import Path

import click
from flask import Flask
from sqlite_utils import Database

from kb import book_cli, log_cli
from kb import cli as kb_cli
from kb.answers import Answerer
from kb.cli import FOUND_PROBLEMS, content_option, data_option, plainly
from kb.errors import ContentErrors, KbError, Problem
from kb.store import copy_database, keeper, open_database, restore_database
from kb.store.database import FILE_NAME
from rules import cli as rules_cli
from web import (
    access_log,
    ageing,
    config,
    content,
    create_app,
    demo,
    desk_cli,
    materials_cli,
    runsheet_cli,
    security,
    serving,
    upkeep_cli,
)

PACKAGES = ("kb", "rules", "web", "articles")
LOG_FORM = "%(asctime)s %(levelname)s %(name)s: %(message)s"


class _Site:
    """What the commands of kb need; loaded when first asked for."""

    def __init__(self) -> None:
        self._databases: dict[Path, Database] = {}

    def answerer(self, folder: Path | None, data: Path | None = None) -> Answerer:
        return self.answerer_maker(folder, data)()

    def answerer_maker(
        self, folder: Path | None, data: Path | None = None
    ) -> Callable[[], Answerer]:
        own = config.content_folder(folder)
        config.read_settings(own)
        return partial(content.answerer, own, config.data_place(data, own) / FILE_NAME)

    def database(self, data: Path | None, folder: Path | None) -> Database:
        path = config.data_folder(data, config.content_folder(folder)) / FILE_NAME
        if path not in self._databases:
            self._databases[path] = open_database(path)
        return self._databases[path]

    def close(self) -> None:
        for database in self._databases.values():
            database.close()


@click.group()
@click.version_option(package_name="standpipe")
@click.pass_context
def main(context: click.Context) -> None:
    """Answers, troubleshooting and sums for small fish-and-plant systems."""
    context.obj = _Site()
    context.call_on_close(context.obj.close)


for command in desk_cli.COMMANDS:
    log_cli.questions.add_command(command)
for command in (
    kb_cli.calc,
    kb_cli.match,
    kb_cli.readings,
    log_cli.questions,
    book_cli.book,
    rules_cli.diagnose,
):
    main.add_command(command)

for own in (runsheet_cli.runsheet, materials_cli.materials_group, upkeep_cli.upkeep_command):
    main.add_command(own)


@main.command(epilog="Example: standpipe serve --port 8750")
@data_option
@content_option
@click.option("--host", default="127.0.0.1", show_default=True)
@click.option("--port", type=click.IntRange(1, 65535), default=8750, show_default=True)
@click.option("--demo", "is_demo", is_flag=True, help="Fill a throw-away folder with the demo.")
@click.option("--threads", type=click.IntRange(1, 64), default=serving.THREADS, show_default=True)
@click.option(
    "--proxies",
    type=click.IntRange(0, 5),
    default=0,
    show_default=True,
    help="How many proxies of your own stand in front; their X-Forwarded headers are believed.",
)
@click.option("--access-log", metavar="FILE|-", help="Note every request here.")
@click.option("--error-log", metavar="FILE|-", help="Note faults here, not on standard error.")
@plainly
def serve(
    data: Path | None,
    content: Path | None,
    host: str,
    port: int,
    is_demo: bool,
    threads: int,
    proxies: int,
    access_log: str | None,
    error_log: str | None,
) -> None:
    """Serve the site until told to stop; requests under way are finished first."""
    _log_faults(error_log)
    with _folder_for(data, content, is_demo) as folder, serving.only_server(folder):
        own = config.content_folder(content)
        settings = config.read_settings(own)
        if settings.address == config.DEFAULT_ADDRESS:
            settings = config.at(settings, host, port)
        values = {"DATA": folder, "CONTENT": own, "SETTINGS": settings}
        app = create_app(values | (demo.CONFIG if is_demo else {}))
        database = open_database(Path(folder) / FILE_NAME)
        try:
            if is_demo:
                demo.fill(database, app)
            _group_in_background(app, Path(folder) / FILE_NAME)
            _announce(database, settings)
        finally:
            database.close()
        stop = ageing.every_day(Path(folder) / FILE_NAME, settings.keep_names_months)
        try:
            serving.serve(app, host, port, threads=threads, proxies=proxies, access_log=access_log)
        finally:
            stop.set()


@main.command(epilog="Example: standpipe passphrase")
@data_option
@content_option
@click.option("--random", "invent", is_flag=True, help="Make one up and print it.")
@plainly
def passphrase(data: Path | None, content: Path | None, invent: bool) -> None:
    """Set the keeper's passphrase; every open desk is closed by it."""
    folder = config.data_folder(data, config.content_folder(content))
    if invent:
        words = security.new_passphrase()
    else:
        words = click.prompt("New passphrase", hide_input=True, confirmation_prompt=True)
    database = open_database(folder / FILE_NAME)
    try:
        security.set_passphrase(database, words, now=datetime.datetime.now(datetime.UTC))
    finally:
        database.close()
    click.echo(f"The passphrase is: {words}" if invent else "The passphrase is set.")


@main.command(epilog="Example: standpipe new my-site")
@click.argument("folder", type=click.Path(path_type=Path))
@plainly
def new(folder: Path) -> None:
    """Make FOLDER for a site of your own: settings, articles, rules and data."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise KbError(f"{folder} exists already and is not empty; name a new folder.")
    partial = folder.with_name(f".{folder.name}.new")
    try:
        shutil.rmtree(partial, ignore_errors=True)
        for part in ("articles", "rules/symptoms", "data"):
            (partial / part).mkdir(parents=True)
        settings = (files("web") / "demo" / config.SETTINGS_FILE).read_text("utf-8")
        (partial / config.SETTINGS_FILE).write_text(settings, "utf-8")
        if folder.exists():
            folder.rmdir()
        partial.rename(folder)
    except OSError as error:
        shutil.rmtree(partial, ignore_errors=True)
        raise KbError(f"{folder} cannot be made: {error.strerror}.") from error
    click.echo(f"{folder} is ready. Serve it with: standpipe serve --content {folder}")


@main.command(epilog="Example: standpipe validate --content my-site")
@content_option
@plainly
def validate(content: Path | None) -> None:
    """Check every article, rule, source, link and number."""
    problems = [*_scattered(), *_content_problems(content)]
    for problem in problems:
        click.echo(str(problem))
    faults = [problem for problem in problems if not problem.message.startswith("remark:")]
    click.echo(f"{len(faults)} faults, {len(problems) - len(faults)} remarks.", err=True)
    raise SystemExit(FOUND_PROBLEMS if faults else 0)


@main.command(epilog="Example: standpipe migrate --data my-site/data")
@data_option
@content_option
@plainly
def migrate(data: Path | None, content: Path | None) -> None:
    """Bring the database up to date; serving does so too."""
    path = config.data_folder(data, config.content_folder(content)) / FILE_NAME
    open_database(path).close()
    click.echo(f"{path} is up to date.")


@main.command(epilog="Example: standpipe backup standpipe-2026-03-31.db")
@click.argument("file", type=click.Path(dir_okay=False, path_type=Path))
@data_option
@content_option
@plainly
def backup(file: Path, data: Path | None, content: Path | None) -> None:
    """Write a consistent copy of the question log to FILE, while the site runs."""
    path = config.data_folder(data, config.content_folder(content)) / FILE_NAME
    if not path.exists():
        raise KbError(f"There is no question log in {path.parent}; nothing was copied.")
    database = open_database(path)
    try:
        copy_database(database, file)
    finally:
        database.close()
    click.echo(f"{file} is written.")


@main.command(epilog="Example: standpipe restore standpipe-2026-03-31.db")
@click.argument("file", type=click.Path(dir_okay=False, path_type=Path))
@data_option
@content_option
@plainly
def restore(file: Path, data: Path | None, content: Path | None) -> None:
    """Put the copy in FILE in the place of the question log; the old one is kept beside it."""
    path = config.data_folder(data, config.content_folder(content)) / FILE_NAME
    with serving.only_server(path.parent):
        restore_database(file, path)
    click.echo(f"{path} is restored from {file}.")


@contextmanager
def _folder_for(data: Path | None, own: Path | None, is_demo: bool) -> Iterator[Path]:
    if not is_demo:
        yield config.data_folder(data, config.content_folder(own))
        return
    with tempfile.TemporaryDirectory(prefix="standpipe-demo-") as folder:
        yield Path(folder)


def _group_in_background(app: Flask, path: Path) -> None:
    """Read the groups of the log while the site already answers, and group what has none yet."""

    def work() -> None:
        try:
            database = open_database(path)
            try:
                app.extensions["grouper"].catch_up(database)
            finally:
                database.close()
        except KbError as error:
            app.logger.error("questions not grouped: %s", error)

    threading.Thread(target=work, name="grouping", daemon=True).start()


def _announce(database: Database, settings: config.Settings) -> None:
    click.echo(f"{settings.name} is at {settings.address}/")
    if keeper.passphrase_hash(database) is None:
        words = security.new_passphrase()
        security.set_passphrase(database, words, now=datetime.datetime.now(datetime.UTC))
        click.echo(f"The desk is at {settings.address}/desk/ and its passphrase is: {words}")
        click.echo("It is shown this once; change it with “standpipe passphrase”.")
    sys.stdout.flush()


def _log_faults(target: str | None) -> None:
    logging.basicConfig(level=logging.INFO, format=LOG_FORM, datefmt=access_log.MOMENT)
    if target:
        logging.getLogger().handlers = [access_log.handler(target, LOG_FORM)]
    logging.getLogger("waitress").setLevel(logging.WARNING)
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # a full queue is no fault


def _content_problems(folder: Path | None) -> list[Problem]:
    own = config.content_folder(folder)
    config.read_settings(own)
    try:
        return content.problems(content.load(own))
    except ContentErrors as error:
        return list(error.problems)


def _scattered() -> list[Problem]:
    """A fault if another distribution's package of the same name got in the way of ours."""
    homes = {}
    for name in PACKAGES:
        spec = find_spec(name)
        homes[name] = Path(str(spec.origin)).parent.parent if spec and spec.origin else None
    if len(set(homes.values())) == 1:
        return []
    places = ", ".join(f"{name} in {home}" for name, home in homes.items())
    return [Problem("installation", "packages", f"do not lie in one folder: {places}.")]
