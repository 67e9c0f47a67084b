"""The house rules that a machine can check, as tests over the source tree."""

import ast
import importlib
import inspect
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

pytestmark = pytest.mark.once
ROOT = Path(__file__).resolve().parents[2]
APPS = ("people", "permissions", "hunts", "finds", "field", "reports", "doors", "keeping")
CODE = (*APPS, "config", "web", "geo", "law")


def _files(*folders: str) -> list[Path]:
    return sorted(
        path for folder in folders for path in (ROOT / folder).rglob("*.py") if "migrations" not in path.parts
    )


def _trees(*folders: str) -> Iterator[tuple[str, ast.Module]]:
    for path in _files(*folders):
        yield str(path.relative_to(ROOT)), _parsed(path)


@cache
def _parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def _is_interface(name: str) -> bool:
    return any(part in name for part in ("/views", "/forms")) and not name.startswith("web/")


def test_every_module_says_what_it_is() -> None:
    bare = [name for name, tree in _trees(*CODE) if tree.body and not ast.get_docstring(tree)]
    assert bare == []


def test_no_file_is_longer_than_300_lines() -> None:
    long = [(str(p.relative_to(ROOT)), n) for p in _files(*CODE) if (n := p.read_text().count("\n")) > 300]
    assert long == []


def _functions(tree: ast.Module) -> Iterator[ast.FunctionDef]:
    return (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef))


def _length(node: ast.FunctionDef) -> int:
    first = node.body[0]
    docstring = (first.end_lineno or 0) - first.lineno + 1 if ast.get_docstring(node) else 0
    return (node.end_lineno or 0) - node.lineno + 1 - docstring


def test_no_function_is_longer_than_50_lines() -> None:
    long = [
        (name, f.name, _length(f))
        for name, tree in _trees(*CODE)
        for f in _functions(tree)
        if _length(f) > 50
    ]
    assert long == []


def test_views_and_forms_ask_what_is_visible() -> None:
    """After `.objects` comes `visible_to(user)` wherever the model can hide rows."""
    hiding = _models_that_hide_rows()
    wrong = [
        f"{name}:{node.lineno} {node.value.value.id}.objects.{node.attr}"
        for name, tree in _trees(*APPS)
        if _is_interface(name)
        for node in ast.walk(tree)
        if isinstance(node, ast.Attribute)
        and isinstance(node.value, ast.Attribute)
        and node.value.attr == "objects"
        and isinstance(node.value.value, ast.Name)
        and node.value.value.id in hiding
        and node.attr != "visible_to"
    ]
    assert wrong == []


def _models_that_hide_rows() -> set[str]:
    return {
        cls.name.removesuffix("QuerySet")
        for _, tree in _trees(*APPS)
        for cls in ast.walk(tree)
        if isinstance(cls, ast.ClassDef) and cls.name.endswith("QuerySet")
        if any(isinstance(f, ast.FunctionDef) and f.name == "visible_to" for f in cls.body)
    }


WRITES = {
    "save",
    "create",
    "bulk_create",
    "update_or_create",
    "get_or_create",
    "bulk_update",
    "update",
    "delete",
}


def test_only_actions_write() -> None:
    """In views and forms nothing saves, creates, updates or deletes rows."""
    wrong = [
        f"{name}:{node.lineno} {ast.unparse(node.func)}"
        for name, tree in _trees(*APPS)
        if _is_interface(name)
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in WRITES
        and ".objects." in ast.unparse(node.func)
    ]
    assert wrong == []


CLOCK = re.compile(r"\b(now|localdate|localtime)\(\)|\bdate\.today\(|\bdatetime\.now\(")
MAY_ASK_THE_CLOCK = ("/views", "/management/", "people/models/user.py", "/demo/")


def test_only_views_and_commands_ask_the_clock() -> None:
    """Who and when are arguments; people/models/user.py is the one exception and says why."""
    wrong = [
        f"{path.relative_to(ROOT)}:{number}"
        for path in _files(*CODE)
        if not any(part in str(path.relative_to(ROOT)) for part in MAY_ASK_THE_CLOCK)
        for number, line in enumerate(path.read_text().splitlines(), 1)
        if CLOCK.search(line.split("#")[0])
    ]
    assert wrong == []


@pytest.mark.parametrize("app", APPS)
def test_actions_are_transactions(app: str) -> None:
    """Every action an app offers is one transaction, keyword-only in who (or by which door) and when."""
    if not (ROOT / app / "actions").exists():
        pytest.skip(f"{app} has no actions")
    actions = importlib.import_module(f"{app}.actions")
    wrong = []
    for name in actions.__all__:
        action = getattr(actions, name)
        if not inspect.isfunction(action):
            continue
        keywords = {p.name for p in inspect.signature(action).parameters.values() if p.kind is p.KEYWORD_ONLY}
        atomic = "atomic" in inspect.getsource(action)
        if not atomic or not ({"by", "via"} & keywords and {"at", "on"} & keywords):
            wrong.append(name)
    assert wrong == []


POINT = re.compile(r"\.(lon|lat)\b")


def test_points_leave_only_through_sensitivity() -> None:
    """Views, forms, templates and reports never read a stored `.lon` or `.lat`."""
    python = [p for p in _files(*APPS) if _is_interface(str(p.relative_to(ROOT))) or p.parts[-2] == "reports"]
    pages = sorted((ROOT / "templates").rglob("*.html"))
    allowed = re.compile(r"(point|shown|square|site|gate|centre)\.(lon|lat)\b")
    wrong = [
        f"{path.relative_to(ROOT)}:{number}"
        for path in [*python, *pages]
        for number, line in enumerate(path.read_text().splitlines(), 1)
        if POINT.search(allowed.sub("", line))
    ]
    assert wrong == []


# `find.count` is a column (how many objects); `block.all` is what everybody covered together.
QUERY_IN_TEMPLATE = re.compile(r"(?<!find)(?<!block)\.(all|filter|count|exists)\b(?! *=)")
WORDS_IN_TAG = re.compile(r"""(translate +|_\()("[^"]*"|'[^']*')""")  # what is said there is no code


def test_templates_hold_no_query_and_no_role_test() -> None:
    wrong = [
        f"{path.relative_to(ROOT)}:{number}: {line.strip()}"
        for path in sorted((ROOT / "templates").rglob("*.html"))
        for number, line in enumerate(path.read_text().splitlines(), 1)
        for tag in re.findall(r"{[{%].*?[%}]}", WORDS_IN_TAG.sub("", line))
        if QUERY_IN_TEMPLATE.search(tag) or "user.roles" in tag or "holds" in tag
    ]
    assert wrong == []


def test_templates_carry_no_inline_style_or_script() -> None:
    inline = re.compile(r"\sstyle=|\son[a-z]+=\"|<style|<script(?![^>]*\bsrc=)(?![^>]*application/json)")
    wrong = [
        f"{path.relative_to(ROOT)}:{number}"
        for path in sorted((ROOT / "templates").rglob("*.html"))
        # An e-mail and a page of the proxy's have no style sheet to ask for, and no policy of ours to refuse it.
        if "mail" not in path.parts and path.name != "proxy.html"
        for number, line in enumerate(path.read_text().splitlines(), 1)
        if inline.search(line)
    ]
    assert wrong == []


SCRIPTS = sorted(path for folder in ("js", "src") for path in (ROOT / "static" / folder).rglob("*.*js"))


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda p: p.name)
def test_scripts_are_short_modules(path: Path) -> None:
    assert path.read_text().count("\n") <= 100


def test_nothing_is_left_to_do() -> None:
    marks = re.compile(r"\b(TO" + r"DO|FIX" + r"ME|XX" + r"X)\b")
    wrong = [str(p.relative_to(ROOT)) for p in _files(*CODE, "tests") if marks.search(p.read_text())]
    assert wrong == []
