"""README and guide pages: the runs they show, and the pictures that those runs make.

``python tests/guide.py`` makes all pictures of the guide anew, by the commands shown there.
"""

import contextlib
import io
import os
import re
import shutil
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[1]
PAGES = (ROOT / "README.md", *sorted((ROOT / "notebooks").glob("*.md")))
PICTURES = ROOT / "notebooks" / "pictures"


@dataclass(frozen=True)
class ShownRun:
    """A command that a page shows, with the output below it; `...` alone in a line stands for any lines."""

    page: str
    command: str
    output: str
    slow: bool

    def __str__(self):
        return f"{self.page}: {self.command}"


def shown_runs():
    """Every `$ noseload ...` in the console fences of all pages."""
    runs = []
    for page in PAGES:
        for slow, block in re.findall(r"```console( slow)?\n(.*?)```", page.read_text(encoding="utf-8"), flags=re.S):
            for part in re.split(r"^\$ noseload ", block, flags=re.M)[1:]:
                command, _, output = part.partition("\n")
                runs.append(ShownRun(page.name, command.split("  #")[0].strip(), output, bool(slow)))
    return runs


def pictures_of_pages():
    """Every picture that a page shows, as a path below `PICTURES`."""
    shown = set()
    for page in PAGES:
        for link in re.findall(r"!\[[^\]]*\]\(([^)]+)\)", page.read_text(encoding="utf-8")):
            shown.add((page.parent / link).resolve().relative_to(PICTURES).as_posix())
    return sorted(shown)


def blocks(fence):
    """Every block of that fence, in all pages."""
    found = []
    for page in PAGES:
        found += re.findall(rf"```{fence}\n(.*?)```", page.read_text(encoding="utf-8"), flags=re.S)
    return found


def fill(folder):
    """Put the demo vehicle, as `my-crawler.toml`, and its readings into the folder."""
    from noseload.demo import DEMO

    shutil.copy(DEMO, Path(folder) / "my-crawler.toml")
    for file in (ROOT / "scenarios" / "demo" / "readings").iterdir():
        shutil.copy(file, folder)


def run_shown(run, folder):
    """Exit code, output and errors of a run in a folder filled that way."""
    from noseload.__main__ import main

    fill(folder)
    out, errors = io.StringIO(), io.StringIO()
    with contextlib.chdir(folder), contextlib.redirect_stdout(out), contextlib.redirect_stderr(errors):
        code = main(run.command.split())
    return code, out.getvalue(), errors.getvalue()


def pictures_made(folder):
    """Pictures in the folder that pages show: (made, kept) pairs of paths."""
    made = []
    for name in pictures_of_pages():
        short = Path(folder) / name.removeprefix("figures/")
        if short.exists():
            made.append((short, PICTURES / name))
    return made


def make_pictures():
    """Run every shown command that makes a picture, and keep the pictures."""
    os.environ["MPLBACKEND"] = "Agg"
    sys.path.insert(0, str(ROOT))
    for run in shown_runs():
        if not re.search(r"--(plot|pictures|out) ", run.command):
            continue
        with tempfile.TemporaryDirectory() as folder:
            code, _, errors = run_shown(run, folder)
            if code:
                sys.exit(f"{run}: exit code {code}: {errors}")
            for made, kept in pictures_made(folder):
                kept.parent.mkdir(parents=True, exist_ok=True)
                shutil.copy(made, kept)
                print(kept.relative_to(ROOT))


if __name__ == "__main__":
    make_pictures()
