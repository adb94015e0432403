"""The vehicle as the rest of the program sees it: frozen, in SI units and radians.

Datum of all points: the floor point below the rear wheel centre, vehicle level at ride height
(the "measured pose"); x forward, y left, z up.
"""

from dataclasses import dataclass, field

from .errors import ModelError

ENDS = ("rear", "front")
SIDES = ("left", "right")
"""Names of the axles and of the wheels of one, in the order in which they stand everywhere."""

Point = tuple[float, float | None, float]
"""(x, y, z) in m; y is None where the file gave only the side view."""


@dataclass(frozen=True)
class Rod:
    """A pair of left and right links, counted once: end points in the measured pose, m.

    In space the points are those of the left one; the right one mirrors it.
    """

    chassis_end: Point
    axle_end: Point
    single: bool = False
    """One link at the y of its points in place of a mirrored pair."""


@dataclass(frozen=True)
class Shock:
    """Both shocks of one axle counted once. Rates N/m, damping N s/m, lengths and travels m."""

    chassis_end: Point
    axle_end: Point
    spring_rate: float
    damping: float
    droop_travel: float
    bump_travel: float
    stop_stiffness: float
    stop_damping: float
    free_length: float | None = None
    """None: set so that the vehicle as measured stands with the shocks at their measured length."""
    spring_held: bool = False
    """Both ends of the coil are held, so that it also pulls; a coil that only sits on its seats never does."""
    collar_shift: float = 0.0
    """How far a change screwed the spring collar down from where the base has it: longer free length, m."""
    friction: float | None = None
    """Dry friction of both shocks together, N; None where the file does not say."""


@dataclass(frozen=True)
class Tyre:
    """Both tyres of one axle counted once."""

    radius: float | None
    """Free radius, m; exactly one of `radius` and `loaded_radius` is given."""
    loaded_radius: float | None
    """Height of the wheel centre as the vehicle stands, m."""
    vertical_stiffness: float
    vertical_damping: float
    grip_coefficient: float
    slip_speed: float
    slip_ratio_scale: float
    rolling_resistance: float = 0.0
    """Share of the load: a moment of that share times load times height of the wheel centre against the rolling."""
    lengthwise_stiffness: float = 5000.0
    """Of the pair, N/m."""
    contact_offset_share: float = 0.0
    """Share of the lengthwise give by which traction moves the resultant of the load forward."""
    rolling_radius_share: float | None = None
    """Share of what the tyre is pressed in that is missing to its rolling radius; None: not measured."""
    slip_stiffness: float | None = None
    """Traction per load per slip where slip begins; None: as the slip law has it."""
    slip_stiffness_exponent: float = 1.0
    """n of the slip stiffness over the load, ``C = c N0 (N / N0)^n``, N0 half of the vehicle's weight."""

    @property
    def slip_softness(self) -> float:
        """1 - n: what the slip stiffness falls behind the load, as the kernels take it."""
        return 1.0 - self.slip_stiffness_exponent

    @property
    def contact_give(self) -> float:
        """How far the load's resultant moves forward per traction of the pair, m/N."""
        return self.contact_offset_share / self.lengthwise_stiffness

    @property
    def wheel_centre_height(self) -> float:
        """Height of the wheel centre in the measured pose, m: the datum of all heights."""
        if self.loaded_radius is not None:
            return self.loaded_radius
        if self.radius is None:
            raise ModelError("a tyre has neither radius nor loaded_radius; give one of the two, m")
        return self.radius


@dataclass(frozen=True)
class Axle:
    """One axle assembly (housing plus wheel pair), its two links and its shock."""

    mass: float
    housing_pitch_inertia: float
    wheel_pair_inertia: float
    tyre: Tyre
    lower_link: Rod | None
    upper_link: Rod | None
    shock: Shock | None
    centre_of_gravity_offset: tuple[float, float] = (0.0, 0.0)
    """From the wheel centre to the centre of gravity of the assembly in the measured pose, m: zero unless a
    mass was added to the housing. `housing_pitch_inertia` is about that centre of gravity."""
    side_offset: float = 0.0
    """y of the centre of gravity of the assembly, m: zero unless a mass was added off the middle."""
    roll_inertia: float | None = None
    """Whole assembly about a lengthwise axis through its centre of gravity, and about an upright one, kg m2."""
    track_width: float | None = None
    """Between the middles of the tyre treads, m; None where neither the axle nor the vehicle has it."""
    lateral_link: Rod | None = None
    """One link across, from the chassis to the axle; always `single`."""
    axle_ratio: float | None = None
    """Turns of the lengthwise shaft for one turn of both wheels; None without such a shaft."""
    shaft_direction: float = 1.0
    """+1: driving forward the shaft turns clockwise seen from behind; -1: counterclockwise."""
    drive_shaft: Rod | None = None
    """The line of the lengthwise shaft; None where the file does not give it."""
    shaft_friction: float | None = None
    """Friction coefficient of the shaft's splines over their radius, 1/m; None where the file does not say."""


@dataclass(frozen=True)
class Body:
    """The sprung part: everything that is not an axle assembly. kg, m (x, z), kg m2."""

    mass: float
    centre_of_gravity: tuple[float, float]
    pitch_inertia: float
    side_offset: float = 0.0
    """y of the centre of gravity, m."""
    roll_inertia: float | None = None
    yaw_inertia: float | None = None
    """About lengthwise and upright axes through the centre of gravity, kg m2; None: only motion in space needs it."""


@dataclass(frozen=True)
class Drive:
    """Motor and gear train, referred to the wheels. N m, rad/s, kg m2."""

    driven_axles: str
    """'both', 'rear' or 'front'."""
    stall_torque: float
    no_load_speed: float
    rotor_inertia: float
    front_overdrive: float = 1.0
    drag_brake_torque: float = 0.0


@dataclass(frozen=True)
class Assumption:
    """A value the file did not give: file units, with the range it is believed to lie in."""

    key: str
    value: float
    low: float
    high: float
    unit: str
    reason: str


@dataclass(frozen=True)
class Vehicle:
    """A vehicle as measured, or one setup of it; everything in SI and radians.

    `link_lengths` and `free_lengths` hold what a setup inherits from its base (None: as the
    points of this vehicle say); see `noseload.model.file.setups`.
    """

    name: str
    level: str
    """'A' (rigid loads only), 'B' (links and springs) or 'C' (motor and damping too)."""
    wheelbase: float
    body: Body
    rear: Axle
    front: Axle
    drive: Drive
    track_width: float | None = None
    setup: str = "base"
    notes: str = ""
    assumed: tuple[Assumption, ...] = ()
    warnings: tuple[str, ...] = ()
    ride_height: str = "springs_decide"
    """'springs_decide' or 'reset' (only a setup can be reset)."""
    ride_height_shift: tuple[float, float] = (0.0, 0.0)
    """With a reset ride height: how much higher than its base the chassis stands over each axle, rear and
    front, m."""
    link_lengths: str = "kept"
    """'kept' or 'fitted' (only a setup can keep the lengths of its base)."""
    base: "Vehicle | None" = field(default=None, repr=False)
    """The vehicle this setup changes; None for the base itself."""
    document: dict = field(default_factory=dict, repr=False, compare=False)
    """The file as read (plain TOML values), setup lines applied."""
    file: str = field(default="", compare=False)
    sha256: str = field(default="", compare=False)

    def __repr__(self) -> str:
        return (
            f"<Vehicle {self.name!r}, setup {self.setup!r}, level {self.level}: {self.mass:.3f} kg, wheelbase "
            f"{self.wheelbase * 1e3:.1f} mm, {len(self.assumed)} assumed, {len(self.warnings)} warnings>"
        )

    @property
    def mass(self) -> float:
        """Total mass, kg."""
        return self.body.mass + self.rear.mass + self.front.mass

    @property
    def setups(self) -> tuple[str, ...]:
        """Names of the setups of the file, in its order; 'base' is not among them."""
        source = self if self.base is None else self.base
        return tuple(source.document.get("setups", ()))

    def assumption(self, key: str) -> Assumption | None:
        """What was assumed for the dotted file key, or None where the file gives it."""
        return next((item for item in self.assumed if item.key == key), None)
