"""Link figures, what they promise, where to put a link end.

- Geometry is kept as slopes and 1/d from homogeneous line crossings: parallel links need no special case; None only where the
  centre stands above the contact (no finite figure) or both links lie in one line.
- As driven uses the share of the crawl's tractions; on the level its limit (grip times load). Textbook on the front axle: the same
  rule as if the front alone drove. Both are named in every output (`figures` in JSON, key below the text, words on pictures).
- Travel counts from the pose asked about; the shock column from the measured length.
- `promise` uses vehicles "as built" (`candidates.as_built`), `aim` setups (`candidates.with_lines`).
- Reference for the promise on a grade: the same vehicle on the level with G cos g, so that what is left is drive alone.
- Level push: throttle +0.3 within 1 s, mean of 0.55-1 s: slow against pitch and bounce, so the quasi-static figure applies.
- The search's fast judgement (batched Newton in 0.3 rad steps, orientation of the tangent kept) can jump over an S-shaped branch; every
  new best is therefore confirmed by the arclength path of its own climb.
- Slopes instead of steps along the axes (`summits`, `shock_pieces`): at 55 deg the demo gives 403.6 g from 10 of 12 starts where those came to rest
  at 399 to 402.9 g after a minute; at 45 deg 675.8 g (674) and 334 g (377 to 380). Without `LEAST_STIFFNESS` it would be 405.6 g, of a vehicle that folds at 40 deg.
- `--in-punch` punches candidates one by one below 48, in a batch from there: a batch of 20 linkages costs 2.6-4 s, one of 240 4.6 s (topping-out
  shocks take 1,000-1,700 steps), a single run 0.11 s. 32 x 8 single runs: 35-46 s; 160 x 5 in batches: 62-71 s, no better.
- `stand` now names missing links first (`noseload.model.parameters.check_links`); before, level A files met an AttributeError in `Climb`.
"""
