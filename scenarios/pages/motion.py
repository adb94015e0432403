"""What the player shows: poses, forces and budget of every frame, rounded as stated, from the solved results."""

from math import cos, degrees, radians, sin

import numpy as np

from noseload.model.crawl.budget_parts import KEYS as BUDGET_KEYS
from noseload.model.crawl.geometry import BODY_ROWS, solved_pose
from noseload.model.motion.vehicle_motion import COORDINATE_ROWS
from noseload.model.parameters import ENDS, LINKS, axle_of, wheel_height
from noseload.model.units import grams_of_force
from noseload.studies.climb.standing import coordinates_of

GRADE_STEP = 0.5
"""Between frames of the crawl, deg."""
TIME_STEP = 0.005
"""Between frames of the punch, s."""
SHOWN_DIGITS = 6
"""Decimals kept of grams and degrees that are shown: so many that rounding once more shows what rounding once would."""
PLACE_DIGITS, TURN_DIGITS = 2, 3
"""Decimals kept of millimetres and degrees that are only drawn."""
ROOM_MM = 58.0
"""Free paper round everything, for arrows and their words."""
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def letter(k: int) -> str:
    """Short name of the k-th set-up in drawings and tables: A, B, ... Z, A2, ..."""
    return LETTERS[k % len(LETTERS)] + (str(k // len(LETTERS) + 1) if k >= len(LETTERS) else "")


def motion_data(members, looks) -> dict:
    """Everything the player needs, as plain values.

    Parameters
    ----------
    members : sequence of studies.report.ReportMember
    looks : sequence of (colour, dash array)
        One for each set-up.

    Returns
    -------
    dict
        `columns` names the numbers of a frame; `setups`, and for both modes the paper window in mm.
    """
    setups = [_setup(member, k, looks[k]) for k, member in enumerate(members)]
    first = next((m.punch for m in members if m.punch is not None and m.punch.success), None)
    windows = {"creep": _window(setups, "creep", None)}
    data = {
        "columns": ["at", *_pose_names(), *NUMBERS, *BUDGET_KEYS],
        "grade_step_deg": GRADE_STEP,
        "time_step_s": TIME_STEP,
        "setups": setups,
        "windows": windows,
    }
    if first is not None:
        data |= {
            "punch_grade_deg": first.options.grade_deg,
            "punch_events": [
                {"time_s": event.time_s, "setup": k, "name": event.name}
                for k, m in enumerate(members)
                if m.punch is not None and m.punch.success
                for event in m.punch.events
            ],
        }
        windows["punch"] = _window(setups, "punch", first.options.grade_deg)
    return data


NUMBERS = (
    "front_load_g",
    "rear_load_g",
    "front_traction_g",
    "rear_traction_g",
    "nose_up_pitch_deg",
    "travel_mm",
    "cg_x_mm",
    "cg_z_mm",
)


def _pose_names():
    return [f"{body}_{axis}" for body in BODY_ROWS for axis in ("x_mm", "z_mm", "theta_deg")]


def _setup(member, k, look):
    colour, dash = look
    parts = _rigid_parts(member) if member.rigid else _parts(member.climb.standing.values)
    weight = member.climb.weight if member.rigid else member.climb.standing.weight
    limits = member.sweep.limits
    return {
        "name": member.name,
        "letter": letter(k),
        "colour": colour,
        "dash": dash,
        **parts,
        "weight_g": round(grams_of_force(weight), SHOWN_DIGITS),
        "tip_over_grade_deg": limits.tip_over_grade_deg,
        "creep": _creep_frames(member),
        "punch": _punch_frames(member),
        "outcome": None if member.punch is None or not member.punch.success else member.punch.summary["outcome"],
    }


def _parts(values):
    """Points fixed in each body, mm: hull, links, shocks, wheel centres."""

    def local(name):
        return [round(1e3 * values[f"{name}_x"], PLACE_DIGITS), round(1e3 * values[f"{name}_z"], PLACE_DIGITS)]

    bars: dict[str, list[dict]] = {"links": [], "shocks": []}
    for end in ENDS:
        for name in (*LINKS, "shock"):
            kind = "shocks" if name == "shock" else "links"
            bars[kind].append(
                {"end": end, "chassis": local(f"{end}_{name}_chassis"), "axle": local(f"{end}_{name}_axle")}
            )
    points = {"chassis": [bar["chassis"] for bar in (*bars["links"], *bars["shocks"])]}
    for end in ENDS:
        points[end] = [bar["axle"] for bar in (*bars["links"], *bars["shocks"]) if bar["end"] == end] + [
            local(f"{end}_wheel_centre")
        ]
    return {
        "hulls": points,
        **bars,
        "wheels": {end: local(f"{end}_wheel_centre") for end in ENDS},
        "radii": {end: round(1e3 * values[f"{end}_tyre_radius"], PLACE_DIGITS) for end in ENDS},
    }


def _rigid_parts(member):
    """A block on two wheel pairs: nothing is known between them."""
    vehicle, climb = member.vehicle, member.climb
    heights = {end: 1e3 * wheel_height(axle_of(vehicle, end)) for end in ENDS}
    spots = {"rear": -1e3 * climb.distance, "front": 1e3 * (vehicle.wheelbase - climb.distance)}
    frame = [[spots[end], heights[end] - 1e3 * climb.height] for end in ENDS]
    return {
        "hulls": {"chassis": [*frame, [0.0, 0.0]], "rear": [], "front": []},
        "links": [],
        "shocks": [],
        "wheels": {end: [0.0, 0.0] for end in ENDS},
        "radii": heights,
    }


def _creep_frames(member):
    end = member.sweep.limits.steepest_equilibrium_deg
    grades = [GRADE_STEP * k for k in range(int(end / GRADE_STEP + 1e-9) + 1)]
    return [_creep_frame(member, grade) for grade in grades]


def _creep_frame(member, grade_deg):
    row = member.climb.row(grade_deg)
    if row.front_load_n is None:
        return None
    if member.rigid:
        climb, base = member.climb, member.vehicle.wheelbase
        coordinates = [
            climb.distance,
            climb.height,
            0.0,
            0.0,
            wheel_height(member.vehicle.rear),
            0.0,
            base,
            wheel_height(member.vehicle.front),
            0.0,
        ]
        centre = climb.distance, climb.height
    else:
        coordinates = coordinates_of(row.state)
        centre = solved_pose(member.climb.standing.values, coordinates).points["centre_of_gravity"]
    loads = row.front_load_n, row.rear_load_n, row.front_traction_n, row.rear_traction_n
    return _frame(
        grade_deg, coordinates, loads, row.nose_up_pitch_deg, 0.0, centre, [row.budget[key] for key in BUDGET_KEYS]
    )


def _punch_frames(member):
    """Frames every `TIME_STEP`; a run ended by a flip is shorter."""
    done = member.punch
    if done is None or not done.success:
        return []
    stride = max(1, round(TIME_STEP / done.options.sample_s))
    values, frames = done.standing.values, []
    for i in range(0, len(done.time_s), stride):
        coordinates = done.states[COORDINATE_ROWS, i]
        loads = [done.traces[key][i] for key in ("front_load_n", "rear_load_n", "front_traction_n", "rear_traction_n")]
        centre = solved_pose(values, coordinates).points["centre_of_gravity"]
        frames.append(
            _frame(
                done.time_s[i],
                coordinates,
                loads,
                done.traces["nose_up_pitch_deg"][i],
                done.traces["travel_mm"][i],
                centre,
                [done.budget[key][i] for key in BUDGET_KEYS],
            )
        )
    return frames


def _frame(at, coordinates, loads, pitch, travel, centre, budget):
    pose = []
    for k, value in enumerate(coordinates):
        pose.append(round(degrees(value), TURN_DIGITS) if k % 3 == 2 else round(1e3 * float(value), PLACE_DIGITS))
    grams = [round(float(grams_of_force(load)), SHOWN_DIGITS) for load in (*loads, *budget)]
    places = [round(float(pitch), SHOWN_DIGITS), round(float(travel), PLACE_DIGITS)]
    places += [round(1e3 * float(value), PLACE_DIGITS) for value in centre]
    return [round(float(at), 6), *pose, *grams[:4], *places, *grams[4:]]


def _window(setups, mode, grade_deg):
    """Paper box [x, y, width, height] in mm, y down, that holds every frame of a mode with room for arrows."""
    corners = []
    for setup in setups:
        for frame in setup[mode]:
            if frame is not None:
                corners.append(_corners(setup, frame, frame[0] if grade_deg is None else grade_deg))
    if not corners:
        return [0.0, 0.0, 100.0, 100.0]
    points = np.concatenate(corners)
    low, high = points.min(axis=0) - ROOM_MM, points.max(axis=0) + ROOM_MM
    return [round(float(v), 1) for v in (low[0], -high[1], high[0] - low[0], high[1] - low[1])]


def _corners(setup, frame, grade_deg):
    """Paper places of the tyres' edges and the hull, the rear contact at the origin."""
    turn = radians(grade_deg)
    places, spread = [], []
    for k, body in enumerate(BODY_ROWS):
        x, z, theta = frame[1 + 3 * k], frame[2 + 3 * k], radians(frame[3 + 3 * k])
        for px, pz in (*setup["hulls"][body], *([setup["wheels"][body]] if body in ENDS else [])):
            places.append((x + px * cos(theta) + pz * sin(theta), z - px * sin(theta) + pz * cos(theta)))
            spread.append(0.0)
        if body in ENDS:
            spread[-1] = setup["radii"][body]
            if body == "rear":
                origin = places[-1][0]
    points = np.array(places) - (origin, 0.0)
    turned = np.column_stack(
        (points[:, 0] * cos(turn) - points[:, 1] * sin(turn), points[:, 0] * sin(turn) + points[:, 1] * cos(turn))
    )
    reach = np.array(spread)[:, None]
    return np.concatenate((turned - reach, turned + reach))
