"""A fair blinded trial: planned, sealed, rehearsed, read.

- Chain: `trial_plan` (options, `trial_sizing`, `trial_power`) -> `trial_schedule` (draw, seal) -> `trial_files` -> `trial_readings` -> `trial_analysis`
  -> `trial_words` -> `trial_read`. `trial_rehearse` uses the same analysis and words. Statistics live in `solvers/`: `orders`, `randomisation`, `guessing`, `statistics`.
- A p-value is exact only over the set its order was drawn from: `noseload.solvers.statistics.orders.Design` holds set and draw side by side. Few installations take every
  order with a straight drift fitted (up to 6 pairs), then pairs (7, 8), then balanced pairs (from 9 on), where a straight drift cancels in estimate and test.
- Statistic: least-squares score over its length. Each order then counts against one interval of differences (Cauchy-Schwarz), so confidence limits need no search.
- Control and A against A have too few orders for a small p: Student's t on the scatter of the whole trial; the exact p stands beside where it can be small.
- A trial that did not see its control cannot say "smaller". Guesses are judged over the orders too, since guesses within a block are not independent.
- Seal: each part salted and hashed by itself, so that `read` names what was changed; the commitment is the hash of the digests. Who holds the key
  can make a new seal that fits: only the posted number tells, hence `--posted`.
- Open sheets are drawn from `SheetFacts`, which no key reaches; no date, maker or random id (tests compare bytes over keys, clocks and processes).
  Ride height and pinion angle are the installer's columns: they can tell the setups apart.
- In `struck_out` words such as `no` or a dash are refused: typed into every row they would have struck out the whole trial.
- Looks: together over every order of one with every order of the others; chance of a false find by the sum of the levels (needs no independence).
- Chain measured (300 seeded trials a case, four kinds of order): levels, coverage, power within 3.5 standard errors, also with bent drift and missing runs.
"""
