"""Many vehicles at once: the last axis of every array counts the cases.

- Creep, standing, tip-over of many vehicles: one damped Newton iteration over the last axis, each case with its own damping, caps and status; a
  watchdog lets the residual grow for up to two full steps past a kink (a stop engaging), which cuts 20-40 evaluations to 11-15. The linear systems
  share one sparse pivot order learned from a sample (Markowitz with threshold); the cases that it does not suit are solved alone by LAPACK.
  Once every case contracts a hundredfold a step the factors are kept and kernels without slopes are called: 1,000 creeps take 0.8 of the time in the
  plane and 0.68 in space (entries read where the Jacobian has them and work space in one piece are a third of that), loads the same to 7e-14 N.
  In space the balances of the whole vehicle in place of the chassis' take another fifth off: 2.9-3.0 x the plane in turns, where it was 3.6.
  Without gain in space: computing in another order so that fewer rows are held (234 to 260 of 271), pivots learned from fewer cases.
- Punches: two-stage Rosenbrock-W (ROS2). Implicit: both slips AND the motor's falling torque (rank 3, inverse by cofactors). The motor term was the
  largest error of the rank-2 method (a spinning pair decays at about 93 1/s): leaving it explicit doubles the error. Positions by the third-order rule
  h^2/6 (k1 + k2): free, and four times more accurate than plain ROS2. Every case has its own time and step, steered by how far its
  speeds (heave, pitch, spins) bend within a step, 0.2-4 ms; a step that bends four times too far, or crosses a kink, is taken back and shortened while
  the others go on: no sub-batches. Spins must steer too, or long flights near tip-over land late (worst error 2.1e-3 -> 0.9e-3).
- Numbers that all cases share go to the kernels as arrays of one entry, rows as Python lists: half the memory traffic and indexing.
- What both axles have alike is one call of NumPy on a row of the rear and then the front axles (`symbols/pairs.py`: 1,629 calls a round, not 2,337, the
  same to the last digit), and a round asks only what can have changed: 0.50 ms for 40 cases, where it was 0.72; kernels of 4,000 cases 0.93 of the time.
- The last few undecided outcomes (12 or fewer) are decided by accurate single runs: small batches cost as much as large ones.
- A punch does not depend on its neighbours beyond rounding (1e-13 N; 5e-9 deg where one tumbles), nor on the executor: when ended cases are dropped
  the others lose no step. Before, a step that had to be taken back just then was not (1.4 ms of time in the air in 400 punches, 3e-8 N in calm ones).
- Programs of throttle, grip and drag brake, and the start on the brake, are by case (`studies.punch_inputs`, `batch_starts`). 42 cases in all
  drives against tight single runs: front axle load 7e-5 median, 3e-4 worst. Where the brake brings wheels to a stand the implicit slope is the chord
  to zero: with the law's own slope (flat away from standstill) a grabbed brake chattered (4,600 steps, 2.4e-2; now 850, 7e-5); where they
  leave standstill the law's own slope stays (the chord there: 2.4e-3).
- Measured (`benchmark_engine.py`, `benchmark_punches.py`, quiet two-core machine, processor time): one punch 61-144 ms with its outcome (trace 3e-4,
  drift 7e-9 m, energy 1.3e-5), 16-40 times faster than the engine with its tyres in Python at 0.1 ms; 2,000 punches with starts 335 a second and core
  (230-260 while the other core is busy; 60 of them: 1.4e-4 median, 9.3e-4 worst), 840 times the engine; map of 1,000 cells with pictures 8.6 s, with
  two workers 5.7 s. Not half: 1,000 punches cost 5 ms a step and 2,000 cost 7, because about 3 ms are calls into NumPy, whatever the number of
  cases: 0.71 of the time of one is the least (`floor` in the benchmark), 0.74-0.77 was measured, 0.57 for 4,000 cells; dealing cases out by their
  number of steps gains 4 %. Where steep punches tumble (demo vehicle, to 50 deg) it is 11-13 s and 9-11 s: few cases take 1,700 steps while most are done after 540.
- Left to single runs: energy book, budgets, link forces over time.
"""
