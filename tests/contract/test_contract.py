"""House rules that no type checker sees: rooms, sizes, words, and the table of fault codes."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchleaf.report.codes import codes

CHECKOUT = Path(__file__).resolve().parents[2]
PACKAGE = CHECKOUT / "compiler" / "benchleaf"
MODULES = sorted(PACKAGE.rglob("*.py"))
TREES = {path.relative_to(PACKAGE).as_posix(): ast.parse(path.read_text(encoding="utf-8")) for path in MODULES}
CODE = re.compile(r"[a-z][a-z0-9-]*/[a-z][a-z0-9-]*")


def test_rooms_import_only_from_rooms_below() -> None:
    command = "import sys; sys.path.insert(0, 'compiler'); from importlinter.cli import lint_imports; sys.exit(lint_imports())"
    done = subprocess.run([sys.executable, "-c", command], cwd=CHECKOUT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "0 broken" in done.stdout


@pytest.mark.parametrize("name", TREES)
def test_modules_are_small(name: str) -> None:
    assert len((PACKAGE / name).read_text(encoding="utf-8").splitlines()) <= 350


def _public(body: list[ast.stmt]) -> Iterator[ast.FunctionDef | ast.ClassDef]:
    """Public definitions, and those inside public classes; bodies of a bare `...` are shapes for the type checker."""
    for node in body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            bare = len(node.body) == 1 and isinstance(node.body[0], ast.Expr) and getattr(node.body[0].value, "value", None) is Ellipsis
            if not bare:
                yield node
            if isinstance(node, ast.ClassDef):
                yield from _public(node.body)


def _undocumented(name: str, tree: ast.Module) -> Iterator[str]:
    if ast.get_docstring(tree) is None:
        yield name
    yield from (f"{name}: {node.name}" for node in _public(tree.body) if ast.get_docstring(node) is None)


@pytest.mark.parametrize("name", TREES)
def test_everything_public_says_what_it_means(name: str) -> None:
    assert list(_undocumented(name, TREES[name])) == []


EXACT = [name for name in TREES if name.startswith(("standards/", "operations/", "units/", "workshop/")) and not name.endswith("sketches.py")]


@pytest.mark.parametrize("name", EXACT)
def test_sums_are_exact(name: str) -> None:
    """No float but in drawings, which are shown and never computed with."""
    for node in ast.walk(TREES[name]):
        assert not (isinstance(node, ast.Constant) and isinstance(node.value, float)), f"{name}:{node.lineno}"
        if not name.startswith("operations/"):  # an operation may show an angle that is only compared
            assert not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "float"), f"{name}:{node.lineno}"


@pytest.mark.parametrize("name", TREES)
def test_nothing_reaches_for_the_network_or_runs_commands(name: str) -> None:
    barred = {"socket", "ssl", "urllib.request", "http", "requests", "subprocess", "pickle", "shelve"}
    imported = {alias.name for node in ast.walk(TREES[name]) if isinstance(node, ast.Import) for alias in node.names}
    imported |= {node.module or "" for node in ast.walk(TREES[name]) if isinstance(node, ast.ImportFrom)}
    # One module answers a browser of the same computer, and nothing else (tests/preview holds it to the loopback address).
    imported -= {"http.server"} if name == "preview/server.py" else set()
    # One module asks git for earlier states of a workshop, without a shell (tests/binder).
    imported -= {"subprocess"} if name == "binder/revisions.py" else set()
    assert not {module for module in imported if module in barred or module.split(".")[0] in barred - {"urllib.request"}}
    called = {node.func.id for node in ast.walk(TREES[name]) if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)}
    assert not called & {"eval", "exec", "compile", "print"}


def _raised() -> set[str]:
    """Every fault code that the program can raise: words of a code's shape where a code belongs, or in an area that the table knows."""
    areas = {code.partition("/")[0] for code in codes()}
    found: set[str] = set()
    for tree in TREES.values():
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and CODE.fullmatch(node.value) and node.value.partition("/")[0] in areas:
                found.add(node.value)
            if isinstance(node, ast.Call) and node.args and isinstance(node.args[0], ast.Constant) and isinstance(node.args[0].value, str):
                called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
                first = node.args[0].value
                if called in ("Diagnostic", "error", "warning", "note") and CODE.fullmatch(first):
                    found.add(first)
    return found


def test_every_fault_code_is_explained_and_every_explained_code_is_raised() -> None:
    table, raised = set(codes()), _raised()
    raised.discard("pdf/ua-1")  # the name of a kind of PDF (ISO 14289-1)
    assert len(raised) > 50
    assert (sorted(raised - table), sorted(table - raised)) == ([], [])


def tracked() -> list[Path]:
    """Files under version control, or every text file of the checkout where there is none."""
    done = subprocess.run(["git", "ls-files", "-z"], cwd=CHECKOUT, capture_output=True, text=True, check=False)
    if done.returncode == 0:
        return [CHECKOUT / name for name in done.stdout.split("\0") if name]
    return [path for path in CHECKOUT.rglob("*") if path.is_file() and ".venv" not in path.parts]


# Put together here so that this file does not hold the words itself.
BARRED = re.compile("|".join(["trans" + "cript", "seed " + "document", r"\bvid" + "eo", r"\bhel" + r"pers?\b", "work/" + "shared", r"\bshared/" + r"\w"]), re.IGNORECASE)


def test_barred_words_stay_out() -> None:
    found = []
    for path in tracked():
        name = path.relative_to(CHECKOUT).as_posix()
        if BARRED.search(name):
            found.append(name)
        try:
            text = path.read_text(encoding="utf-8")
        except (UnicodeDecodeError, FileNotFoundError):
            continue
        found += [f"{name}:{number}: {line.strip()[:80]}" for number, line in enumerate(text.splitlines(), 1) if BARRED.search(line)]
    assert found == []


def test_the_readme_has_exactly_the_two_commands_that_the_pipeline_runs() -> None:
    readme = (CHECKOUT / "README.md").read_text(encoding="utf-8")
    blocks = re.findall(r"^```sh\n(.*?)^```$", readme, re.MULTILINE | re.DOTALL)
    assert len(blocks) == 2
    assert all(len(re.sub(r"\\\n", " ", block).strip().splitlines()) == 1 for block in blocks), "each is one line to copy and paste"
    pipeline = (CHECKOUT / ".ci" / "run").read_text(encoding="utf-8")
    assert "README.md" in pipeline
    assert "pytest" not in pipeline, "what is run is written in the README alone"
