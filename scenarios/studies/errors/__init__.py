"""How sure an answer is: measured errors and assumed values carried through.

- One `Vehicle` may hold arrays or complex numbers (`noseload.model.variation`): the chain file -> kernel parameters is differentiated by complex step
  (exact), and thousands of cases become one `VehicleBatch` (`studies.spread`). Hence arithmetic only (no hypot, no truth of arrays) in
  `noseload.model.parameters`, `resting_pose`, `given_free_lengths`, `base_chassis_pose`.
- A change is a setup of the vehicle it changes (`base` may nest); `link_length`, `measured_shock_length`, `free_radius`, `stand`, `stand_many` follow the chain.
- `Axle.centre_of_gravity_offset`: axle body origin = centre of gravity; the wheel centre is `-offset` from it; `housing_pitch_inertia` is about it.
- [uncertainty] limits are two deviations; own choice for friction gap default 2 mm (common practice, no source).
- Outcome slopes: `studies.slopes` (standing 15x15 with many right sides; outcomes by adjoint). Overdriven: kernel `steady_sensitivity`.
"""
