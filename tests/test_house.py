"""The rooms of the house: what each may import, where SQL may stand, and that every query has the shop.

Read from the source itself (ast). Each rule has a control that breaks it, so that a rule which never fires is noticed.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.conftest import LONGEST

SERVICE = Path(__file__).parent.parent / "service"
SQL = re.compile(
    r"^\s*(--[^\n]*\n\s*)*(SELECT\b.+\bFROM\b|INSERT\s+(OR\s+\w+\s+)?INTO\b|UPDATE\s+\w+\s+SET\b|DELETE\s+FROM\b|WITH\s+\w+.*\bAS\s*\("
    r"|(CREATE|ALTER|DROP)\s+(UNIQUE\s+)?(TABLE|INDEX|VIEW|TRIGGER)\b|PRAGMA\s+\w+|BEGIN\b|COMMIT\b|ROLLBACK\b|REPLACE\s+INTO\b)",
    re.IGNORECASE | re.DOTALL,
)
TABLES = re.compile(r"\b(?:FROM|JOIN|INTO|UPDATE)\s+([a-z_]+)", re.IGNORECASE)
# The queries that find the shop, by a secret that its holder shows or as the only one of an embedded book.
FINDS_THE_SHOP = {
    ("device.py", "by_token"): "the shop is found by the hash of a token",
    ("device.py", "use_code"): "the shop is found by the hash of a one-time code",
    ("link.py", "by_token"): "the shop is found by the hash of a link's secret",
    ("shop.py", "first"): "an embedded book holds one shop, which the first start and the command line ask for",
}
NO_SHOP_INSIDE = {"sqlite_master", "json_each", "one", "shops"}


def sources(folder: Path) -> Iterator[tuple[Path, ast.Module]]:
    for path in sorted(folder.rglob("*.py")):
        yield path, ast.parse(path.read_text(encoding="utf-8"))


def imported(tree: ast.Module, package: str) -> set[str]:
    """Everything a module imports, relative imports made absolute."""
    found: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {name.name for name in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = ".".join(package.split(".")[: -node.level + 1 or None]) if node.level else ""
            module = ".".join(filter(None, (base if node.level else "", node.module or "")))
            found |= {module} | {f"{module}.{name.name}" for name in node.names}
    return found


def forbidden(tree: ast.Module, package: str, names: tuple[str, ...]) -> list[str]:
    return sorted(
        module
        for module in imported(tree, package)
        if any(module == name or module.startswith(name + ".") for name in names)
    )


def package_of(path: Path) -> str:
    return ".".join(path.relative_to(SERVICE.parent).parent.parts)


def texts(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Every text that the code holds, joined ones as one; holes of an f-string become {}. Docstrings are left out."""
    docs = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.FunctionDef | ast.ClassDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    inside: set[int] = set()
    for node in ast.walk(tree):
        if id(node) in docs or id(node) in inside:
            continue
        if isinstance(node, ast.BinOp | ast.JoinedStr | ast.Constant):
            text = _text(node)
            if text is not None:
                inside |= {id(below) for below in ast.walk(node)}
                yield node.lineno, text


def _text(node: ast.AST) -> str | None:
    if isinstance(node, ast.Constant):
        return node.value if isinstance(node.value, str) else None
    if isinstance(node, ast.JoinedStr):
        return "".join(part.value if isinstance(part, ast.Constant) else "{}" for part in node.values)
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add):
        left, right = _text(node.left), _text(node.right)
        return None if left is None and right is None else (left or "{}") + (right or "{}")
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Mult):
        return _text(node.left)
    return None


def lacks_the_shop(tree: ast.AST) -> list[tuple[str, str]]:
    """Queries of a module of the store in which a table of the shop's is reached without its shop_id.

    Each part between FROM, JOIN or set operators must hold shop_id; a DDL statement must lead each key with it.
    """
    found = []
    for function, statement in _statements(tree):
        upper = statement.upper()
        if upper.lstrip().startswith("CREATE"):
            key = re.search(r"PRIMARY KEY \(([^)]*)\)", statement)
            if "TABLE" in upper.split("(")[0] and key and not key.group(1).startswith("shop_id"):
                found.append((function, statement))
            if "INDEX" in upper.split("(")[0] and not re.search(r"\(\s*shop_id", statement):
                found.append((function, statement))
            continue
        reached = [table.lower() for table in TABLES.findall(statement) if table.lower() not in NO_SHOP_INSIDE]
        scoped = len(re.findall(r"shop_id\s*=|\(\s*shop_id\b|=\s*\w+\.shop_id", statement))
        # One condition on the shop for each table that is reached.
        if scoped < len(reached):
            found.append((function, statement))
        if "shops" in statement and "shop_id" not in statement:
            found.append((function, statement))
    return found


def _statements(tree: ast.AST) -> Iterator[tuple[str, str]]:
    functions = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]
    lines = [(f.lineno, f.end_lineno, f.name) for f in functions]
    for line, text in texts(tree):
        if SQL.match(text):
            yield next((name for first, last, name in lines if first <= line <= last), "<module>"), text


@pytest.mark.parametrize("path", sorted((SERVICE / "domain").rglob("*.py")), ids=lambda path: path.name)
def test_domain_is_pure(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names = ("flask", "flask_smorest", "marshmallow", "webargs", "werkzeug", "sqlite_utils", "sqlite3", "pysqlite3",
             "schemas", "requests", "scipy.stats", "statsmodels", "pint", "service.store", "service.routes",
             "service.record", "service.book", "service.auth", "service.errors", "service.catalogue")  # fmt: skip
    assert forbidden(tree, package_of(path), names) == []
    others = {m for m in imported(tree, package_of(path)) if m.startswith("service.")}
    assert {m for m in others if not m.startswith("service.domain")} == set()


def test_store_knows_neither_routes_nor_schemas():
    for path, tree in sources(SERVICE / "store"):
        names = ("flask", "marshmallow", "schemas", "service.routes", "service.record", "service.domain")
        assert forbidden(tree, package_of(path), names) == [], path


def test_routes_hold_no_sql_library_and_are_imported_by_nobody_but_the_factory():
    for path, tree in sources(SERVICE / "routes"):
        assert forbidden(tree, package_of(path), ("sqlite_utils", "sqlite3", "pysqlite3")) == [], path
    for path, tree in sources(SERVICE):
        if path.parent.name != "routes" and path.name not in ("__init__.py", "openapi.py"):
            assert forbidden(tree, package_of(path), ("service.routes",)) == [], path


def test_sql_stands_in_the_store_only():
    found = []
    for path, tree in sources(SERVICE):
        if path.is_relative_to(SERVICE / "store"):
            continue
        found += [(path.name, line, text[:60]) for line, text in texts(tree) if SQL.match(text)]
    assert found == []


def test_every_query_has_the_shop():
    found = []
    for path, tree in sources(SERVICE / "store"):
        for function, statement in lacks_the_shop(tree):
            if (path.name, function) not in FINDS_THE_SHOP:
                found.append((path.name, function, statement[:200]))
    assert found == []


def test_the_exceptions_are_still_there_and_still_give_the_shop():
    for (file, function), _ in FINDS_THE_SHOP.items():
        tree = ast.parse((SERVICE / "store" / file).read_text(encoding="utf-8"))
        statements = [text for name, text in _statements(tree) if name == function]
        assert any("shop_id" in text for text in statements), (file, function)


BREAKS_THE_SHOP = [
    'def get(db, id):\n    return row(db, "SELECT body FROM bikes WHERE id = ?", (id,))',
    'def put(db, b):\n    db.execute("UPDATE jobs SET state = ? WHERE id = ?", b)',
    'def gone(db, id):\n    db.execute("DELETE FROM photos WHERE sha256 = ?", (id,))',
    'def add(db, b):\n    db.execute("INSERT INTO gauges (id, body) VALUES (?, ?)", b)',
    'def join(db):\n    rows(db, "SELECT e.id FROM entries e JOIN jobs j ON j.id = e.job_id WHERE e.shop_id = ?")',
    'def sub(db):\n    rows(db, "SELECT id FROM jobs WHERE shop_id = ? AND id IN (SELECT job_id FROM records)")',
    'def union(db):\n    rows(db, "SELECT id FROM jobs WHERE shop_id = ? UNION SELECT id FROM bikes")',
    'C = "id, body"\ndef f(db):\n    rows(db, f"SELECT {C} FROM bikes WHERE seq > ?")',
    'def f(db, like):\n    rows(db, "SELECT id FROM bikes WHERE seq > ?" + " AND search LIKE ?" * len(like))',
    'def ddl(db):\n    db.execute("CREATE TABLE n (id TEXT NOT NULL, shop_id TEXT, PRIMARY KEY (id, shop_id)) STRICT")',
    'def index(db):\n    db.execute("CREATE INDEX notes_by_time ON notes (at, shop_id)")',
]


@pytest.mark.parametrize("source", BREAKS_THE_SHOP)
def test_a_query_without_the_shop_is_caught(source):
    assert lacks_the_shop(ast.parse(source)), source


@pytest.mark.parametrize(
    "source",
    [
        "import flask",
        "from service.store import bike",
        "from service import store",
        "from ..store import bike",
        "from .. import store",
        "def f():\n    import schemas.entry",
    ],
)
def test_an_import_into_domain_is_caught(source):
    names = ("flask", "schemas", "service.store")
    assert forbidden(ast.parse(source), "service.domain", names), source


@pytest.mark.parametrize(
    "source",
    [
        'x = "SELECT id FROM bikes"',
        'x = f"SELECT {y} FROM bikes"',
        'x = "select id " + "from bikes"',
        'x = """\n  UPDATE bikes SET label = 1"""',
        'db.execute("DELETE FROM bikes")',
        'db.execute("PRAGMA synchronous = OFF")',
    ],
)
def test_sql_outside_the_store_is_caught(source):
    assert [text for _, text in texts(ast.parse(source)) if SQL.match(text)], source


def test_words_that_look_like_sql_are_not():
    for text in ("Select a bike from the list", "Update the app", "Begin at twelve o'clock", "With two tips"):
        tree = ast.parse(f"x = {text!r}")
        if text.startswith(("Update", "With")):
            assert not [t for _, t in texts(tree) if SQL.match(t)], text


def test_the_longest_test_files_are_there():
    found = {path.name for path in Path(__file__).parent.rglob("test_*.py")}
    assert set(LONGEST) <= found
