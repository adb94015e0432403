"""The vehicle held on the bench: torque against front load.

- `noseload.model.crawl.held_wheels` adds to the creep kernel: torque on the rear housing (parameter, in units of W L), one unknown (front traction X) and one law for it:
  free (X = 0), stuck (tread slide fixed), sliding (X = mu N_f). Clamp: couple and horizontal force, no load; N_f L = W b - T + X (ratio z_f - z_r), so
  with equal radii the split of the torque hardly shows on the front scale, and not at all at lift (X <= mu N_f = 0). Budget part `motor_torque_n` = -T/L.
- Geared in is indeterminate by statics. Bounds offered: no give with stated play, and free. The slide counts with the standing rolling radius.
- `--front` must be said where both axles are driven. Random vehicles (150, free and geared): 293 of 300 followed to lift; six of the seven others
  are geared ones lost while stuck (three after sliding and sticking again), one is free and folds back.
"""
