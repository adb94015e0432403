"""One name is installed, and files of the user's own never stand in its way."""

import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SCRIPT = "from noseload import demo_vehicle, creep\nprint(round(creep(demo_vehicle(), grade_deg=35).front_load_n, 6))\n"
PATIENCE_S = 120


@pytest.fixture
def crowded(tmp_path):
    """A folder that holds a user's own files of the names of our folders, which must never be imported."""
    for name in ("model", "solvers", "scenarios", "studies", "commands"):
        (tmp_path / f"{name}.py").write_text(
            "raise SystemExit('the file of the user was imported')\n", encoding="utf-8"
        )
    (tmp_path / "script.py").write_text(SCRIPT, encoding="utf-8")
    return tmp_path


def run(folder, *arguments):
    done = subprocess.run(
        [sys.executable, *arguments], cwd=folder, capture_output=True, text=True, timeout=PATIENCE_S, check=False
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_a_script_beside_files_of_the_same_names(crowded):
    assert float(run(crowded, "script.py")) == pytest.approx(7.2, abs=2.0)


def test_the_module_beside_files_of_the_same_names(crowded):
    assert '"front_load_n"' in run(crowded, "-m", "noseload", "creep", "--grade", "35", "--json")


def test_the_command_beside_files_of_the_same_names(crowded):
    code = "import sys; from importlib.metadata import entry_points; (e,) = entry_points(group='console_scripts', name='noseload'); "
    assert '"front_load_n"' in run(crowded, "-c", code + "sys.exit(e.load()(['creep', '--grade', '35', '--json']))")


@pytest.mark.slow
def test_nothing_but_noseload_is_installed(tmp_path):
    """The wheel holds one package and its metadata."""
    source = tmp_path / "source"
    shutil.copytree(
        ROOT, source, ignore=shutil.ignore_patterns(".*", "build", "*.egg-info", "notebooks", "tests", "__pycache__")
    )
    done = subprocess.run(
        [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--wheel-dir", str(tmp_path), str(source)],
        capture_output=True,
        text=True,
        timeout=PATIENCE_S,
        check=False,
    )
    if done.returncode:
        pytest.skip(f"no wheel can be built here: {done.stderr.strip().splitlines()[-1]}")
    (wheel,) = tmp_path.glob("*.whl")
    names = zipfile.ZipFile(wheel).namelist()
    assert {name.split("/")[0] for name in names if ".dist-info/" not in name} == {"noseload"}
    assert {
        "noseload/model/crawl/equilibrium.py",
        "noseload/solvers/newton.py",
        "noseload/demo/demo.toml",
        "noseload/pages/live/stage.js",
        "noseload/py.typed",
    } <= set(names)
