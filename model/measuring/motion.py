"""Laws behind the moving measurements: falling weight, released bounce, run-up of motor and wheels.

SI units and radians throughout; arguments may be arrays.
"""

from math import tanh

import numpy as np

from noseload.model.units import STANDARD_GRAVITY


def falling_weight_time(distance: np.ndarray, mass: np.ndarray, damping: float, friction: float) -> np.ndarray:
    """Time from release in which a weight drives a damper through `distance`.

    Parameters
    ----------
    distance, mass : float or ndarray
        m; kg, everything that falls.
    damping, friction : float
        F = friction + damping v against the motion, N s/m and N.

    Returns
    -------
    float or ndarray
        s; nan where friction holds the weight.

    Notes
    -----
    x = v (t - tau (1 - exp(-t / tau))) with v = (m g - friction) / c and tau = m / c, solved for t by the
    Lambert W function: t / tau = a + 1 + W0(-exp(-(a + 1))), a = x / (v tau).
    """
    from scipy.special import lambertw

    mass = np.asarray(mass, dtype=float)
    drive = mass * STANDARD_GRAVITY - friction
    with np.errstate(divide="ignore", invalid="ignore"):
        speed = np.where(drive > 0.0, drive / damping, np.nan)
        settling = mass / damping
        shape = distance / (speed * settling) + 1.0
        return settling * (shape + np.real(lambertw(-np.exp(-shape))))


def bounce_peaks(count: np.ndarray, first: float, ratio: float) -> np.ndarray:
    """Sizes of successive half-swing peaks of a linearly damped bounce: first x ratio^count."""
    return first * ratio**count


def logarithmic_decrement(half_swing_ratio: float) -> float:
    """Decrement over a full swing from the ratio of successive half-swing peaks (positive sizes)."""
    return -2.0 * np.log(half_swing_ratio)


def damping_ratio(decrement: float) -> float:
    """Damping ratio from the decrement; inverse of decrement = 2 pi zeta / sqrt(1 - zeta^2).

    References
    ----------
    W. T. Thomson, Theory of Vibration (from memory).
    """
    return decrement / np.hypot(2.0 * np.pi, decrement)


def wheel_damping_from_bounce(mass: float, decrement: float, damped_period: float) -> float:
    """Damping at the wheel, c = 2 m decrement / T_d, exact for m x'' + c x' + k x = 0."""
    return 2.0 * mass * decrement / damped_period


def wheel_rate_from_bounce(mass: float, decrement: float, damped_period: float) -> float:
    """Spring rate at the wheel, k = m ((2 pi)^2 + decrement^2) / T_d^2, exact as above."""
    return mass * ((2.0 * np.pi) ** 2 + decrement**2) / damped_period**2


def run_up_travel(time: np.ndarray, final_speed: float, time_constant: float) -> np.ndarray:
    """Travel after a step of throttle from rest: v (t - tau (1 - exp(-t / tau))), zero before the step."""
    running = np.maximum(time, 0.0)
    return final_speed * (running + time_constant * np.expm1(-running / time_constant))


def ramped_run_up_travel(time: np.ndarray, final_speed: float, time_constant: float, rise: float) -> np.ndarray:
    """Travel after a throttle that rises evenly over `rise` (s) from rest: the mean of the steps within it.

    The law is linear, so that a ramp is a row of small steps: (A(t) - A(t - rise)) / rise, A the integral of
    `run_up_travel`.
    """
    if rise <= 1e-6 * time_constant:
        return run_up_travel(time, final_speed, time_constant)

    def area(since: np.ndarray) -> np.ndarray:
        running = np.maximum(since, 0.0)
        settled = -np.expm1(-running / time_constant)
        return final_speed * (0.5 * running**2 - time_constant * running + time_constant**2 * settled)

    return (area(time) - area(time - rise)) / rise


def ramped_run_up_slopes(time: np.ndarray, final_speed: float, time_constant: float, rise: float) -> np.ndarray:
    """Derivatives of `ramped_run_up_travel` by time, final speed, time constant and rise, shape (4, n).

    With A the integral of `run_up_travel`, B its slope by time and C its slope by the time constant: by time
    (B(t) - B(t - rise)) / rise, by the constant likewise of C, by the rise (B(t - rise) - travel) / rise.
    """

    def slopes(since: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        running = np.maximum(since, 0.0)
        settled = -np.expm1(-running / time_constant)
        by_constant = 2.0 * time_constant * settled - running * (2.0 - settled)
        return final_speed * (running - time_constant * settled), final_speed * by_constant

    travel = ramped_run_up_travel(time, final_speed, time_constant, rise)
    if rise <= 1e-6 * time_constant:
        running = np.maximum(time, 0.0)
        settled = -np.expm1(-running / time_constant)
        by_constant = final_speed * (running / time_constant * (1.0 - settled) - settled)
        return np.stack([final_speed * settled, travel / final_speed, by_constant, -0.5 * final_speed * settled])
    (now, now_constant), (then, then_constant) = slopes(time), slopes(time - rise)
    by_rise = (then - travel) / rise
    return np.stack([(now - then) / rise, travel / final_speed, (now_constant - then_constant) / rise, by_rise])


def drive_from_run_up(
    air_speed: float,
    air_constant: float,
    ground_constant: float,
    mass: float,
    rolling_radius: float,
    added_inertia: float = 0.0,
) -> tuple[float, float]:
    """Stall torque and turning inertia from the time constants in the air and on the ground.

    Parameters
    ----------
    air_speed : float
        Final wheel speed in the air at full throttle = no-load speed, rad/s.
    air_constant, ground_constant : float
        s.
    mass, rolling_radius : float
        Whole vehicle, kg; m.
    added_inertia : float
        Of wheels that turn on the ground only (an axle without drive), kg m2.

    Returns
    -------
    stall_torque, turning_inertia : float
        At the wheels, N m; all that turns in the air, referred to the wheels, kg m2.

    Notes
    -----
    tau = J w0 / T_stall in both runs, the ground adding m r^2 + added_inertia to J. A constant rolling
    resistance lowers the final speed on the ground but not the time constant.
    """
    added = mass * rolling_radius**2 + added_inertia
    slope = added / (ground_constant - air_constant)
    return slope * air_speed, slope * air_constant


def rolling_resistance_torque(stall_torque: float, air_speed: float, ground_speed: float) -> float:
    """Constant torque that lowers the final speed from that in the air to that on the ground."""
    return stall_torque * (1.0 - ground_speed / air_speed)


def grip_needed_at_start(
    stall_torque: float,
    resistance_torque: float,
    turning_inertia: float,
    mass: float,
    rolling_radius: float,
    added_inertia: float = 0.0,
) -> float:
    """Grip that a start from rest on level ground needs with all wheels driven, (m a + F_r) / W."""
    equivalent = mass * rolling_radius**2 + added_inertia + turning_inertia
    acceleration = (stall_torque - resistance_torque) * rolling_radius / equivalent
    return acceleration / STANDARD_GRAVITY + resistance_torque / (rolling_radius * mass * STANDARD_GRAVITY)


SLIP_STEP = 2.5e-4
"""Step of `slipping_run_up`, s: the travel is then within 1e-3 rad but for a shift in time, which a film's start takes up."""


def slipping_run_up(
    end: float,
    *,
    stall_torque: float,
    no_load_speed: float,
    turning_inertia: float,
    mass: float,
    rolling_radius: float,
    resistance: float,
    grip: float,
    slip_speed: float,
    slip_ratio: float,
    rise: float = 0.0,
) -> tuple[np.ndarray, np.ndarray]:
    """Wheel travel on the ground after throttle from rest, tyres slipping as the vehicle's own law has it.

    Parameters
    ----------
    end : float
        Until when, s.
    stall_torque, no_load_speed : float
        At the wheels, at the throttle given: N m, rad/s.
    resistance : float
        Constant torque against the wheels once they turn, N m.
    grip, slip_speed, slip_ratio : float
        F = grip W tanh(s / (slip_speed + slip_ratio v)), s = r omega - v, m/s.
    rise : float
        Rise time of the throttle, s.

    Returns
    -------
    time, travel : ndarray
        s; rad.

    Notes
    -----
    The slip settles within a millisecond, so each step is implicit in it (linearised backward Euler).
    """
    step, load = SLIP_STEP, grip * mass * STANDARD_GRAVITY
    count = int(np.ceil(end / step)) + 1
    time = step * np.arange(count + 1)
    driving = stall_torque * (np.minimum(1.0, time[1:] / rise) if rise > 0.0 else np.ones(count))
    brake, squared = stall_torque / no_load_speed, rolling_radius**2
    whole, slowest = step * load, turning_inertia + step * brake
    omega, speed, turned = 0.0, 0.0, [0.0]
    for drive in driving.tolist():
        scale = slip_speed + slip_ratio * speed
        share = tanh((omega * rolling_radius - speed) / scale)
        force, steep = load * share, whole * (1.0 - share * share) / scale
        torque = drive - brake * omega - (resistance if omega > 0.0 else 0.0) - force * rolling_radius
        a, b, d = slowest + steep * squared, steep * rolling_radius, mass + steep
        part = step / (a * d - b * b)
        omega, speed = omega + part * (d * torque + b * force), speed + part * (a * force + b * torque)
        turned.append(omega)
    return time, step * np.cumsum(turned)
