"""SQL is written by us alone: what comes from outside goes in as a parameter.

Read out of the source: no text that is given to the database may be put together from anything that
leads back to what the function around it was given.
"""

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
FILES = [*sorted((ROOT / "kb" / "store").glob("*.py")), ROOT / "kb" / "matching" / "shelf.py"]
LOOKED_AT = {
    ("questions.py", "_insert_sql(tuple(row))"): "the names of our own columns",
    ("people.py", "'select id from questions where ' + where"): "two conditions, both ours",
    ("recordings.py", "sql"): "conditions written by the functions that call it",
    ("triage.py", "f'select count(*) as n from questions where {where}'"): "a section's condition",
    ("triage.py", "sql"): "a section's condition and order",
}
CALLS = ("execute", "executemany", "executescript", "query", "rows_where", "count_where")


def statements(tree):
    """Every call that gives the database a statement, with the function around it."""
    for function in ast.walk(tree):
        if isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef):
            for node in ast.walk(function):
                is_call = isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)
                if is_call and node.func.attr in CALLS and node.args:
                    yield function, node


def comes_from_outside(node, function, seen=()):
    """Does any part that ends up in the text lead back to what the function was given?

    What only decides (the test of an “if”, the length of a list) ends up in no text.
    """

    def outside(part):
        return part is not None and comes_from_outside(part, function, seen)

    if isinstance(node, ast.Constant):
        return False
    if isinstance(node, ast.IfExp):
        return outside(node.body) or outside(node.orelse)
    if isinstance(node, ast.GeneratorExp | ast.ListComp):
        return outside(node.elt)
    if isinstance(node, ast.Subscript):
        return outside(node.value)  # one out of a table: what matters is the table
    if isinstance(node, ast.Compare) or (isinstance(node, ast.Call) and _is_length(node)):
        return False
    if isinstance(node, ast.Name):
        return node.id not in seen and _name_is_from_outside(node.id, function, (*seen, node.id))
    return any(outside(part) for part in ast.iter_child_nodes(node) if isinstance(part, ast.expr))


def _is_length(call):
    return isinstance(call.func, ast.Name) and call.func.id in ("len", "int")


def _name_is_from_outside(name, function, seen):
    given = function.args
    names = [arg.arg for arg in (*given.posonlyargs, *given.args, *given.kwonlyargs)]
    if name in [*names, *(arg.arg for arg in (given.vararg, given.kwarg) if arg)]:
        return True
    return any(comes_from_outside(value, function, seen) for value in _values(name, function))


def _values(name, function):
    """What a name is set to in a function, loops and comprehensions among them."""
    for node in ast.walk(function):
        if isinstance(node, ast.Assign):
            targets, value = node.targets, node.value
        elif isinstance(node, ast.AnnAssign | ast.AugAssign):
            targets, value = [node.target], node.value
        elif isinstance(node, ast.For | ast.comprehension):
            targets, value = [node.target], node.iter
        else:
            continue
        inside = {found.id for part in targets for found in ast.walk(part) if hasattr(found, "id")}
        if name in inside and value is not None:
            yield value


def faults(text):
    tree = ast.parse(text)
    return [
        ast.unparse(node.args[0])[:100]
        for function, node in statements(tree)
        if comes_from_outside(node.args[0], function)
    ]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_sql_holds_nothing_from_outside(path):
    found = [text for text in faults(path.read_text()) if (path.name, text) not in LOOKED_AT]
    assert found == []


@pytest.mark.parametrize(
    ("body", "found"),
    [
        ('db.execute(f"select * from t where a = {given}")', 1),
        ("db.execute(\"select * from t where a = '%s'\" % given)", 1),
        ('sql = "select " + given\n    db.query(sql)', 1),
        ('db.execute("select 1".format(given))', 1),
        ('db.execute("select ?", [given])', 0),
        (
            'where = "where a" if given else ""\n    db.query(f"select * from t {where}", [given])',
            0,
        ),
        ('marks = ", ".join("?" for _ in given)\n    db.query(f"select ({marks})", given)', 0),
        ("db.execute(ORDERS[given])", 0),
        ('db.query(f"select {LIMIT}")', 0),
        ('for part in given:\n        db.execute(f"delete from {part}")', 1),
        ('sql = " and ".join(f"{part} = ?" for part in given)\n    db.query(sql)', 1),
        ('for part in ("a", "b"):\n        db.execute(f"delete from {part}")', 0),
    ],
)
def test_the_reader_of_sql_tells_good_from_bad(body, found):
    text = f'LIMIT = 5\nORDERS = {{"a": "select 1"}}\ndef f(db, given):\n    {body}\n'
    assert len(faults(text)) == found
