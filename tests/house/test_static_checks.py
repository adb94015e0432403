"""The type checker and the linter find nothing, with the configuration of pyproject.toml."""

import ast
import importlib
import importlib.util
import inspect
import subprocess
import sys
from pathlib import Path

import pytest

import noseload
import noseload.model
from all_studies import import_all_studies
from noseload.studies.result import Result
from type_names import link_names

ROOT = Path(__file__).parents[2]
PATIENCE_S = 300


def run_tool(name, *arguments):
    """Output of a development tool, run on this checkout; the test is skipped where it is not installed."""
    if importlib.util.find_spec(name) is None:
        pytest.skip(f"{name} is not installed; it comes with the extra 'development'")
    return subprocess.run(
        [sys.executable, "-m", name, *arguments],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=PATIENCE_S,
        check=False,
    )


@pytest.fixture(scope="module")
def kept_cache():
    """What the type checker remembers, file by file with their contents' sums: only what has changed is looked at anew."""
    return str(ROOT / "build" / "types")


@pytest.mark.slow
def test_the_type_checker_finds_nothing(kept_cache):
    link_names()
    done = run_tool("mypy", "--cache-dir", kept_cache)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.slow
def test_the_type_checker_would_find_a_fault(tmp_path, kept_cache):
    """A caller's mistake is seen through the lazily imported names, so the test above can fail."""
    caller = tmp_path / "caller.py"
    caller.write_text(
        "from noseload import load_vehicle\n\nlevel: int = load_vehicle('x.toml').level\n", encoding="utf-8"
    )
    link_names()
    done = run_tool("mypy", "--cache-dir", kept_cache, str(caller))
    assert done.returncode == 1
    assert 'expression has type "str", variable has type "int"' in done.stdout


def test_the_linter_finds_nothing():
    done = run_tool("ruff", "check", "--no-cache", "model", "solvers", "scenarios", "tests")
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_formatter_changes_nothing():
    """One layout for all hand-written code: `ruff format` makes it."""
    done = run_tool("ruff", "format", "--check", "--no-cache", "model", "solvers", "scenarios", "tests")
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize("package", [noseload.model, noseload], ids=lambda p: p.__name__)
def test_checkers_see_the_names_that_are_imported_at_first_use(package):
    """The imports under TYPE_CHECKING name what the package offers at run time, from the same modules."""
    offered = getattr(package, "_HOME", None) or package._LAZY
    tree = ast.parse(Path(package.__file__).read_text(encoding="utf-8"))
    block = next(node for node in tree.body if isinstance(node, ast.If))
    seen = {}
    for node in block.body:
        if isinstance(node, ast.ImportFrom):
            home = f"{package.__name__}.{node.module}" if node.level else node.module
            seen |= {alias.asname: home for alias in node.names}
    assert seen == offered


def test_the_package_says_that_it_is_typed():
    assert (ROOT / "scenarios" / "py.typed").is_file()


def public_callables():
    """What the packages offer by name, and every public method and property of a result, once each."""
    for package in (noseload.model, noseload):
        for name in getattr(package, "_HOME", None) or package._LAZY:
            offered = getattr(package, name)
            if inspect.isfunction(offered):
                yield f"{package.__name__}.{name}", offered
    import_all_studies()
    for kind in Result.__subclasses__():
        if not kind.__module__.startswith("noseload."):
            continue
        for name, member in vars(kind).items():
            function = member.fget if isinstance(member, property) else member
            if inspect.isfunction(function) and not name.startswith("_"):
                yield f"{kind.__name__}.{name}", function


def test_whatever_is_public_says_its_types():
    """Studies offered by name and methods of results: every argument and what is returned."""
    silent = []
    for name, function in public_callables():
        signature = inspect.signature(function)
        untyped = [
            p.name for p in signature.parameters.values() if p.annotation is p.empty and p.name not in ("self", "cls")
        ]
        if untyped or signature.return_annotation is signature.empty:
            silent.append(f"{name} ({', '.join(untyped) or 'return'})")
    assert not silent, silent
