"""The sources under the names that they are imported by, for tools that read files and run nothing.

    python tests/type_names.py        then: mypy, or an editor (pyproject.toml names the folder build/names)

The folders' names (scenarios, model, solvers) are not those of the packages: pyproject.toml maps them at installation.
Type checkers do not follow that map, so links under build/names spell it out.
"""

import os
from pathlib import Path

ROOT = Path(__file__).parents[1]
NAMES = ROOT / "build" / "names"


def link_names(target=NAMES):
    """Make `target/noseload` anew: a folder of links to the sources; returns it.

    Raises
    ------
    OSError
        Where the system gives no links.
    """
    package = Path(target) / "noseload"
    package.mkdir(parents=True, exist_ok=True)
    wanted = {path.name: path for path in (ROOT / "scenarios").iterdir() if path.name != "__pycache__"}
    wanted |= {name: ROOT / name for name in ("model", "solvers")}
    for old in package.iterdir():
        if old.is_symlink() and old.name not in wanted:
            old.unlink()
    for name, source in wanted.items():
        if not (package / name).is_symlink():
            os.symlink(source, package / name)
    return package


if __name__ == "__main__":
    link_names()
