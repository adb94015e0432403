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
    fails: bool

    def __str__(self):
        return f"{self.page}: {self.command}"


@dataclass(frozen=True)
class Shown:
    """One command, run once, with every place that shows it; its vehicle files are those of its first page."""

    command: str
    places: tuple

    @property
    def slow(self):
        return any(place.slow for place in self.places)

    def __str__(self):
        return f"{', '.join(place.page for place in self.places)}: {self.command}"


def shown_runs():
    """Every `$ noseload ...` in the console fences of all pages."""
    runs = []
    for page in PAGES:
        text = page.read_text(encoding="utf-8")
        for mark, block in re.findall(r"```console( slow| refused)?\n(.*?)```", text, flags=re.S):
            for part in re.split(r"^\$ noseload ", block, flags=re.M)[1:]:
                command, _, output = part.partition("\n")
                command = command.split("  #")[0].strip()
                runs.append(ShownRun(page.name, command, output, mark == " slow", mark == " refused"))
    return runs


def shown_commands():
    """Every command of the pages once: no two places run the same one on the same files."""
    places = {}
    for run in shown_runs():
        own = tuple((name, text) for name, text in files_of(run.page) if name in run.command.split())
        places.setdefault((run.command, own), []).append(run)
    return [Shown(command, tuple(found)) for (command, _), found in places.items()]


def files_of(page):
    """Files that a page shows whole, in fences such as ```toml heron.toml: (name, text) pairs."""
    (path,) = [path for path in PAGES if path.name == page]
    return re.findall(r"```toml (\S+\.toml)\n(.*?)```", path.read_text(encoding="utf-8"), flags=re.S)


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


def fill(folder, page=None):
    """Put the demo vehicle, as `my-crawler.toml`, its readings and the page's own files into the folder."""
    from noseload.demo import DEMO

    shutil.copy(DEMO, Path(folder) / "my-crawler.toml")
    for file in (ROOT / "scenarios" / "demo" / "readings").iterdir():
        shutil.copy(file, folder)
    for name, text in files_of(page) if page else ():
        (Path(folder) / name).write_text(text, encoding="utf-8")


def run_shown(run, folder):
    """Exit code, output and errors of a run in a folder filled that way."""
    from noseload.__main__ import main

    fill(folder, run.page)
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
    for shown in shown_commands():
        run = shown.places[0]
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
