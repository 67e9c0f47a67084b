"""Find texts in Python code that are shown to people and that nobody marked for translation."""

import ast
from collections.abc import Iterator
from pathlib import Path

from tests.house.template_words import LETTER

SHOWN = frozenset({"help_text", "label", "verbose_name", "empty_label", "words", "title"})
SHOWN_IN_META = frozenset({"labels", "help_texts", "error_messages"})
TO_OTHERS = ("ManyToManyField", "OneToOneField")  # these name a model
CHOICES = frozenset({"TextChoices", "IntegerChoices"})
MESSAGES = frozenset({"debug", "info", "success", "warning", "error"})


def unmarked(path: Path) -> Iterator[tuple[int, str]]:
    """Line and text of each literal in a place that people read."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        for value in _shown(node):
            yield from _bare(value)


def _shown(node: ast.AST) -> Iterator[ast.expr]:
    """The expressions of a node that end up before somebody's eyes."""
    if isinstance(node, ast.Call):
        name = ast.unparse(node.func)
        if name not in {"record", "audit.record"}:  # the trail is kept in one language
            yield from (k.value for k in node.keywords if k.arg in SHOWN)
        if (
            name.startswith("models.")
            and name.endswith("Field")
            and not name.endswith(TO_OTHERS)
            and node.args
        ):
            yield node.args[0]
        if name.endswith("ValidationError") and node.args:
            yield node.args[0]
        if name.startswith("messages.") and name.split(".")[1] in MESSAGES and len(node.args) > 1:
            yield node.args[1]
        if name.endswith(".add_error") and len(node.args) > 1:
            yield node.args[1]
    elif isinstance(node, ast.Raise) and isinstance(node.exc, ast.Call) and node.exc.args:
        if _of_domain(ast.unparse(node.exc.func)):
            yield node.exc.args[0]
    elif isinstance(node, ast.ClassDef):
        yield from _of_class(node)


OF_PYTHON = frozenset(
    {"ValueError", "TypeError", "KeyError", "LookupError", "RuntimeError", "AssertionError", "NotImplementedError",
     "CommandError", "ImproperlyConfigured", "AttributeError", "OSError", "SystemExit", "StopIteration",
     "AppendOnlyError", "ObjectStoreError"}  # a fault of the program or the machine, for whoever runs it
)  # fmt: skip


def _of_domain(name: str) -> bool:
    """Errors of ours end before people; the language's own and those of commands do not."""
    last = name.rpartition(".")[2]
    return (last.endswith("Error") or last == "PermissionDenied") and last not in OF_PYTHON


def _of_class(node: ast.ClassDef) -> Iterator[ast.expr]:
    is_choices = any(ast.unparse(base).rpartition(".")[2] in CHOICES for base in node.bases)
    for each in node.body:
        if not isinstance(each, ast.Assign):
            continue
        if is_choices and isinstance(each.value, ast.Tuple):
            yield each.value.elts[-1]
        target = each.targets[0]
        if node.name == "Meta" and isinstance(target, ast.Name) and target.id in SHOWN_IN_META:
            yield from _leaves(each.value)


def _leaves(value: ast.expr) -> Iterator[ast.expr]:
    if isinstance(value, ast.Dict):
        for inner in value.values:
            yield from _leaves(inner)
    else:
        yield value


def _bare(value: ast.expr) -> Iterator[tuple[int, str]]:
    """The value itself where it is a text, and both ends of a choice between two."""
    if isinstance(value, ast.IfExp):
        yield from _bare(value.body)
        yield from _bare(value.orelse)
    elif isinstance(value, ast.JoinedStr):
        texts = [part.value for part in value.values if isinstance(part, ast.Constant)]
        if any(" " in str(text).strip() for text in texts):
            yield value.lineno, ast.unparse(value)
    elif isinstance(value, ast.BinOp):
        yield from _bare(value.left)
        if isinstance(value.op, ast.Add):
            yield from _bare(value.right)
    elif isinstance(value, ast.Constant) and isinstance(value.value, str) and LETTER.search(value.value):
        yield value.lineno, value.value
