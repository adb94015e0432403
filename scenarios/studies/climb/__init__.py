"""Standing and crawling: one grade, all grades, many vehicles, free motions.

- Parts of the budget are those of `noseload.model.crawl.load_budget.KEYS`. Links appear in none of them: in creep only through attitude.
- Line of measurement: twice the repeatability of 5 g and 0.3 deg, so 10 g and 0.6 deg.
- `ride_height = "reset"` puts the chassis where it stands in the base (height and pitch); stops belong to the shock, so their
  lengths stay those of the base; a tyre whose datum is untouched keeps the base's free radius.
- Different grip front and rear: driven axles slip alike, so traction goes as grip times load.
- Creep rows are stable where the determinant of the solved equations has the sign it has at a standing pose whose reduced stiffness is
  positive definite; the modes of `standing_modes` use the motor connected, throttle closed.
- Overdriven axles only approach the grip limit: 99.9 % of all grip counts as reached.
- A turn of the curve sharper than 0.35 rad within 0.005 of scaled arclength is taken for a kink (a stop engaging). The sign of det(Jacobian,
  tangent) is one along a whole curve: a step that would change it has jumped a fold and is halved; where it holds only with the tangent
  reversed, the curve turns back at the kink and is followed there (of 2,000 drawn climbs 53 ended at such a turn before).
- Level C means motor keys and both dampings given. `[weighed]` without axle masses takes a fifth of the total for each axle.
- Setups take over the base's assumed values.
"""
