"""Solvers over time, and the protocol of what they can move.

Method. One step = Krogstad's exponential Runge-Kutta method of order 4 (`solvers/exponential.py`). The linear part is only the slip (and drag brake)
term, rank 2 or 3, symmetric; its modes come from a 2 x 2 (closed form) or r x r problem, phi functions act through r rows, nothing is factorised.
Error estimate h/6 * 2 phi_2(hL)(N4 - N_new), third order, no extra evaluation; PI step control. It is blind to forcing by time alone, so inputs
are linear between corners (corners are restarted, one-sided). After every step, every fourth where little drift is found, one projection onto the constraints. Between nodes: quintic
Hermite for coordinates, cubic for the rest; samples are projected. Short steps (1 ms) after corners and contacts keep values between nodes as
good as those on them (without: link forces 3e-3 off in one step after touchdown).
Coordinates stand alike in both middle stages, where the mean of the first speeds and the second stage's leads (Nystroem): over
random and extreme vehicles in space loads err half as much (median 6.6e-5 of the largest in place of 1.1e-4, worst 3.3e-4 in place of 4.6e-4, 60 of them, no run
made finer). That is spent on a default tolerance of 1.5e-5, and on steps over kinks without a name that end on them only where they go far over them:
300 in the plane: none beyond 1e-3, median 4.2e-5, worst 4.2e-4; 300 in space: one (2.7e-3, which its result says), median 5.7e-5.
Switches: min(depth, touch force) per tyre with the law's own onset `k d + c d' min(1, d/d1)` (NOT the raw k d + c d': that would report lift-off up to
2 ms early), the same of the stops, flips, and silently the 1 mm onset of tyres and stops. A step that passes one is redone to
end on it; after a silent one the step is not cut, and at default tolerance silent ones count where a step goes over them by 0.35 mm (never: a
landing 34 us late and loads 1.8e-3 off after a flight of 0.6 s, in one of 300; always: a tenth more evaluations).
Modes of the stiff part are kept for one step more where its slopes hardly changed: any linear part will do (kept always,
torques err five times as much where the throttle opens; for two more, loads ten times as much).
What decides a step (norm of the error, modes, their change, relaxation after a jump) is the same number in the plane and in
space where left and right are alike: then both take the same steps, and loads differ by rounding (20 vehicles whose axle
lifts: 2e-6 of the largest load, where steps of their own made it 4e-5 to 3e-4).
In steady motion rounding grows where steps are longer than is stable, up to a tenth of the tolerance: such steps are halved.
What steps err of the watched forms (loads) is summed: over 300 random and extreme vehicles in the plane and 120 in space
errors stay below a fifth of the sum where it is large, and a punch whose sum is too large is run again, finer.
Energy integrals are states but do not steer the step (weight 0).
After a jump of an input the step shrinks to the relaxation of the stiff part, but not below the smallest step (wheels without inertia).
Observed (0.5 s of punch, end state, 1e-5 to 1e-8): error 0.9-4.7 tolerances in all drives, falling as the tolerance.

Choice (1 s punch, 12 independent traces, one core, quiet machine; worst front-load error of largest front axle load):
| method | tolerance | ms | evaluations | worst error |
|---|---|---|---|---|
| own (default) | 1.5e-5 | 25-40 | 600-1060 | 2.7e-4 (link force 6e-4), energy 2.5e-5, drift 4e-9 m, 1.4e-6 m/s |
| own (tight) | 1e-8 | 94-159 | 3160-5250 | 1.6e-6, energy 6e-8, drift 2e-12 m, 2e-10 m/s |
| LSODA, exact Jacobian, restarted | 1e-6 | 48-87 | 1080-1960 (+ 13-50 J) | 9e-5, drift to 7e-7 m |
| Radau, exact Jacobian | 1e-5 | 53-97 | 1190-2360 | 5e-4 |
| DOP853 | 1e-5 | 79-107 | 4580-6200 | 2e-4 |
Times double while another process uses the sibling core; `tests/benchmarks/benchmark_punch.py` prints multiples of a kernel call too (3340-5130).

Symbols of the motion: state y (27) = 9 coordinates, 11 speeds, 7 integrals (motor, brake, damper, stop, tyre, slip, |motor|).
Jacobian: tangent + KKT; d(G u')/dq from gamma's being quadratic in u (half its slope at u = u').
Never pass NumPy scalars into scalar kernels: one of them makes every later operation 2-3x slower (`controls()` and parameters are floats).
"""
