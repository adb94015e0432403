"""Results of an independent program for vehicles in space, and the vehicles as files say them."""

import json
from functools import cache
from pathlib import Path

import numpy as np

from noseload.model import parse_vehicle

DATA = Path(__file__).parents[1] / "data"
NAMES = ("leaning", "single_upper")
GRIP = 2.4
"""Of all four tyres of these vehicles."""
TURNS = {1.0: "clockwise", -1.0: "counterclockwise"}


@cache
def statics(name):
    """Static rows of one vehicle."""
    return json.loads((DATA / f"space-{name}.statics.json").read_text())


def document(data):
    """Vehicle file values from that program's own: its table `space` and its name of the link across."""
    plain = {key: value for key, value in data.items() if key != "space"}
    plain = json.loads(json.dumps(plain))
    more = data["space"]
    x, z = plain["body"]["centre_of_gravity_mm"]
    plain["body"] |= {
        "centre_of_gravity_mm": [x, more["centre_of_gravity_y_mm"], z],
        "roll_inertia_kg_mm2": more["chassis_roll_inertia_kg_mm2"],
        "yaw_inertia_kg_mm2": more["chassis_yaw_inertia_kg_mm2"],
    }
    for end in ("rear", "front"):
        axle = plain[end]
        axle["axle_roll_inertia_kg_mm2"] = more[end]["axle_roll_inertia_kg_mm2"]
        axle["axle_ratio"] = more[end]["axle_ratio"]
        axle["shaft_turns"] = TURNS[more[end]["shaft_direction"]]
        if "lateral_rod" in axle:
            axle["lateral_link"] = axle.pop("lateral_rod")
        axle["shock"]["spring_held"] = True
    return plain


@cache
def vehicle(name):
    """The vehicle of one set of rows."""
    return parse_vehicle(document(statics(name)["vehicle"]["data"]), file=f"{name}.toml")


def rows_of(name, kind):
    """Rows whose kind has a word in it."""
    return [row for row in statics(name)["rows"] if kind in row["kind"]]


def state_of(row):
    """Unknowns of `noseload.model.space.equilibrium` for a row of that program."""
    places, turns = np.array(row["pos_m"]), np.array(row["rot"])
    chassis = turns[0]
    state = [places[0][2], np.arctan2(-chassis[2, 0], chassis[0, 0]), np.arctan2(-chassis[1, 2], chassis[1, 1])]
    for place, turn in zip(places[1:], turns[1:], strict=True):
        heading = np.arctan2(-turn[0, 1], turn[1, 1])
        state += [*place, heading, np.arcsin(turn[2, 1]), np.arctan2(-turn[2, 0], turn[2, 2])]
    loads = np.array(row["load_n"])
    k = int(np.argmax(loads[:2]))
    # Driven at the rear at least, so the grip used is read there.
    side = [
        row["side_n"][i] / loads[2 * i : 2 * i + 2].sum() if loads[2 * i : 2 * i + 2].sum() else 0.0 for i in (0, 1)
    ]
    return np.array([*state, *row["tension_n"], row["fx_n"][k] / (GRIP * loads[k]), *side])
