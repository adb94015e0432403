"""The vehicle in space: four wheels on a plane, each with its own load, at rest and moving.

Motion. An axle is eliminated by one kernel called for the rear and for the front (5 constraint rows: rods and gear),
chassis and motor are what is left (7 x 7): 4,840 operations a rate where the side view has 900, and less generated text
than the side view's. Speeds are velocities and angular velocities in the frame; a state holds angles and their rates,
so that coordinates and speeds pair up as the transient solver expects. Chassis turns Rz Ry Rx (singular at 90 deg of
pitch, a flip ends at 80), axles Rz Rx Ry (singular at 90 deg of roll, which ends a run at 85).
"""
