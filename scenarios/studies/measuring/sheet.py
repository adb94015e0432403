"""What the printable measuring sheet asks for, page by page, in the order of an evening."""

from dataclasses import dataclass

from noseload.model.vehicle import ENDS


@dataclass(frozen=True)
class Box:
    """One number to fill in: words, unit, and the key of the vehicle file or the setting it goes to."""

    words: str
    unit: str
    key: str


@dataclass(frozen=True)
class Grid:
    """A small table to fill in; `rows` are the first cells, empty ones are left free."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[str, ...]
    command: str = ""


@dataclass(frozen=True)
class Page:
    """One page: steps, boxes, tables, cautions, and the name of its drawing ('' for none)."""

    level: str
    title: str
    minutes: str
    drawing: str
    steps: tuple[str, ...]
    boxes: tuple[tuple[str, tuple[Box, ...]], ...]
    grids: tuple[Grid, ...]
    cautions: tuple[str, ...]


def sheet_pages(level: str) -> tuple[Page, ...]:
    """Pages for a level: A alone, A and B, or all three.

    Parameters
    ----------
    level : str
        'A', 'B' or 'C'.
    """
    return {"A": PAGES_A, "B": (*PAGES_A, *PAGES_B), "C": (*PAGES_A, *PAGES_B, *PAGES_C)}[level]


_WHOLE = Page(
    level="A",
    title="Whole vehicle: lengths and axle loads",
    minutes="ruler, kitchen scale, 10 minutes",
    drawing="side",
    steps=(
        "Ready to drive, battery in, level floor. Push down and let rise once; read lengths at ride height.",
        "Scale under one axle, a block of its height under the other: read both axles, swap, repeat.",
        "First a known mass on each scale, and the gauge end for end on one board: what they read wrong, no repeat shows.",
    ),
    boxes=(
        (
            "Lengths",
            (
                Box("wheelbase", "mm", "wheelbase_mm"),
                Box("wheel centre above floor, rear", "mm", "rear.tyre.loaded_radius_mm"),
                Box("wheel centre above floor, front", "mm", "front.tyre.loaded_radius_mm"),
                Box("track width", "mm", "track_width_mm"),
                Box("zero of the gauge good to", "deg", "gauge_zero_error_deg"),
            ),
        ),
        (
            "Weights (noseload weigh)",
            (
                Box("rear axle", "g", "weighed.rear_g"),
                Box("front axle", "g", "weighed.front_g"),
                Box("rear axle assembly, if taken out", "g", "rear.axle_mass_g"),
                Box("front axle assembly, if taken out", "g", "front.axle_mass_g"),
                Box("kitchen scale good to", "%", "scale_gain_error_percent"),
                Box("luggage scale good to", "%", "pull_gain_error_percent"),
            ),
        ),
    ),
    grids=(
        Grid("Level", ("repeat", "rear_g", "front_g"), ("1", "2", "3", "4", "5"), "weigh"),
        Grid("Known mass", ("scale", "known_g", "reads_g"), ("kitchen", "kitchen", "luggage")),
        Grid("Gauge on one board", ("turned", "angle_deg"), ("this way", "end for end", "half apart")),
    ),
    cautions=("Motor unplugged while hands are near wheels and links; battery fixed.",),
)

_HEIGHT = Page(
    level="A",
    title="Height of the centre of gravity",
    minutes="kitchen scale, blocks, angle gauge; or a board, a strip of paper and a catch line, 20 minutes",
    drawing="lift",
    steps=(
        "Either: an axle on blocks, three lifts or more between 15 and 40 deg, up and down; scale under the other axle.",
        "Suspension blocked at its standing length, lifted wheels free to roll. Angle or lift: one of them is enough.",
        "Or: a spoke of each wheel tied to its own axle, nothing tied or chocked to the board, slack catch line.",
        "Then board raised until a paper strip under both front tyres pulls free, 5 times.",
    ),
    boxes=(
        ("Only with lift_mm", (Box("tyre rate, both tyres of an axle", "N/mm", "tyre_stiffness_n_per_mm"),)),
        (
            "Result of noseload weigh",
            (Box("height of the centre of gravity", "mm", "weighed.centre_of_gravity_height_mm"),),
        ),
    ),
    grids=(
        Grid("Front lifted", ("angle_deg", "rear_g up", "rear_g down"), ("", "", "", ""), "weigh"),
        Grid("Rear lifted", ("angle_deg", "front_g up", "front_g down"), ("", "", "", ""), "weigh"),
        Grid("Tip test, front uphill", ("repeat", "angle_deg"), ("1", "2", "3", "4", "5"), "weigh"),
    ),
    cautions=(
        "Steep board: the vehicle falls backwards. Slack catch line, soft mat, nobody below; clamp the board.",
        "Motor unplugged while hands are near wheels and links; battery fixed.",
    ),
)

PAGES_A = (_WHOLE, _HEIGHT)

_POINT_BOXES = tuple(
    (
        f"{axle.capitalize()} {part}",
        tuple(
            box
            for end in ("chassis", "axle")
            for box in (
                Box(f"{end} end, x", "mm", f"{axle}.{key}.{end}_end_mm"),
                Box(f"{end} end, y", "mm", f"{axle}.{key}.{end}_end_mm"),
                Box(f"{end} end, z", "mm", f"{axle}.{key}.{end}_end_mm"),
            )
        ),
    )
    for axle in ENDS
    for part, key in (("lower link", "lower_link"), ("upper link", "upper_link"), ("shock", "shock"))
)

_SHOCK_BOXES = tuple(
    (
        f"{axle.capitalize()} axle",
        (
            Box("spring rate, both shocks", "N/mm", f"{axle}.shock.spring_rate_n_per_mm"),
            Box("droop travel from ride height", "mm", f"{axle}.shock.droop_travel_mm"),
            Box("bump travel from ride height", "mm", f"{axle}.shock.bump_travel_mm"),
            Box("tyre rate, both tyres", "N/mm", f"{axle}.tyre.vertical_stiffness_n_per_mm"),
        ),
    )
    for axle in ENDS
)

_SPRING_COLUMNS = ("compression_mm", "scale_g loading", "unloading")

PAGES_B = (
    Page(
        level="B",
        title="Link and shock ends",
        minutes="ruler, set square, paper on the floor, 1 hour",
        drawing="links",
        steps=(
            "Vehicle level at ride height on its wheels. Zero: the floor straight below the rear wheel centre.",
            "x forward, z up from the floor, y to the left from the middle. Read the centre of each bolt or ball.",
            "One side is enough: left and right count once. Read each point twice, put the vehicle down anew between.",
        ),
        boxes=_POINT_BOXES,
        grids=(),
        cautions=("Motor unplugged: a link that snaps over pinches fingers.",),
    ),
    Page(
        level="B",
        title="Springs, tyres, travel",
        minutes="kitchen scale, ruler, weights, 1 hour",
        drawing="spring",
        steps=(
            "Spring: shock on the scale, press to ruler steps over the travel in use, in and out again.",
            "Travel: from ride height to full droop and to full bump, along the shock.",
            "Tyre: height of the wheel centre under five loads or more, to twice the standing one: they tell how it stiffens.",
        ),
        boxes=_SHOCK_BOXES,
        grids=(
            Grid("Spring, rear shock", _SPRING_COLUMNS, ("",) * 6, "measure spring"),
            Grid("Spring, front shock", _SPRING_COLUMNS, ("",) * 6, "measure spring"),
            Grid("Tyre, rear axle", ("added_g", "hub_height_mm", "again"), ("0", "", "", "", ""), "measure tyre"),
            Grid("Tyre, front axle", ("added_g", "hub_height_mm", "again"), ("0", "", "", "", ""), "measure tyre"),
        ),
        cautions=(
            "A pressed spring flies: hold it in a guide, press in line, eye protection on.",
            "Weights above the axle must not slide off onto hands or feet.",
        ),
    ),
    Page(
        level="B",
        title="On the board: is the model right?",
        minutes="board, angle gauge, kitchen scale, an axle's plate on dowels, 1 hour",
        drawing="",
        steps=(
            "Rear wheels hold it, locked by the motor or each tied to its own axle; nothing tied to the board. Catch line slack.",
            "Front plate on dowels, scale under it zeroed again at each angle, tray on. Board up in steps, then down again.",
            "Then raise it until the front lifts, three times. The gauge stays the same way round all evening.",
        ),
        boxes=(
            (
                "Settings",
                (
                    Box("wheels that hold it", "", "held_wheels"),
                    Box("tray, if not zeroed", "g", "tray_g"),
                    Box("kitchen scale good to", "%", "scale_gain_error_percent"),
                    Box("zero of the gauge good to", "deg", "gauge_zero_error_deg"),
                ),
            ),
        ),
        grids=(
            Grid(
                "Front axle load",
                ("grade_deg", "scale_g up", "scale_g down"),
                ("0", "10", "20", "30", "40", "45", "50", "55"),
                "readings",
            ),
            Grid("Tip-over", ("repeat", "grade_deg"), ("1", "2", "3"), "readings"),
        ),
        cautions=(
            "Steep board: the vehicle falls backwards. Slack catch line, soft mat, nobody below; clamp the board.",
        ),
    ),
)

PAGES_C = (
    Page(
        level="C",
        title="Damping, inertia, grip: for the punch",
        minutes="phone film, threads, luggage scale, 1 hour",
        drawing="pendulum",
        steps=(
            "Damping: shock without spring, three weights fall from release to a mark; film 120 frames/s; both directions.",
            "Inertia: chassis on its side on two threads, centre of gravity midway (how far off?); time 20 swings of about 10 deg.",
            "Grip: wheels tied, level surface, pull at wheel centre height; largest pull and pull while sliding.",
        ),
        boxes=(
            (
                "Shocks and inertia",
                (
                    Box("rear damping, both shocks", "N s/m", "rear.shock.damping_n_s_per_m"),
                    Box("front damping, both shocks", "N s/m", "front.shock.damping_n_s_per_m"),
                    Box("chassis pitch inertia", "kg mm²", "body.pitch_inertia_kg_mm2"),
                    Box("wheel pair inertia, each axle", "kg mm²", "rear.wheel_pair_inertia_kg_mm2"),
                    Box("grip coefficient", "", "tyre.grip_coefficient"),
                ),
            ),
            (
                "Hung part",
                (
                    Box("mass of the part", "g", "mass_g"),
                    Box("thread spacing", "mm", "thread_spacing_mm"),
                    Box("thread length", "mm", "thread_length_mm"),
                    Box("its centre off the middle", "mm", "part_offset_mm"),
                    Box("load for the pull test", "g", "load_g"),
                ),
            ),
        ),
        grids=(
            Grid("Damping, rear shock", ("direction", "weight_g", "distance_mm", "time_s"),
                 ("compression",) * 3 + ("extension",) * 3, "measure damping"),
            Grid("Damping, front shock", ("direction", "weight_g", "distance_mm", "time_s"),
                 ("compression",) * 3 + ("extension",) * 3, "measure damping"),
            Grid("Swings", ("swings", "time_s", "amplitude_deg"), ("20", "20", "20", "20", "20"), "measure inertia"),
            Grid("Pull test", ("repeat", "peak_pull_g", "sliding_pull_g"), ("1", "2", "3", "4", "5"), "measure grip"),
        ),
        cautions=(
            "Falling weights: soft tray below, fingers away. Hung chassis: knots that hold, mat below, battery out.",
            "The scale jumps when the tyres let go: keep your face out of line.",
        ),
    ),
    Page(
        level="C",
        title="Tyres at the ground: grams on a slope",
        minutes="luggage scale, string, kitchen scale, 1 hour",
        drawing="pendulum",
        steps=(
            "Rolled free: pinion out, level floor, thread at hub height, walking pace; steady pull there and back.",
            "Give: suspension blocked, wheels tied, front on a scale; string 10 mm above the floor pulls the body back.",
            "One axle alone: ten turns by hand under half, all and twice of its load.",
            "Crawl: ten turns without a pull and against two, at least twice; all again with 1.5 kg above the middle (added_g).",
        ),
        boxes=(
            (
                "Settings",
                (
                    Box("whole vehicle", "g", "load_g"),
                    Box("rate of an axle's tyres", "N/mm", "tyre_stiffness_n_per_mm"),
                    Box("height of the centre of gravity", "mm", "centre_of_gravity_height_mm"),
                ),
            ),
            (
                "Results of noseload measure contact",
                (
                    Box("rolling resistance", "", "tyre.rolling_resistance"),
                    Box("lengthwise rate, each axle", "N/mm", "tyre.lengthwise_stiffness_n_per_mm"),
                    Box("share of the give", "", "tyre.contact_offset_share"),
                    Box("share of the radius", "", "tyre.rolling_radius_share"),
                    Box("slip stiffness", "", "tyre.slip_stiffness"),
                    Box("its power of the load", "", "tyre.slip_stiffness_exponent"),
                ),
            ),
        ),
        grids=(
            Grid("Rolled free", ("repeat", "pull_there_g", "pull_back_g"), ("1", "2", "3", "4", "5"), "measure contact"),
            Grid("Pulled back, wheels tied", ("pull_g", "front_scale_g", "hub_shift_mm"), ("0", "500", "1000", "1500"),
                 "measure contact"),
            Grid("One axle rolled", ("axle_load_g", "way_mm", "repeat"), ("", "", "", "", "", ""), "measure contact"),
            Grid("Crawl against a pull", ("pull_g", "way_mm", "added_g 1500"), ("0", "500", "1000", "0", "500", "1000"),
                 "measure contact"),
        ),
        cautions=(
            "A string under tension whips when it lets go: face out of line, eye protection on.",
            "Weights on a rolled axle must not fall on feet or fingers.",
        ),
    ),
    Page(
        level="C",
        title="Motor: from films of the wheels",
        minutes="phone film at 240 frames/s, 1 hour",
        drawing="wheel",
        steps=(
            "Tape on one spoke. Wheels in the air, then level grip tape: throttle from rest at once, film until "
            "steady.",
            "The same throttle in both, as large as the grip allows without spinning; then half of it.",
            "Read wheel_angle_deg every few frames, counting on past each turn, into a file with a number for each "
            "film.",
        ),
        boxes=(
            (
                "Settings",
                (
                    Box("whole vehicle", "g", "mass_g"),
                    Box("loaded radius", "mm", "rolling_radius_mm"),
                    Box("inertia of all driven wheels", "kg mm²", "driven_wheels_inertia_kg_mm2"),
                    Box("grip there (it tells the slip)", "", "grip_coefficient"),
                    Box("motor can, diameter", "mm", "can_diameter_mm"),
                    Box("motor can, length", "mm", "can_length_mm"),
                    Box("motor turns", "", "motor_turns"),
                    Box("wheel turns meanwhile", "", "wheel_turns"),
                ),
            ),
            (
                "Results of noseload measure motor",
                (
                    Box("stall torque at the wheels", "N mm", "drive.stall_torque_n_mm"),
                    Box("no-load speed of the wheels", "rad/s", "drive.no_load_speed_rad_per_s"),
                    Box("rotor inertia at the wheels", "kg mm²", "drive.rotor_inertia_kg_mm2"),
                ),
            ),
        ),
        grids=(
            Grid("Film: ........  throttle ......", ("time_s", "wheel_angle_deg"), ("",) * 10, "measure motor"),
            Grid("Film: ........  throttle ......", ("time_s", "wheel_angle_deg"), ("",) * 10, "measure motor"),
        ),
        cautions=(
            "Wheels in the air run at full speed: nothing loose near, hair and hands away, eye protection on.",
            "Motor, battery and speed controller get hot: pauses between films, stop at any smell. Clear lane, soft "
            "stop.",
        ),
    ),
)  # fmt: skip
