"""Who may import whom: the arrows of the design, read out of the imports themselves."""

import ast
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
STDLIB_ONLY = ()
ALLOWED = {
    "kb.errors": ((), STDLIB_ONLY),
    "kb.science": (("kb.science",), STDLIB_ONLY),
    "kb.units": (("kb.units", "kb.errors"), STDLIB_ONLY),
    "kb.fields": (("kb.errors",), STDLIB_ONLY),
    "kb.sources": (("kb.errors", "kb.fields"), STDLIB_ONLY),
    "kb.cautions": (("kb.errors", "kb.fields"), STDLIB_ONLY),
    "kb.calculators": (
        ("kb.calculators", "kb.science", "kb.units", "kb.sources", "kb.cautions", "kb.errors"),
        STDLIB_ONLY,
    ),
    "kb.content": (
        (
            "kb.content", "kb.calculators", "kb.units", "kb.fields", "kb.sources",
            "kb.cautions", "kb.errors",
        ),
        ("markdown_it",),
    ),
    "kb.matching": (("kb.matching", "kb.fields", "kb.errors"), ("numpy", "rapidfuzz")),
    "kb.readings": (("kb.readings", "kb.units", "kb.errors"), STDLIB_ONLY),
    "kb.store": (("kb.store", "kb.errors"), ("sqlite_utils",)),
    "kb.book": (("kb.book", "kb.science", "kb.units", "kb.errors"), ("numpy",)),
    "kb.bookkeeping": (
        (
            "kb.bookkeeping", "kb.book", "kb.store", "kb.alarms", "kb.readings", "kb.calculators",
            "kb.science", "kb.units", "kb.errors",
        ),
        STDLIB_ONLY,
    ),
    "kb.take_in": (("kb.store", "kb.errors"), STDLIB_ONLY),
    "kb.grouping": (("kb.errors", "kb.matching", "kb.store"), ("sqlite_utils",)),
    "kb.intake": (
        ("kb.answers", "kb.errors", "kb.grouping", "kb.matching", "kb.store", "kb.take_in"),
        ("sqlite_utils",),
    ),
    "kb.asking": ((), STDLIB_ONLY),
    "kb.ageing": ((), STDLIB_ONLY),
    "kb.countries": (("kb.fields",), STDLIB_ONLY),
    "kb.link_check": ((), STDLIB_ONLY),
    "kb.upkeep": (("kb.ageing", "kb.content", "kb.matching", "kb.store"), ("sqlite_utils",)),
    "kb.materials": (
        ("kb.content", "kb.countries", "kb.errors", "kb.fields", "kb.store"), STDLIB_ONLY,
    ),
    "kb.recordings": (("kb.content", "kb.store", "kb.fields", "kb.errors"), STDLIB_ONLY),
    "kb.alarms": (
        ("kb.calculators", "kb.readings", "kb.units", "kb.fields", "kb.errors"), STDLIB_ONLY,
    ),
    "kb.answers": (
        (
            "kb.alarms", "kb.asking", "kb.calculators", "kb.content", "kb.errors", "kb.matching",
            "kb.readings", "kb.store",
        ),
        STDLIB_ONLY,
    ),
    "kb.columns": (("kb.take_in",), STDLIB_ONLY),
    "kb.drafting": (("kb.content", "kb.fields", "kb.errors"), STDLIB_ONLY),
    "kb.judging": (("kb.answers", "kb.content", "kb.store"), ("sqlite_utils",)),
    "kb.cli": (("kb",), ("click", "sqlite_utils")),
    "kb.log_cli": (("kb",), ("click", "sqlite_utils")),
    "kb.book_cli": (("kb",), ("click", "sqlite_utils")),
    "rules.cli": (("rules", "kb"), ("click",)),
    "rules": (
        (
            "rules", "kb.calculators", "kb.units", "kb.fields", "kb.sources", "kb.cautions",
            "kb.errors",
        ),
        STDLIB_ONLY,
    ),
    "web": (
        ("web", "kb", "rules"),
        (
            "argon2", "click", "flask", "flask_compress", "flask_login", "flask_wtf",
            "itsdangerous", "markupsafe",
            "platformdirs", "sqlite_utils", "waitress", "werkzeug",
            "zxcvbn",
        ),
    ),
}  # fmt: skip
OURS = ("kb", "rules", "web", "articles")


def modules():
    for package in OURS:
        for path in sorted((ROOT / package).rglob("*.py")):
            name = ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")
            yield pytest.param(path, name, id=name)


def imported(path, name):
    """Every module a file imports, by its full name."""
    package = name.split(".") if path.stem == "__init__" else name.split(".")[:-1]
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else []
            source = ".".join([*base, *([node.module] if node.module else [])])
            if source in ("kb", "rules", "web"):
                yield from (f"{source}.{alias.name}" for alias in node.names)
            else:
                yield source


def rule_of(name):
    parts = name.split(".")
    for length in range(len(parts), 0, -1):
        rule = ALLOWED.get(".".join(parts[:length]))
        if rule:
            return rule
    return (), ()


def within(module, allowed):
    return any(module == entry or module.startswith(f"{entry}.") for entry in allowed)


@pytest.mark.parametrize(("path", "name"), list(modules()))
def test_a_module_imports_only_what_its_layer_may(path, name):
    ours, others = rule_of(name)
    for module in imported(path, name):
        top = module.split(".")[0]
        if top in OURS:
            assert within(module, ours), f"{name} imports {module}"
        elif top not in sys.stdlib_module_names:
            assert top in others, f"{name} imports {module}"


def test_only_the_store_and_the_shelf_of_matching_speak_sql():
    users = {
        str(path.relative_to(ROOT))
        for package in OURS
        for path in (ROOT / package).rglob("*.py")
        if "import sqlite3" in path.read_text()
    }
    assert users == {"kb/store/database.py", "kb/matching/shelf.py"}


def test_nothing_but_a_command_prints():
    calls = [
        f"{path.relative_to(ROOT)}:{node.lineno}"
        for package in OURS
        for path in (ROOT / package).rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.Call)
        and ast.unparse(node.func) in ("print", "click.echo", "sys.stdout.write")
        and not path.name.endswith("cli.py")
    ]
    assert calls == []
