"""No output takes the place of an input, by whatever name; links, pipes, devices and permissions stay what they are."""

import os
import shutil
import stat
import subprocess
import sys
from importlib import import_module

import pytest

from noseload.__main__ import COMMANDS, main
from noseload.commands.input_kinds import input_kind
from noseload.commands.measuring.output import demo_readings
from noseload.commands.paths import NamedPath
from noseload.demo import DEMO, DEMO_TRIAL
from noseload.output import write_folder, write_whole

BAD_INPUT = 2
PATH_WORDS = ("FILE", "FOLDER", "DIR", "READINGS", ".toml", ".csv", ".json", ".html")


@pytest.fixture
def car(tmp_path):
    shutil.copy(DEMO, tmp_path / "car.toml")
    return tmp_path / "car.toml"


def refused(capsys, *arguments):
    code = main([str(argument) for argument in arguments])
    out, err = capsys.readouterr()
    assert (code, out) == (BAD_INPUT, "")
    return err


NAMES = {
    "itself": lambda car: car,
    "another path": lambda car: car.parent / "." / "x" / ".." / "car.toml",
    "symbolic link": lambda car: _linked(car, os.symlink),
    "hard link": lambda car: _linked(car, os.link),
}


def _linked(car, link):
    (car.parent / "x").mkdir(exist_ok=True)
    link(car, car.parent / "rows.csv")
    return car.parent / "rows.csv"


@pytest.mark.parametrize("name", NAMES)
def test_a_vehicle_file_is_not_the_place_of_its_own_results(capsys, car, name):
    """`sweep car.toml --csv car.toml` replaced the vehicle file and exited with 0."""
    (car.parent / "x").mkdir(exist_ok=True)
    before = car.read_bytes()
    for overwrite in ([], ["--overwrite"]):
        err = refused(capsys, "sweep", car, "--csv", NAMES[name](car) if not overwrite else car, *overwrite)
        assert "this command reads that file; name another for the result" in err
    assert car.read_bytes() == before


@pytest.mark.parametrize(
    "arguments",
    [
        ("readings", "IN", "--csv", "IN"),
        ("readings", "IN", "--log", "--csv", "IN"),
        ("weigh", "IN", "--csv", "IN"),
        ("weigh", "IN", "--plot", "IN"),
        ("measure", "spring", "IN", "--csv", "IN"),
        ("bench", "--readings", "IN", "--csv", "IN"),
        ("punch", "--grade", "20", "--program", "IN", "--csv", "IN"),
        ("punch", "--grade", "20", "--grip-program", "IN", "--csv", "IN"),
        ("post", "--readings", "raised=IN", "--out", "IN"),
        ("trial", "plan", "--baseline", "IN", "--csv", "IN"),
        ("trial", "read", "--readings", "IN", "--csv", "IN"),
    ],
)
def test_no_command_writes_over_what_it_reads(capsys, tmp_path, arguments):
    file = tmp_path / "mine.csv"
    file.write_text("installation,reading\n1,58\n")
    err = refused(capsys, *(argument.replace("IN", str(file)) for argument in arguments))
    assert "this command reads that file" in err
    assert file.read_text() == "installation,reading\n1,58\n"


def test_a_forgotten_word_does_not_destroy_the_readings(capsys, tmp_path):
    """`weigh --csv mine.csv`, meant as the input, read the example and replaced `mine.csv`."""
    mine = tmp_path / "mine.csv"
    shutil.copy(demo_readings("weighing.csv"), mine)
    before = mine.read_bytes()
    err = refused(capsys, "weigh", "--csv", mine)
    assert (
        "mine.csv: a file of readings is there already and stays as it is; name another file, or add --overwrite" in err
    )
    assert mine.read_bytes() == before
    assert main(["weigh", "--csv", str(mine), "--overwrite"]) == 0
    assert mine.read_bytes() != before


def test_a_result_is_written_over_by_the_next_one_and_an_input_is_not(capsys, tmp_path, car):
    rows = tmp_path / "rows.csv"
    for _ in range(2):
        assert main(["creep", str(car), "--grade", "30", "--csv", str(rows)]) == 0
        assert main(["weigh", "--csv", str(tmp_path / "weighed.csv")]) == 0
    capsys.readouterr()
    other = tmp_path / "other.toml"
    shutil.copy(DEMO, other)
    assert "a TOML file is there already" in refused(capsys, "creep", car, "--grade", "30", "--csv", other)
    assert "another result goes there already" in refused(
        capsys, "creep", car, "--grade", "30", "--csv", tmp_path / "a.png", "--plot", tmp_path / "a.png"
    )


def test_what_is_an_input_is_known_by_what_it_holds(tmp_path):
    folder = tmp_path / "trial"
    shutil.copytree(DEMO_TRIAL, folder)
    for name in ("plan.json", "commitment.txt", "readings.csv", "sealed/key.json", "sealed/fittings.csv"):
        assert input_kind(folder / name) == "a file of a trial", name
    for name in sorted(os.listdir(os.path.dirname(demo_readings("board.csv")))):
        assert input_kind(demo_readings(name)) in ("a file of readings", "a TOML file"), name
    program = tmp_path / "program.csv"
    program.write_text("time_s;throttle\n0;0,2\n")
    assert input_kind(program) == "a file of readings"
    vehicle = tmp_path / "vehicle.txt"
    shutil.copy(DEMO, vehicle)
    assert input_kind(vehicle) == "a vehicle file or readings in TOML"
    for name, content in {
        "a.csv": "time_s,front_load_n\n0,1\n",
        "b.svg": "<svg/>",
        "c.png": "\x89PNG",
        "d.csv": "",
    }.items():
        (tmp_path / name).write_text(content)
        assert input_kind(tmp_path / name) is None, name
    assert input_kind(tmp_path / "no such file") is input_kind(tmp_path) is None


def test_every_argument_that_names_a_file_says_what_it_is_for():
    """A new option that takes a path without a role would escape the check."""
    import argparse

    found = 0
    for name, (room, _) in COMMANDS.items():
        parser = argparse.ArgumentParser()
        import_module(f"noseload.commands.{room}.{name}").add_arguments(parser)
        parsers = [parser]
        for action in parser._actions:
            if isinstance(action, argparse._SubParsersAction):
                parsers += action.choices.values()
        for action in (action for each in parsers for action in each._actions):
            words = str(action.metavar)
            if any(word in words for word in PATH_WORDS):
                found += 1
                assert isinstance(action.type("x"), NamedPath), (name, action.dest)
    assert found >= 60


@pytest.mark.parametrize(
    "arguments",
    [("creep", "", "--grade", "5"), ("creep", "--grade", "5", "--csv", ""), ("weigh", ""), ("trial", "read", "")],
)
def test_an_empty_file_name_is_an_error_and_not_the_example(capsys, arguments):
    assert "the file name is empty; name a file, or leave it out" in refused(capsys, *arguments)


def test_links_are_written_through_and_permissions_stay(tmp_path):
    target, linked, twin = tmp_path / "real" / "a.csv", tmp_path / "link.csv", tmp_path / "twin.csv"
    target.parent.mkdir()
    target.write_text("old")
    target.chmod(0o640)
    os.symlink(target, linked)
    write_whole(linked, "new")
    assert linked.is_symlink() and target.read_text() == "new"
    assert stat.S_IMODE(target.stat().st_mode) == 0o640
    os.link(target, twin)
    write_whole(target, "both")
    assert twin.read_text() == "both" and os.path.samefile(twin, target)
    dangling = tmp_path / "dangling.csv"
    os.symlink(tmp_path / "real" / "b.csv", dangling)
    write_whole(dangling, "there")
    assert (tmp_path / "real" / "b.csv").read_text() == "there"
    assert sorted(path.name for path in target.parent.iterdir()) == ["a.csv", "b.csv"]


def test_pipes_and_devices_are_written_to_and_stay(tmp_path):
    """As root `--csv /dev/null` replaced the device by a file."""
    before = os.stat("/dev/null")
    write_whole("/dev/null", "nothing")
    assert os.stat("/dev/null") == before
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    reader = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    write_whole(pipe, "through")
    assert os.read(reader, 100) == b"through"
    os.close(reader)
    assert stat.S_ISFIFO(os.stat(pipe).st_mode)


def test_write_errors_name_the_file_that_was_given(tmp_path):
    for path in (tmp_path / "none" / "a.csv", tmp_path):
        with pytest.raises(OSError) as caught:
            write_whole(path, "x")
        assert caught.value.filename == str(path)
    (tmp_path / "file").write_text("")
    with pytest.raises(OSError) as caught:
        write_folder(tmp_path / "file" / "new", {"a": "b"})
    assert caught.value.filename == str(tmp_path / "file" / "new")


def test_results_on_standard_output_by_its_name(car):
    found = subprocess.run(
        [sys.executable, "-m", "noseload", "creep", car, "--grade", "30", "--csv", "/dev/stdout"],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert found.stdout.startswith("setup,grade_deg") and "front axle load" in found.stdout


def test_the_installers_sheet_is_as_private_as_the_key(tmp_path):
    folder = tmp_path / "t"
    write_folder(folder, {"plan.json": "", "sealed/key.json": "", "sealed/installer.pdf": ""}, private=["sealed"])
    modes = {path.name: stat.S_IMODE(path.stat().st_mode) for path in folder.rglob("*")}
    assert modes == {"plan.json": modes["plan.json"], "sealed": 0o700, "key.json": 0o600, "installer.pdf": 0o600}
    assert modes["plan.json"] & 0o044
