"""The packages keep to their layers: who may import whom, and what no source file may mention."""

import ast
import os
import re
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGES = ("model", "solvers", "scenarios")
ALLOWED = {"model": {"model"}, "solvers": {"solvers"}, "scenarios": set(PACKAGES)}
SYMBOLIC = {"mechanism", "assembly", "codegen", "derive", "compiled"}
"""Modules of `model` in which equations are derived or printed: they alone import SymPy, and nobody else imports them."""
EVERYTHING = sorted(path for package in PACKAGES for path in (ROOT / package).rglob("*.py"))
SOURCES = [path for path in EVERYTHING if "generated" not in path.parts]
LARGEST_MODULE = 500
"""Lines; a longer handwritten module is split."""


def name_of(path):
    """Dotted name of a source file."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@cache
def tree_of(path):
    """Parsed source."""
    return ast.parse(path.read_text(encoding="utf-8"))


@cache
def nodes_of(path):
    """All nodes of a source."""
    return tuple(ast.walk(tree_of(path)))


@cache
def imports_of(path):
    """Absolute dotted names of everything a file imports, at any depth, with the names taken from it."""
    package = path.relative_to(ROOT).parent.parts
    found = set()
    for node in nodes_of(path):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = ".".join(package[: len(package) - node.level + 1]) if node.level else ""
            module = ".".join(part for part in (base, node.module) if part)
            found |= {module} | {f"{module}.{alias.name}" for alias in node.names}
    return found


def tops(path):
    return {name.split(".")[0] for name in imports_of(path)}


@pytest.mark.parametrize("package", PACKAGES)
def test_packages_import_only_what_lies_below(package):
    """scenarios uses both; model and solvers know neither each other nor scenarios."""
    for path in SOURCES:
        if path.relative_to(ROOT).parts[0] == package:
            strangers = (tops(path) & set(PACKAGES)) - ALLOWED[package]
            assert not strangers, f"{name_of(path)} imports {', '.join(sorted(strangers))}"


def test_sympy_only_where_equations_are_derived():
    for path in SOURCES:
        name = name_of(path)
        if name.startswith("model.") and name.split(".")[1] in SYMBOLIC:
            continue
        imported = imports_of(path)
        assert "sympy" not in tops(path), f"{name} imports sympy"
        hidden = {f"model.{module}" for module in SYMBOLIC} & imported
        assert not hidden, f"{name} imports {', '.join(sorted(hidden))}, which imports sympy"


def test_matplotlib_only_in_pictures():
    for path in SOURCES:
        if not name_of(path).startswith("scenarios.pictures"):
            assert "matplotlib" not in tops(path), f"{name_of(path)} imports matplotlib"


def test_printing_only_in_scenarios_commands():
    """Library code returns; commands print. `model.derive` is a command of its own."""
    for path in SOURCES:
        name = name_of(path)
        if name.startswith("scenarios.") and "studies" not in name and "pictures" not in name:
            continue
        if name == "model.derive":
            continue
        calls = [node.func.id for node in nodes_of(path)
                 if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)]
        assert "print" not in calls, f"{name} prints"


def test_no_assertions_or_bare_excepts_in_the_packages():
    """User input is answered with errors that name the remedy."""
    for path in SOURCES:
        for node in nodes_of(path):
            assert not isinstance(node, ast.Assert), f"{name_of(path)}:{node.lineno} asserts"
            bare = isinstance(node, ast.ExceptHandler) and node.type is None
            assert not bare, f"{name_of(path)}:{node.lineno} catches everything"


def test_public_functions_take_no_hidden_options():
    """A misspelt option is an error: no `**kwargs` in public functions."""
    for path in SOURCES:
        for node in nodes_of(path):
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                assert node.args.kwarg is None, f"{name_of(path)}.{node.name} takes **{node.args.kwarg.arg}"


def test_every_public_thing_says_what_it_is_for():
    for path in SOURCES:
        tree = tree_of(path)
        assert ast.get_docstring(tree), f"{name_of(path)} has no docstring"
        for node in tree.body:
            if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
                assert ast.get_docstring(node), f"{name_of(path)}.{node.name} has no docstring"


def test_modules_stay_short():
    for path in SOURCES:
        count = len(path.read_text(encoding="utf-8").splitlines())
        assert count <= LARGEST_MODULE, f"{name_of(path)} has {count} lines; split it"


def test_generated_modules_import_nothing_but_mathematics():
    for path in EVERYTHING:
        if path not in SOURCES:
            lines = [line for line in path.read_text(encoding="utf-8").splitlines() if "import" in line.split()]
            strangers = [line for line in lines if line.split()[1] not in ("math", "numpy")]
            assert not strangers, f"{name_of(path)} has {strangers[0]!r}"


FORBIDDEN = {
    "a path of one machine": r"/(?:home|root|Users|work|mnt|srv)/",
    "a package registry": r"(?:pypi|pythonhosted|index-url|proxy\.golang)",
    "how the text came about": r"(?i)\b(?:" + "|".join(("chat" + "gpt", "llm", "language " + "model", "co" + "pilot")) + r")\b",
    "a planning page": r"(?i)\bdesign " + "page\\b",
}


@cache
def texts():
    """Name and content of every text file that is under version control, or lies here, whichever is known."""
    suffixes = {".py", ".toml", ".md", ".ipynb", ".csv", ".json", ""}
    skipped = {".git", "__pycache__", ".ruff_cache", ".pytest_cache", ".mypy_cache", "build", "dist"}
    found = {}
    for folder, below, names in os.walk(ROOT):
        below[:] = [name for name in below if not (name in skipped or name.endswith(".egg-info") or name.startswith(".venv"))]
        for path in (Path(folder, name) for name in names if name not in skipped):
            if path.suffix in suffixes and path != Path(__file__).resolve():
                found[path.relative_to(ROOT)] = path.read_text(encoding="utf-8", errors="ignore")
    return found


@pytest.mark.parametrize("what", FORBIDDEN)
def test_no_file_mentions(what):
    pattern = re.compile(FORBIDDEN[what])
    assert len(texts()) > 300
    for name, text in texts().items():
        match = pattern.search(text)
        assert match is None, f"{name} mentions {what}: {match.group()}"


def test_ordinary_modules_load_without_sympy_matplotlib_and_scipy():
    """What `creep` needs is imported in a fresh interpreter; three heavy packages must stay out."""
    code = ("import sys; import scenarios.__main__, scenarios.studies.creep, scenarios.studies.sweep, "
            "scenarios.commands.creep; "
            "print([name for name in ('sympy', 'matplotlib', 'scipy') if name in sys.modules])")
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip() == "[]"
