"""The packages keep to their layers: who may import whom, and what no source file may mention."""

import ast
import os
import re
import subprocess
import sys
import tomllib
from collections import Counter
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PACKAGES = ("model", "solvers", "scenarios")
ALLOWED = {"model": {"model"}, "solvers": {"solvers"}, "scenarios": set(PACKAGES)}
SYMBOLIC = "noseload.model.symbols"
"""The room in which equations are derived and printed: it alone imports SymPy, and nobody else imports it."""
EVERYTHING = sorted(path for package in PACKAGES for path in (ROOT / package).rglob("*.py"))
SOURCES = [path for path in EVERYTHING if "generated" not in path.parts]
LARGEST_MODULE = 500
"""Lines; a longer handwritten module is split."""
LARGEST_ROOM = 20
"""Source files in one folder; above that it is split by subject."""
FEWEST_SOURCES = 220
"""A walk that finds fewer modules than there are checks nothing: it fails instead."""


def name_of(path):
    """Dotted name under which a source file is imported: the folders' names are not those of the packages."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    parts = parts[:-1] if parts[-1] == "__init__" else parts
    return ".".join(("noseload", *(parts[1:] if parts[0] == "scenarios" else parts)))


def package_of(path):
    """Dotted name of the package that a source file lies in."""
    return name_of(path.parent / "__init__.py")


def layer_of(name):
    """Layer of a dotted name of ours: model, solvers or scenarios; '' for a stranger."""
    parts = name.split(".")
    if parts[0] != "noseload":
        return ""
    return parts[1] if len(parts) > 1 and parts[1] in ("model", "solvers") else "scenarios"


@cache
def tree_of(path):
    """Parsed source."""
    return ast.parse(path.read_text(encoding="utf-8"))


@cache
def nodes_of(path):
    """All nodes of a source."""
    return tuple(ast.walk(tree_of(path)))


def loaded(nodes):
    """Of a file's nodes those that run: not what stands under `if TYPE_CHECKING:` for type checkers alone."""
    guards = [n for n in nodes if isinstance(n, ast.If) and getattr(n.test, "id", "") == "TYPE_CHECKING"]
    unread = {inner for guard in guards for line in guard.body for inner in ast.walk(line)}
    return [node for node in nodes if node not in unread]


@cache
def imports_of(path):
    """Absolute dotted names of everything a file imports, at any depth, with the names taken from it."""
    return imports_among(nodes_of(path), package_of(path).split("."))


@cache
def loads_of(path):
    """As `imports_of`, but for what stands there for type checkers alone: it is not loaded, so it closes no circle."""
    return imports_among(loaded(nodes_of(path)), package_of(path).split("."))


def imports_among(nodes, package):
    """Absolute dotted names that the imports among `nodes` of a file in `package` (its parts) name."""
    found = set()
    for node in nodes:
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = ".".join(package[: len(package) - node.level + 1]) if node.level else ""
            module = ".".join(part for part in (base, node.module) if part)
            found |= {module} | {f"{module}.{alias.name}" for alias in node.names}
    return found


def tops(path):
    """First parts of the names that a file loads."""
    return {name.split(".")[0] for name in loads_of(path)}


@pytest.mark.parametrize("package", PACKAGES)
def test_packages_import_only_what_lies_below(package):
    """scenarios uses both; model and solvers know neither each other nor scenarios."""
    for path in SOURCES:
        if path.relative_to(ROOT).parts[0] == package:
            strangers = {layer_of(name) for name in imports_of(path)} - ALLOWED[package] - {""}
            assert not strangers, f"{name_of(path)} imports {', '.join(sorted(strangers))}"


def test_the_walk_finds_every_module():
    """Every check here walks the sources: a walk that finds too few would pass and check nothing."""
    assert len(SOURCES) >= FEWEST_SOURCES
    assert {path.relative_to(ROOT).parts[0] for path in SOURCES} == set(PACKAGES)


TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "model", "solvers", "scenarios", "tests", "notebooks"}


def test_nothing_else_lies_at_the_top():
    """A package file was once committed there; what version control leaves out may lie there too."""
    ignored = {line.strip("/\n") for line in (ROOT / ".gitignore").read_text(encoding="utf-8").splitlines()}
    found = {path.name for path in ROOT.iterdir() if path.name[0] != "." and not path.name.endswith(".egg-info")}
    assert found - ignored == TOP


def test_every_folder_is_installed():
    """The list of packages in pyproject.toml is the folders that there are."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    assert sorted(project["tool"]["setuptools"]["packages"]) == sorted({package_of(path) for path in EVERYTHING})


def module_imports(known):
    """Of each module of ours the modules that it imports, at any depth of its text but for type checkers."""
    found = {}
    for path in SOURCES:
        found[name_of(path)] = {name for name in loads_of(path) if name in known} - {name_of(path)}
    return found


def strongly_connected(arrows):
    """Groups of more than one module that import each other round (R. Tarjan, SIAM J. Comput. 1, 1972)."""
    from scipy.sparse import csr_array
    from scipy.sparse.csgraph import connected_components

    names = sorted(arrows)
    row, column = zip(*((names.index(a), names.index(b)) for a in names for b in arrows[a] if b in arrows), strict=True)
    graph = csr_array(([1] * len(row), (row, column)), shape=(len(names), len(names)))
    _, labels = connected_components(graph, directed=True, connection="strong")
    groups = {}
    for name, label in zip(names, labels, strict=True):
        groups.setdefault(label, []).append(name)
    return [group for group in groups.values() if len(group) > 1]


def test_imports_for_type_checkers_are_told_apart():
    """What type checkers alone read is no arrow of a circle; what stands beside it is."""
    source = "if TYPE_CHECKING:\n    from .a import A\nelse:\n    from .b import B\nfrom .c import C\n"
    found = imports_among(loaded(tuple(ast.walk(ast.parse(source)))), ["noseload"])
    assert found == {"noseload.b", "noseload.b.B", "noseload.c", "noseload.c.C"}


def test_no_module_imports_itself_round_a_circle():
    modules = {name_of(path) for path in SOURCES if path.name != "__init__.py"}
    assert strongly_connected({"a": {"b"}, "b": {"c"}, "c": {"b"}}) == [["b", "c"]], "this check can fail"
    assert strongly_connected({name: found for name, found in module_imports(modules).items() if name in modules}) == []


def test_rooms_stay_small():
    """A room is small enough to see at once."""
    counts = Counter(path.parent.relative_to(ROOT) for path in SOURCES if path.name != "__init__.py")
    assert sum(counts.values()) >= FEWEST_SOURCES - 60
    crowded = {str(folder): count for folder, count in counts.items() if count > LARGEST_ROOM}
    assert not crowded


def test_names_of_ends_and_sides_stand_once():
    """Their order is that of every array: written twice, it can differ."""
    names = (("rear", "front"), ("left", "right"))
    found = {
        (name_of(path), values)
        for path in SOURCES
        for node in nodes_of(path)
        if isinstance(node, ast.Tuple | ast.List) and len(node.elts) == 2
        if (values := tuple(getattr(part, "value", None) for part in node.elts)) in names
    }
    assert found == {("noseload.model.vehicle", values) for values in names}


def test_nobody_imports_private_names():
    """What starts with an underscore belongs to its module."""
    borrowed = []
    for path in SOURCES:
        for node in nodes_of(path):
            if isinstance(node, ast.ImportFrom) and (node.level or (node.module or "").startswith("noseload")):
                borrowed += [
                    f"{name_of(path)}:{node.lineno} {alias.name}"
                    for alias in node.names
                    if alias.name.startswith("_") and not alias.name.startswith("__")
                ]
    assert not borrowed


def test_sympy_only_where_equations_are_derived():
    for path in SOURCES:
        name = name_of(path)
        if name.startswith(SYMBOLIC):
            continue
        assert "sympy" not in tops(path), f"{name} imports sympy"
        hidden = {imported for imported in imports_of(path) if imported.startswith(SYMBOLIC)}
        assert not hidden, f"{name} imports {', '.join(sorted(hidden))}, which imports sympy"


def test_matplotlib_only_in_pictures():
    for path in SOURCES:
        if not name_of(path).startswith("noseload.pictures"):
            assert "matplotlib" not in tops(path), f"{name_of(path)} imports matplotlib"


def test_printing_only_in_scenarios_commands():
    """Library code returns; commands print. `noseload.model.symbols.derive` is a command of its own."""
    for path in SOURCES:
        name = name_of(path)
        if name.startswith("noseload.") and "studies" not in name and "pictures" not in name:
            continue
        if name == "noseload.model.symbols.derive":
            continue
        calls = [
            node.func.id for node in nodes_of(path) if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
        ]
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


RECORD_IMPORTS = ("dataclasses", "typing", "noseload.model.errors", ".parameter_order")
"""What the record of a vehicle's numbers needs; kernels need mathematics alone."""


def test_generated_modules_import_nothing_but_mathematics():
    for path in EVERYTHING:
        if path not in SOURCES:
            lines = [line for line in path.read_text(encoding="utf-8").splitlines() if "import" in line.split()]
            known = RECORD_IMPORTS if path.name == "vehicle_numbers.py" else ("math", "numpy")
            strangers = [line for line in lines if line.split()[1] not in known]
            assert not strangers, f"{name_of(path)} has {strangers[0]!r}"


FORBIDDEN = {
    "a path of one machine": r"/(?:home|root|Users|work|mnt|srv)/",
    "a package registry": r"(?:pypi|pythonhosted|index-url|proxy\.golang)",
    "how the text came about": r"(?i)\b(?:"
    + "|".join(("chat" + "gpt", "llm", "language " + "model", "co" + "pilot"))
    + r")\b",
    "a planning page": r"(?i)\bdesign " + "page\\b",
}


@cache
def texts():
    """Name and content of every text file that is under version control, or lies here, whichever is known."""
    suffixes = {".py", ".toml", ".md", ".ipynb", ".csv", ".json", ""}
    skipped = {".git", ".hypothesis", "__pycache__", ".ruff_cache", ".pytest_cache", ".mypy_cache", "build", "dist"}
    found = {}
    for folder, below, names in os.walk(ROOT):
        below[:] = [
            name for name in below if not (name in skipped or name.endswith(".egg-info") or name.startswith(".venv"))
        ]
        for path in (Path(folder, name) for name in names if name not in skipped):
            if path.suffix in suffixes and path != Path(__file__).resolve():
                text = path.read_text(encoding="utf-8", errors="ignore")
                # A picture's letters come by chance and mention nothing.
                found[path.relative_to(ROOT)] = re.sub(r'"image/png": "[^"]*"', "", text)
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
    code = (
        "import sys; import noseload.__main__, noseload.studies.climb.creep, noseload.studies.climb.sweep, "
        "noseload.commands.climb.creep; "
        "print([name for name in ('sympy', 'matplotlib', 'scipy') if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, timeout=60, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip() == "[]"
