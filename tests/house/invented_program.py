"""Everything that noseload tells about a budget, printed as JSON: parts, whole, rounding (g).

Run after `invented_part.invent`, so that the budget has a part more.
"""

import contextlib
import csv
import io
import json
import re
import tempfile
from pathlib import Path

from noseload import compare, demo_vehicle, punch, sweep
from noseload.__main__ import main
from noseload.model.crawl.budget_parts import KEYS
from noseload.model.units import grams_of_force
from noseload.pictures.climb.loads import plot_budget
from noseload.pictures.climb.summary import plot_creep_budget
from noseload.pictures.punch.punch import plot_budget_over_time

NUMBER = r"[-+]?\d[\d,]*(?:\.\d+)?"


def said(*arguments):
    """What a command prints."""
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        main([*arguments])
    return out.getvalue()


def column(
    text, place, first="standing on the level", last="front axle load", header="where the front load comes from"
):
    """Numbers of one column (as "1,234.5 g") of a table, its last row apart."""
    rows = text[text.index(header) :].splitlines()[1:]
    numbers = []
    for row in rows:
        found = [float(n.replace(",", "")) for n in re.findall(rf"({NUMBER}) g\b", row)]
        numbers += found[place : place + 1]
        if row.strip().startswith(last):
            return numbers[:-1], numbers[-1]
    raise ValueError("no last row")


def documents():
    """JSON and text of a crawl and a punch, and rows of a sweep's CSV."""
    text = said("creep", "--grade", "45")
    yield "creep text", [(*column(text, 0), 1.0)]
    body = json.loads(said("creep", "--grade", "45", "--json"))
    yield (
        "creep json",
        [([grams_of_force(v) for v in body["budget"].values()], grams_of_force(body["front_load_n"]), 0.0)],
    )
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "rows.csv")
        said("sweep", "--to", "40", "--step", "20", "--csv", str(path))
        rows = list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8"))))
    keys = [f"budget_{key}" for key in KEYS]
    yield "sweep csv", [([float(r[key]) for key in keys], float(r["front_load_n"]), 1e-6) for r in rows]
    text = said("punch", "--grade", "30")
    yield "punch text", [(*column(text, place), 1.0) for place in (0, 1)]
    body = json.loads(said("punch", "--grade", "30", "--json"))
    yield "punch json", [([part[k] for part in body["budget"].values()], body["front_load_n"][k], 0.0) for k in (0, 40)]


def verdict():
    """The sentence about a set-up: its parts and the whole difference."""
    base = demo_vehicle()
    words = compare([base, demo_vehicle(setup="raised_rear_upper_mount")], grade_deg=45.0).differences[0].load_verdict
    head, tail = words.split("; through ")
    whole = float(re.search(rf"front load by ({NUMBER})", head)[1])
    return [float(n) for n in re.findall(rf" ({NUMBER}) g", tail)], whole, 0.1


def page():
    """The table of the report."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "page.html")
        said("report", "--grade", "40", "--out", str(path))
        html = path.read_text(encoding="utf-8")
    table = next(t for t in re.findall(r"<table.*?</table>", html, re.S) if "each column adds up" in t)
    rows = [re.findall(r"<td[^>]*>(.*?)</td>", row, re.S) for row in re.findall(r"<tr>(.*?)</tr>", table, re.S)]
    cells = [
        [float(re.search(NUMBER, re.sub("<.*?>", "", c).replace("\u2212", "-"))[0]) for c in row] for row in rows if row
    ]
    return [([row[k] for row in cells[:-1]], cells[-1][k], 0.1) for k in range(len(cells[0]))]


def pictures():
    """Bars and areas of the pictures."""
    vehicle = demo_vehicle()
    climb = sweep(vehicle, to_deg=45.0, step_deg=15.0)
    row = climb.rows[-1]
    ax = plot_creep_budget(row)
    *parts, whole = [bar.get_height() for bar in ax.patches]
    yield (
        "picture of a crawl",
        [(parts, grams_of_force(row.front_load_n), 0.02), ([whole], grams_of_force(row.front_load_n), 0.02)],
    )
    ax = plot_budget(climb)
    tops = {float(y) for area in ax.collections for x, y in area.get_paths()[0].vertices if abs(x - 45.0) < 1e-9}
    yield (
        "picture of a sweep",
        [
            ([min(tops)], grams_of_force(row.front_load_n), 0.02),
            ([float(len(ax.collections))], len(told_of(row)) - 1, 0.0),
        ],
    )
    done = punch(vehicle, grade_deg=30.0)
    ax = plot_budget_over_time(done)
    spans = [
        (min(v), max(v))
        for v in ([y for x, y in a.get_paths()[0].vertices if abs(x - done.time_s[60]) < 1e-12] for a in ax.collections)
    ]
    up = sum(b - a for a, b in spans if a >= -1e-9)
    down = sum(b - a for a, b in spans if a < -1e-9)
    yield "picture of a punch", [([up, -down], grams_of_force(done.front_load_n[60]), 0.02)]


def told_of(row):
    """Parts of a crawl that are not zero."""
    return [key for key, part in row.budget.items() if part]


def tell():
    """Print it all."""
    found = dict(documents())
    found["verdict"] = [verdict()]
    found["page"] = page()
    found |= dict(pictures())
    print(json.dumps(found))
