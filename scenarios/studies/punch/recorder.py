"""What is kept of many punches while they run; the batch integrator calls it at every step."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from .outcome import CYCLES, LEAST_HOP_S, is_cycle, is_quiet

if TYPE_CHECKING:
    from noseload.model.batch.motion import BatchMotion, Stage
    from noseload.model.space.batch_motion import BatchSpaceMotion


class Recorder:
    """Minima, airborne times, flips and the present window of the cases of a block.

    Parameters
    ----------
    motion : BatchMotion or BatchSpaceMotion
        Its `watched` names are what is followed: axles, in space wheels and axles.
    sample : float or None
        Time between samples of the traces, s.
    result : PunchMany or WheelsMany
        Whose arrays are filled.
    cases : ndarray of int
        Places of the block's cases in them.
    deciding : bool
        Whether the window is kept, by which a motion is judged settled.
    stop_at_lift : ndarray of bool, shape (cases,)
        Cases that end as the front axle (in space the first wheel) leaves the ground.
    """

    _over: np.ndarray | None

    def __init__(
        self,
        motion: BatchMotion | BatchSpaceMotion,
        sample: float | None,
        result: Any,
        cases: np.ndarray,
        deciding: bool,
        stop_at_lift: np.ndarray,
    ) -> None:
        self.deciding, self.stop_at_lift = deciding, stop_at_lift
        count, n, stops = cases.size, len(motion.watched), motion.droops.stop - motion.droops.start
        self.motion, self.sample, self.result, self.cases = motion, sample, result, cases
        self.lowest, self.lowest_time = np.full((n, count), np.inf), np.zeros((n, count))
        self.airborne, self.first_up = np.zeros((n, count)), np.full((n, count), np.nan)
        # Of the front axle: hops begun and ended, the first of them, the present spell in the air.
        self.hops, self.first_hop, self.aloft = np.zeros(count, dtype=int), np.zeros(count), np.zeros(count)
        self.peak, self.roll = np.full(count, -np.inf), np.zeros(count)
        self.flipped, self.stopped_early = np.zeros(count, dtype=int), np.zeros(count, dtype=bool)
        self.down, self.lifted = np.ones((n, count), dtype=bool), np.zeros(count, dtype=bool)
        self.before = np.zeros((n, count))
        self.loads, self.times = np.full((2, n, count), np.nan), np.full((2, count), np.nan)
        self.acceleration = np.zeros(count)
        self.extended, self.shortening = np.full((stops, count), np.nan), np.zeros((stops, count))
        self.low, self.high = np.full((n, count), np.inf), np.full((n, count), -np.inf)
        turns = len(motion.quiet_rows)
        self.pitch_low, self.pitch_high = np.full((turns, count), np.inf), np.full((turns, count), -np.inf)
        self.switched = np.zeros(count, dtype=bool)
        # Of the windows before: extremes and speed at the end, latest first, and how many in a row had no lift.
        self.past = np.full((CYCLES - 1, 2 * (n + turns), count), np.nan)
        self.past_speeds, self.calm = np.full((CYCLES - 1, count), np.nan), np.zeros(count, dtype=int)
        self.stopping, self.shown, self._over = bool(stop_at_lift.any()), False, None
        self.turns = np.array(motion.quiet_rows)

    def open_window(self, some: np.ndarray | slice = slice(None)) -> None:
        """Forget the window so far, of some of the cases."""
        self.low[:, some], self.high[:, some] = np.inf, -np.inf
        self.pitch_low[:, some], self.pitch_high[:, some] = np.inf, -np.inf
        self.switched[some] = False

    def record(
        self,
        active: np.ndarray,
        times: np.ndarray,
        steps: np.ndarray,
        stage: Stage,
        switches: np.ndarray,
        state: np.ndarray,
        accepted: np.ndarray,
    ) -> None:
        """One step of the active cases; called by the integrator."""
        k = slice(None) if active.size == self.peak.size else active
        loads, contact = self.motion.watch(np.maximum(stage.loads, 0.0), switches)
        over, pitch = self.motion.over(state)
        # Of most rounds every case counts; counting takes a third of the time of `any` and `all`.
        final = None if np.count_nonzero(accepted) == accepted.size else accepted
        self._watch(k, times, steps, loads, contact, final)
        # How far each shock is beyond its droop stop: its length but for a constant.
        droop = switches[self.motion.droops]
        if not self.shown:
            self.extended[:, k], self.shown = droop, True
        _keep(np.maximum, self.shortening, k, self.extended[:, k] - droop, final)
        _keep(np.maximum, self.peak, k, pitch, final)
        turned = state.take(self.turns, 0)
        if len(turned) > 1:
            _put(self.roll, k, np.where(np.abs(turned[1]) > np.abs(self.roll[k]), turned[1], self.roll[k]), final)
        self._over = None
        if over is not None:
            over[~accepted] = 0
            self.flipped[active[over > 0]] = over[over > 0]
            self._over = over > 0
        if self.stopping:
            # By the time in the air, so that a stopped run has some.
            lifted = (self.airborne[self.motion.stopping, :][:, k] > 0.0).any(axis=0)
            lifted &= accepted & self.stop_at_lift[k]
            self._over = lifted if self._over is None else self._over | lifted
        if self._over is not None:
            self.stopped_early[active[self._over]] = True
        if self.deciding:
            _keep(np.minimum, self.low, k, loads, final)
            _keep(np.maximum, self.high, k, loads, final)
            _keep(np.minimum, self.pitch_low, k, turned, final)
            _keep(np.maximum, self.pitch_high, k, turned, final)
            _put(self.acceleration, k, stage.rates[0], final)
        if self.sample is not None:
            self._keep_samples(active, times, loads, (-turned[0], *turned[1:]), accepted)

    def stopped(self) -> np.ndarray | None:
        """Cases that ended in the step just recorded, by a flip or by a lift that they wait for; None where none can have."""
        return self._over

    def _watch(
        self,
        k: slice | np.ndarray,
        times: np.ndarray,
        steps: np.ndarray,
        loads: np.ndarray,
        contact: np.ndarray,
        accepted: np.ndarray | None,
    ) -> None:
        """Minima, airborne times and first lifts; rows are what is watched; `accepted` None where every case counts."""
        moved = steps > 0.0
        if accepted is not None:
            moved &= accepted
        every = None if np.count_nonzero(moved) == moved.size else moved
        self._watch_air(k, times, steps, contact, accepted, every)
        last, earlier, lowest = self.loads[1][:, k], self.loads[0][:, k], self.lowest[:, k]
        bottom = last < 1.2 * lowest + 1e-6
        bottom &= last < earlier
        bottom &= last < loads
        value, when = loads, times
        if np.count_nonzero(bottom):
            bottom &= moved & (last > 0.0)
            value, when = _vertex(earlier, last, loads, self.times[0, k], self.times[1, k], times, bottom)
        better = value < lowest
        if np.count_nonzero(better):
            if accepted is not None:
                better &= accepted
            _put(self.lowest, k, value, better)
            _put(self.lowest_time, k, when, better)
        _put(self.loads[0], k, last, every)
        _put(self.loads[1], k, loads, accepted)
        _put(self.times[0], k, self.times[1][k], every)
        _put(self.times[1], k, times, accepted)

    def _watch_air(
        self,
        k: slice | np.ndarray,
        times: np.ndarray,
        steps: np.ndarray,
        contact: np.ndarray,
        accepted: np.ndarray | None,
        moved: np.ndarray | None,
    ) -> None:
        """Times in the air, hops and first lifts; `accepted` and `moved` None where they hold for every case."""
        before, up = self.before[:, k], contact <= 0.0
        was_up = before <= 0.0
        if not np.count_nonzero(up | was_up):
            _put(self.before, k, contact, accepted)
            return
        changed = up != was_up
        part = up.astype(float)
        if changed.any():
            # An axle that left or touched within the step was up for a share of it.
            gone = np.where(up, contact, before)
            np.copyto(part, gone / (gone - np.where(up, before, contact)), where=changed)
        aloft, hopping = part * steps, self.motion.hopping
        _put(self.airborne, k, self.airborne[:, k] + aloft, moved)
        landed = was_up[hopping] & ~up[hopping]
        switched, lifted, first = changed.any(axis=0), up.any(axis=0), up & np.isnan(self.first_up[:, k])
        if moved is not None:
            landed &= moved
            switched &= moved
        if accepted is not None:
            lifted &= accepted
            first &= accepted
        self._count_hops(k, aloft[hopping], landed, moved)
        if first.any():
            _put(self.first_up, k, times - aloft, first)
        self.switched[k] |= switched
        self.lifted[k] |= lifted
        _put(self.down, k, ~up, accepted)
        _put(self.before, k, contact, accepted)

    def _count_hops(
        self, k: slice | np.ndarray, time: np.ndarray, landed: np.ndarray, moved: np.ndarray | None
    ) -> None:
        """Hops of the front axle: spells in the air of a film's frame or more."""
        aloft = self.aloft[k] + (time if moved is None else np.where(moved, time, 0.0))
        if not landed.any():
            self.aloft[k] = aloft
            return
        hop = landed & (aloft >= LEAST_HOP_S)
        self.first_hop[k] = np.where(hop & (self.hops[k] == 0), aloft, self.first_hop[k])
        self.hops[k] += hop
        self.aloft[k] = np.where(landed, 0.0, aloft)

    def _keep_samples(
        self, active: np.ndarray, times: np.ndarray, loads: np.ndarray, turned: tuple[np.ndarray], accepted: np.ndarray
    ) -> None:
        place = np.round(times / self.sample).astype(int)
        hit = np.flatnonzero(
            accepted & (np.abs(times - place * self.sample) < 1e-9) & (place < self.result.time_s.size)
        )
        where = (place[hit], self.cases[active[hit]])
        traces = self.result.traces
        for name, load in zip(self.motion.watched, loads, strict=True):
            traces[f"{name}_load_n"][where] = load[hit]
        for name, angle in zip(("nose_up_pitch_deg", "chassis_roll_deg"), turned, strict=False):
            traces[name][where] = np.degrees(angle[hit])

    def settled(self, some: np.ndarray, speeds: np.ndarray) -> np.ndarray:
        """Which of some cases had a quiet window standing on the ground; `speeds` along the slope, m/s."""
        swing = (self.high - self.low)[:, some].max(axis=0) / self.motion.vehicles.weights[some]
        turned = (self.pitch_high - self.pitch_low)[:, some].max(axis=0)
        quiet = is_quiet(swing, turned, speeds, self.acceleration[some]) | self._cycles(some, speeds)
        return quiet & self.motion.stand(self.down[:, some]) & ~self.switched[some]

    def _cycles(self, some: np.ndarray, speeds: np.ndarray) -> np.ndarray:
        """Which of some cases repeat the windows before; remembers the present one."""
        loads = np.vstack([self.low[:, some], self.high[:, some]]) / self.motion.vehicles.weights[some]
        now = np.vstack([loads, self.pitch_low[:, some], self.pitch_high[:, some]])
        change = np.ptp(np.concatenate([now[None], self.past[:, :, some]]), axis=0)
        load_change, pitch_change = change[: len(loads)].max(axis=0), change[len(loads) :].max(axis=0)
        alike = is_cycle(load_change, pitch_change, self.past_speeds[-1, some], speeds)
        calm = self.calm[some] >= CYCLES - 1
        self.calm[some] = np.where(self.switched[some], 0, self.calm[some] + 1)
        self.past[:, :, some] = np.concatenate([now[None], self.past[:-1, :, some]])
        self.past_speeds[:, some] = np.concatenate([speeds[None], self.past_speeds[:-1, some]])
        return alike & calm

    def summarise(self, some: np.ndarray, times: np.ndarray) -> None:
        """Write what is known of some of the cases into the result; `times` reached, s."""
        cases, result = self.cases[some], self.result
        for k, name in enumerate(self.motion.watched):
            result.numbers[f"{name}_load_min_n"][cases] = self.lowest[k, some]
            result.numbers[f"{name}_load_min_time_s"][cases] = self.lowest_time[k, some]
            result.numbers[f"{name}_airborne_s"][cases] = self.airborne[k, some]
            if f"{name}_lift_s" in result.numbers:
                result.numbers[f"{name}_lift_s"][cases] = self.first_up[k, some]
        for name, shortening in zip(self.motion.contacts, self.shortening, strict=True):
            result.numbers[f"{name}_shock_shortening_mm"][cases] = 1e3 * shortening[some]
        if "front_hops" in result.numbers:
            late = self.aloft[some] >= LEAST_HOP_S
            result.numbers["front_hops"][cases] = self.hops[some] + late
            result.numbers["front_first_hop_s"][cases] = np.where(
                late & (self.hops[some] == 0), self.aloft[some], self.first_hop[some]
            )
        result.numbers["peak_nose_up_pitch_deg"][cases] = np.degrees(self.peak[some])
        if "peak_chassis_roll_deg" in result.numbers:
            result.numbers["peak_chassis_roll_deg"][cases] = np.degrees(self.roll[some])
        result.numbers["outcome_time_s"][cases] = times


def _put(target: np.ndarray, k: slice | np.ndarray, values: np.ndarray, where: np.ndarray | None) -> None:
    """Write values of the active cases where they count, None: everywhere."""
    if where is None:
        target[..., k] = values
    elif isinstance(k, slice):
        np.copyto(target, values, where=where)
    else:
        target[..., k] = np.where(where, values, target[..., k])


def _keep(
    which: np.ufunc, target: np.ndarray, k: slice | np.ndarray, values: np.ndarray, where: np.ndarray | None
) -> None:
    """Keep the larger or the smaller (`which`) of what is known and the values of the active cases, where they count."""
    if isinstance(k, slice) and where is None:
        which(target, values, out=target)
    else:
        _put(target, k, which(target[..., k], values), where)


def _vertex(
    a: np.ndarray,
    b: np.ndarray,
    c: np.ndarray,
    time_a: np.ndarray,
    time_b: np.ndarray,
    time_c: np.ndarray,
    wanted: np.ndarray,
) -> tuple[np.ndarray, np.ndarray]:
    """Lowest points of parabolas through three loads, and their times; the last load where not wanted."""
    before, after = (b - a) / (time_b - time_a), (c - b) / (time_c - time_b)
    bend = (after - before) / (time_c - time_a)
    slope = before + bend * (time_b - time_a)
    shift = -0.5 * slope / bend
    value = np.maximum(b + 0.5 * slope * shift, 0.0)
    return np.where(wanted, value, c), np.where(wanted, time_b + shift, time_c)
