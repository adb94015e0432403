"""The page's script in a real engine: the same kernels, the same crawl, the same punch as the command line."""

import re
from dataclasses import replace
from functools import cache
from importlib.resources import files
from itertools import count as count_from
from math import degrees, radians
from pathlib import Path

import numpy as np
import pytest

from noseload import demo_vehicle, punch
from noseload.demo import DEMO
from noseload.model.errors import ModelError
from noseload.model.file.reader import load_vehicle
from noseload.model.generated import scalar_creep, scalar_motion, scalar_steady
from noseload.model.generated.parameter_order import PARAMETERS, STATIC_PARAMETERS
from noseload.model.space.parameters import WHEELS
from noseload.pages.live.numbers import live_scripts, short_script, solver_script, space_numbers_of, vehicle_numbers
from noseload.pages.live.sections import size_words
from noseload.pages.live.words import ENGLISH
from noseload.solvers.errors import SolverError
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.standing import stand
from noseload.studies.punch.options import TOLERANCES
from noseload.studies.space.climb import stand_in_space
from noseload.studies.space.wheels import wheels_sweep
from noseload.studies.thresholds import Thresholds
from noseload.studies.verdict.judgement import Judgement
from random_vehicles import random_vehicle, random_vehicle_in_space
from script_engine import run_script

ROUNDING = 1e-12
"""Relative to the largest number of the same kernel: both evaluate one tape."""
LOAD_N, TIP_DEG, TRACE = 1e-9, 1e-6, 1e-6
EVENT_S = 1e-6
LOOSE_TRACE = 1e-4
"""Ten tolerances: where the motion rests, steps grow to the edge of stability and the rounding of either engine to a
part of the tolerance (measured: 2e-5); at the tight tolerance both agree."""
STATES, VEHICLES = 200, 20
LARGEST_SCRIPT = 150_000
"""Bytes of kernels and solvers, comments included; a page of 450 kB carries them."""


STANDING, SEEDS = [], count_from(0)


def standings(count):
    """So many standing vehicles, each solved once: the demo, two that divide the traction by slip, then random ones that stand."""
    if not STANDING:
        STANDING.extend(stand(vehicle) for vehicle in (demo_vehicle(), *divided_vehicles()[::3]))
    while len(STANDING) < count:
        try:
            STANDING.append(stand(random_vehicle(next(SEEDS))))
        except (SolverError, ModelError):
            continue
    return STANDING[:count]


@cache
def climb_at(k):
    """The climb of a standing vehicle, followed once for all tests, and its row at a grade below its end."""
    path = Climb(standings(k + 1)[k].vehicle, standing=standings(k + 1)[k])
    return path, path.row(min(30.0, 0.7 * (path.uphill_limits.steepest_equilibrium_deg or 30.0)))


def random_states(standing, random, count):
    """Poses, and whole states of motion, near standing."""
    for _ in range(count):
        pose = standing.state + random.normal(size=13) * standing.equilibrium.scales * 0.05
        coordinates = np.concatenate([random.normal(size=1), pose[:8]])
        yield pose, coordinates, random.normal(size=11) * 0.5


def kernel_calls(numbers, pose, coordinates, speeds, random):
    """(name, arguments) of every kernel at one random state."""
    values = [numbers["values"][name] for name in PARAMETERS]
    at_rest = values[: len(STATIC_PARAMETERS)]
    grade, throttle, grip, brake = random.uniform(-0.5, 1.0), random.uniform(-1, 1), random.uniform(0.5, 1.5), 0.3
    q, u = coordinates.tolist(), speeds.tolist()
    moving = (q, u, throttle, grip, brake, grade, values)
    return [
        ("creep", (pose.tolist(), grade, at_rest)),
        ("creep_outputs", (pose.tolist(), grade, at_rest)),
        ("steady", ([*pose[:12].tolist(), 2.0, 0.1], grip, grade, at_rest)),
        ("rates", moving),
        ("stiff_rates", moving),
        ("observe", moving),
        ("switches", (q, u, values)),
        ("project", (q, u, values)),
    ]


def test_kernels_agree_at_random_states():
    random = np.random.default_rng(8)
    calls = []
    for standing in standings(VEHICLES):
        numbers = vehicle_numbers(standing)
        for state in random_states(standing, random, STATES // VEHICLES):
            calls += kernel_calls(numbers, *state, random)
    answers = run_script("return given.map(([name,args])=>KERNELS[name](...args))", calls)
    assert len(answers) == STATES * 8
    modules = (scalar_creep, scalar_steady, scalar_motion)
    for (name, arguments), answer in zip(calls, answers, strict=True):
        kernel = next(getattr(module, name) for module in modules if hasattr(module, name))
        expected = np.array(kernel(*arguments))
        assert np.abs(np.array(answer) - expected).max() <= ROUNDING * np.abs(expected).max(), name


def test_a_coil_that_goes_loose_snaps_onto_its_stop_and_climbs_on():
    """Front droop of 35 mm: rows behind the snap, from the curve and from strides, and the limits."""
    demo = demo_vehicle()
    vehicle = replace(demo, front=replace(demo.front, shock=replace(demo.front.shock, droop_travel=0.035)))
    path, grades = Climb(vehicle), [radians(grade) for grade in (50.0, 52.0, 58.0)]
    body = """
    const standing=stand(given.vehicle),path=climb(standing);
    return {limits:path.limits,rows:given.grades.map((g)=>path.row(g).front_load_n),
      strides:given.grades.map((g)=>followed(standing,g)).map((s,k)=>standing.equilibrium.outputs(s,given.grades[k])[1])};"""
    found = run_script(body, {"vehicle": vehicle_numbers(path.standing), "grades": grades})
    expected = [path.row(degrees(grade)).front_load_n for grade in grades]
    assert found["rows"] == pytest.approx(expected, abs=LOAD_N) and found["strides"] == pytest.approx(
        expected, abs=LOAD_N
    )
    assert found["limits"]["fold"] is None and len(path.followed().snaps) > 0
    assert degrees(found["limits"]["tip_over"]) == pytest.approx(path.limits.tip_over_grade_deg, abs=TIP_DEG)


def divided_vehicles():
    """Overdrive gears, a measured slip stiffness, and both with a rolling radius between free and loaded."""
    demo = demo_vehicle()

    def built(overdrive=1.0, **tyre):
        axles = {end: replace(axle, tyre=replace(axle.tyre, **tyre)) for end, axle in both_axles(demo)}
        return replace(demo, drive=replace(demo.drive, front_overdrive=overdrive), **axles)

    return [
        built(1.06),
        built(0.97),
        built(slip_stiffness=14.0),
        built(1.04, slip_stiffness=9.0, rolling_radius_share=0.4, slip_stiffness_exponent=0.7),
    ]


def limit_of(limits, name):
    """A limit of the climb, deg; a fold past tip-over ends nothing, and the page does not tell of it."""
    own, tip = getattr(limits, f"{name}_grade_deg"), limits.tip_over_grade_deg
    return None if name == "fold" and None not in (own, tip) and own > tip else own


def both_axles(vehicle):
    return (("rear", vehicle.rear), ("front", vehicle.front))


@pytest.mark.slow
def test_geared_axles_that_turn_at_different_speeds_divide_the_traction_as_in_the_command_line():
    """Rows, limits, strides and the first wheel lift under the law of slip with mismatched speeds."""
    given, expected = [], []
    grades = [0.0, 20.0, 40.0, 52.0]
    for vehicle in divided_vehicles():
        path = Climb(vehicle)
        assert path.overdriven
        wheel_path = wheels_sweep(vehicle, to_deg=20.0, step_deg=10.0)
        numbers = vehicle_numbers(path.standing), space_numbers_of(stand_in_space(vehicle, standing=path.standing))
        given.append({"vehicle": numbers[0], "wheels": numbers[1], "grades": [radians(grade) for grade in grades]})
        expected.append((path, wheel_path))
    body = """
    return given.map((c)=>{const standing=stand(c.vehicle),path=climb(standing),lift=firstLift(c.wheels);
      return {limits:path.limits,first:path.first,rows:c.grades.map((g)=>path.row(g)),
        strides:c.grades.slice(0,3).map((g)=>rowOf(standing,followed(standing,g),g).front_load_n),
        lift:[lift.lift,lift.wheel],wheels:[0,10,20].map((g)=>wheelsAt(c.wheels,lift.rows.filter((r)=>r.grade<=g*RADIANS).pop(),g*RADIANS).loads)};});
    """
    for (path, wheel_path), found in zip(expected, run_script(body, given), strict=True):
        limits = path.uphill_limits
        assert found["first"] == limits.first
        for name in ("tip_over", "grip", "torque", "fold"):
            own, theirs = limit_of(limits, name), found["limits"][name]
            assert (own is None) == (theirs is None), name
            assert own is None or degrees(theirs) == pytest.approx(own, abs=TIP_DEG), name
        for grade, row in zip(grades, found["rows"], strict=True):
            own = path.row(grade)
            assert row["front_load_n"] == pytest.approx(own.front_load_n, abs=LOAD_N)
            assert row["traction_n"] == pytest.approx([own.rear_traction_n, own.front_traction_n], abs=1e-8)
            assert row["budget"] == pytest.approx({part: own.budget[part] for part in row["budget"]}, abs=LOAD_N)
        assert found["strides"] == pytest.approx([path.row(grade).front_load_n for grade in grades[:3]], abs=LOAD_N)
        lifts = wheel_path.limits
        assert degrees(found["lift"][0]) == pytest.approx(lifts.first_wheel_lift_grade_deg, abs=LIFT_DEG)
        assert found["lift"][1] == lifts.first_wheel
        for own, loads in zip(wheel_path.rows, found["wheels"], strict=True):
            assert loads == pytest.approx([getattr(own, f"{wheel}_load_n") for wheel in WHEELS], abs=SPACE_LOAD_N)


CLIMB_AND_PUNCH = """
return given.map((c)=>{
  const standing=stand(c.vehicle),path=c.grade===null?{}:climb(standing),row=c.grade===null?{}:path.row(c.grade);
  const found=punch(standing,{grade:c.punch,tolerance:c.tolerance,duration:c.duration});
  const ended=found.failed?0:found.run.times[found.run.times.length-1];
  return {limits:path.limits,first:path.first,row,state:standing.solution.state,
    punch:found.failed?{failed:found.failed}:{outcome:found.outcome,airborne:found.airborne,
      events:found.run.events.map((e)=>[e.time,e.name]),front:c.times.filter((t)=>t<=ended).map((t)=>moment(found,t).front_load_n)}};
})"""


def check_crawl(found, limits, row, where):
    """Limits, loads and budget of a crawl as the script found them."""
    assert found["first"] == limits.first, where
    for name in ("tip_over", "grip", "torque", "fold"):
        own = limit_of(limits, name)
        theirs = found["limits"][name]
        assert (own is None) == (theirs is None), (where, name)
        assert own is None or degrees(theirs) == pytest.approx(own, abs=TIP_DEG), (where, name)
    assert found["row"]["status"] == row.status, where
    if row.front_load_n is not None:
        for key in ("front_load_n", "rear_load_n"):
            assert found["row"][key] == pytest.approx(getattr(row, key), abs=LOAD_N), where
        assert sum(found["row"]["budget"].values()) == pytest.approx(row.front_load_n, abs=LOAD_N), where
        for part, value in found["row"]["budget"].items():
            assert value == pytest.approx(row.budget[part], abs=LOAD_N), (where, part)


@pytest.mark.parametrize(
    ("first", "end", "tolerance"),
    [
        (0, 6, "default"),
        pytest.param(6, 101, "default", marks=pytest.mark.slow),
        pytest.param(0, 52, "tight", marks=pytest.mark.slow),
        pytest.param(52, 101, "tight", marks=pytest.mark.slow),
    ],
)
def test_crawl_and_punch_of_random_vehicles(first, end, tolerance):
    """Loads, limits, traces, events and outcomes are those of the studies; where there is no start both say so.

    The tight tolerance is one of traces and events: crawls are looked at once, outcomes there of every fourth vehicle.
    """
    tight = tolerance == "tight"
    duration_s = 0.4 if tight else 1.0
    given, expected = [], []
    times = [0.01 * k for k in range(101)]
    for k, standing in list(enumerate(standings(end)))[first:]:
        path, row = climb_at(k)
        limits, grade = path.uphill_limits, row.grade_deg
        run = punch(
            standing.vehicle,
            grade_deg=0.8 * grade,
            duration_s=duration_s,
            tolerance=tolerance,
            standing=standing,
            outcome=not tight or k % 4 == 0,
        )
        given.append(
            {
                "vehicle": vehicle_numbers(standing),
                "grade": None if tight else radians(grade),
                "punch": radians(0.8 * grade),
                "times": times,
                "tolerance": TOLERANCES[tolerance].tolerance,
                "duration": duration_s,
            }
        )
        expected.append((standing, limits, row, run))
    answers = run_script(CLIMB_AND_PUNCH, given)
    for k, ((standing, limits, row, run), found) in enumerate(zip(expected, answers, strict=True), first):
        where = standing.vehicle.name
        assert np.abs(np.array(found["state"][:8]) - standing.state[:8]).max() < LOAD_N, where
        if not tight:
            check_crawl(found, limits, row, where)
        if not run.success:
            assert "failed" in found["punch"], where
            continue
        if not tight or k % 4 == 0:
            assert found["punch"]["outcome"] == run.summary["outcome"], where
        assert [name for _, name in found["punch"]["events"]] == [event.name for event in run.events], where
        for (time, _), event in zip(found["punch"]["events"], run.events, strict=True):
            assert time == pytest.approx(event.time_s, abs=EVENT_S), where
        own = run.front_load_n[::10][: len(found["punch"]["front"])]
        allowed = TRACE if tolerance == "tight" else LOOSE_TRACE
        assert np.abs(own - found["punch"]["front"]).max() <= allowed * run.front_load_n.max(), where


@pytest.mark.parametrize("link_lengths", ["kept", "fitted"])
@pytest.mark.parametrize("ride_height", ["springs_decide", "reset"])
def test_a_moved_link_end_stands_and_climbs_as_a_set_up_of_the_file(link_lengths, ride_height):
    base = demo_vehicle()
    standing = stand(base)
    x, z = base.rear.upper_link.axle_end[0], base.rear.upper_link.axle_end[-1]
    lines = (
        f'\n[setups.moved]\n"rear.upper_link.axle_end_mm" = [{1e3 * x - 3.0!r}, {1e3 * z + 7.0!r}]\n'
        f'link_lengths = "{link_lengths}"\nride_height = "{ride_height}"\n'
    )
    text = Path(DEMO).read_text(encoding="utf-8") + lines
    changed = load_vehicle(DEMO, text=text, setup="moved")
    own = Climb(changed)
    given = {
        "vehicle": vehicle_numbers(standing),
        "fitted": link_lengths == "fitted",
        "pose": standing.state[:2].tolist() if ride_height == "reset" else None,
    }
    body = """
    const moved=withLinkEnd(given.vehicle,"rear","upper_link","axle",-0.003,0.007,{fitted:given.fitted,pose:given.pose});
    const standing=stand(moved),path=climb(standing);
    return {free:standing.free,tip:path.limits.tip_over,front:[0,20,40,55].map((g)=>path.row(g*RADIANS).front_load_n)};
    """
    found = run_script(body, given)
    assert found["free"] == pytest.approx(own.standing.free_lengths, abs=1e-11)
    assert degrees(found["tip"]) == pytest.approx(own.uphill_limits.tip_over_grade_deg, abs=TIP_DEG)
    assert found["front"] == pytest.approx([own.row(g).front_load_n for g in (0, 20, 40, 55)], abs=LOAD_N)


def test_what_cannot_be_is_said_in_words_and_never_extrapolated():
    """A link far too short does not close; a vehicle with little grip slides; past tip-over there is no number."""
    base = demo_vehicle()
    slippery = replace(
        base,
        rear=replace(base.rear, tyre=replace(base.rear.tyre, grip_coefficient=0.4)),
        front=replace(base.front, tyre=replace(base.front.tyre, grip_coefficient=0.4)),
    )
    given = {"demo": vehicle_numbers(stand(base)), "slippery": vehicle_numbers(stand(slippery))}
    body = """
    const short={...given.demo,values:{...given.demo.values,rear_upper_link_length:0.001}};
    const past=climb(stand(given.demo)).row(75*RADIANS),low=climb(stand(given.slippery));
    return {short:stand(short),past,slide:punch(stand(given.slippery),{grade:35*RADIANS}),row:low.row(35*RADIANS).status,first:low.first};
    """
    found = run_script(body, given)
    assert found["short"] == {"failed": "not_closed"}
    assert found["past"]["status"] == "beyond_tip_over" and "front_load_n" not in found["past"]
    assert found["slide"]["failed"] == "slides_first"
    assert found["row"] == "beyond_grip" and found["first"] == "grip"


LIFT_DEG = 1e-6
SPACE_LOAD_N = 1e-8
"""Both stop at 1e-11 of the weight; soft attitudes magnify it."""


def space_cases(count):
    """The demo's setups, and random vehicles that stand on four wheels."""
    found = [demo_vehicle(), *(demo_vehicle(setup=name) for name in demo_vehicle().setups)]
    seed = 0
    while len(found) < count:
        found.append(random_vehicle_in_space(seed))
        seed += 1
    return found


@pytest.mark.parametrize("count", [4, pytest.param(24, marks=pytest.mark.slow)])
def test_the_first_wheel_to_lift_and_the_loads_before(count):
    given, expected = [], []
    for vehicle in space_cases(count):
        try:
            standing = stand_in_space(vehicle)
            found = wheels_sweep(vehicle, to_deg=20.0, step_deg=10.0)
        except (SolverError, ModelError):
            continue
        given.append(space_numbers_of(standing))
        expected.append(found)
    assert len(given) >= 0.8 * count
    body = """
    return given.map((vehicle)=>{const found=firstLift(vehicle);
      return {lift:found.lift,wheel:found.wheel,both:found.both,loads:[0,10,20].map((g)=>{const from=found.rows.filter((r)=>r.grade<=g*RADIANS).pop(),row=wheelsAt(vehicle,from,g*RADIANS);return row&&row.loads;})};});
    """
    seen = 0
    for own, theirs in zip(expected, run_script(body, given), strict=True):
        grade = own.limits.first_wheel_lift_grade_deg
        if grade is None:
            assert theirs["lift"] is None or theirs["both"], "no single wheel goes first"
            continue
        if theirs["lift"] is None:
            # A fold before the lift ends the page's walk: it says so in words, and gives no grade.
            continue
        seen += 1
        together = own.limits.first_wheel.endswith("_both")
        assert degrees(theirs["lift"]) == pytest.approx(grade, abs=LIFT_DEG)
        assert (f"{theirs['both']}_both" if together else theirs["wheel"]) == own.limits.first_wheel
        for row, loads in zip(own.rows, theirs["loads"], strict=True):
            if row.grade_deg < grade:
                mine = [getattr(row, f"{wheel}_load_n") for wheel in WHEELS]
                assert loads == pytest.approx(mine, abs=SPACE_LOAD_N)
    assert seen >= (len(given) if count == 4 else 0.7 * len(given)), "the demo's own setups all reach their lift"


def test_springs_ratio_and_shafts_move_the_lift_as_in_the_file():
    vehicle = demo_vehicle()
    stiff = replace(vehicle.rear.shock, spring_rate=2.0 * vehicle.rear.shock.spring_rate)
    built = {
        "{}": vehicle,
        "{rearSprings:2}": replace(vehicle, rear=replace(vehicle.rear, shock=stiff)),
        "{ratio:5}": replace(
            vehicle, rear=replace(vehicle.rear, axle_ratio=5.0), front=replace(vehicle.front, axle_ratio=5.0)
        ),
    }
    body = f"return [{','.join(built)},{{shafts:false}}].map((change)=>firstLift(withSpace(given,change)).lift/RADIANS)"
    found = run_script(body, space_numbers_of(stand_in_space(vehicle)))
    own = [wheels_sweep(v, step_deg=60.0).limits.first_wheel_lift_grade_deg for v in built.values()]
    own.append(wheels_sweep(vehicle, step_deg=60.0, shafts=False).limits.first_wheel_lift_grade_deg)
    assert found == pytest.approx(own, abs=LIFT_DEG)


@pytest.mark.slow
def test_an_own_vehicle_on_the_page_s_links_is_what_its_file_makes_of_it():
    """Four numbers and moved link ends: tip-over and load are those of the file that the page gives, read and solved here."""
    body = """
    return [0,8].map((up)=>{const own=ownVehicle(withLinkEnd(given,'rear','upper_link','axle',0,1e-3*up),326,1310,1490,88);
      const path=climb(stand(own));return [path.limits.tip_over,path.row(45*RADIANS).front_load_n,ownFile(326,1310,1490,88,own)];})
      .concat([[ownVehicle(given,326,400,300,88)]]);
    """
    writes = files("noseload.pages.live").joinpath("own.js").read_text(encoding="utf-8")
    *found, (light,) = run_script(writes + body, vehicle_numbers(stand(demo_vehicle())))
    assert light is None, "axles that weigh more than the whole"
    rolling = {"rolling_resistance": 0.03, "contact_offset_share": 0.2}
    for vehicle in divided_vehicles()[::2]:
        axles = {end: replace(axle, tyre=replace(axle.tyre, **rolling)) for end, axle in both_axles(vehicle)}
        found += run_script(writes + body, vehicle_numbers(stand(replace(vehicle, **axles))))[:1]
    for tip, load, file in found:
        path = Climb(load_vehicle("own.toml", text=file))
        assert degrees(tip) == pytest.approx(path.limits.tip_over_grade_deg, abs=1e-6)
        assert load == pytest.approx(path.row(45.0).front_load_n, abs=1e-9 * path.standing.weight)
    assert abs(found[0][0] - found[1][0]) > 1e-4, "link ends move it"


SPOKEN = re.compile(r"""(?:say\(["']|\bW\.|\bW\[["'])([a-z_]+)""")
QUOTED = re.compile(r"""("[^"\n]*")|'[^'\n]*'|`[^`]*`""")


def test_texts_stand_in_one_table():
    """Every text that the script speaks is in the table, or comes from the verdict; the script itself holds no sentence."""
    standing = stand(demo_vehicle())
    sizes = Thresholds().load(0.0, standing.weight).threshold
    known = ENGLISH | size_words(sizes, ENGLISH)
    assert [Judgement(x, sizes).size_words() for x in (0.0, 10 * standing.weight)] == [
        known["unseen"],
        known["noticeable"],
    ]
    script = short_script(live_scripts())
    spoken = set(SPOKEN.findall(script))
    assert len(spoken) > 30 and spoken <= set(known), spoken - set(known)
    failures = set(
        re.findall(r'failed(?::|=) ?"([a-z_]+)"|"([a-z]+_(?:turns_over|not_held))"|ended:"([a-z_]+)"', script)
    )
    keys = {key for found in failures for key in found if key}
    assert len(keys) > 10 and keys <= set(known), keys - set(known)
    assert not [words for words in QUOTED.findall(script) if len(re.findall(r"\b[a-z]{2,}\b(?= |\")", words)) > 2]


def test_the_script_is_shortened_without_a_change_of_meaning():
    """What stands in quotes, templates and patterns stays; a line's end that ends a statement stays one."""
    script = """// a remark
    const a = 1 - -1, b = "x  // no remark", c = `one  ${ a + `two  ${b}` }  three`
    const d = b.replace(/ {2}/, " /* kept */ ")  /* gone */
    return [a, b, c, d, a / 2 / 1]"""
    shorter = short_script(script)
    assert len(shorter) < len(script) - 30 and "remark\n" not in shorter
    assert run_script(shorter, None) == [
        2,
        "x  // no remark",
        "one  2two  x  // no remark  three",
        "x /* kept */ // no remark",
        1,
    ]


def test_the_script_stays_small():
    assert len(solver_script().encode()) <= LARGEST_SCRIPT
