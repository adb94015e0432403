"""Pictures: showing it to others.

- `VehicleArtist` (`pictures/side_view.py`), `ForceArrows`, `BudgetBars`: drawn once, then moved. `Repainter` keeps what stands still as
  pixels and draws only what moves; films hand those pixels to Matplotlib's writers (`FilmFigure.savefig`), so a frame costs a tenth.
- `Readout`: Matplotlib 3.11 takes about 0.1 ms a character for text, 150 ms for one state of the window; characters kept as pixels take 3 ms.
- `explore`: 19 ms an update for the grade, 39 ms for a link end (stand, whole path and limits anew), headless, on a busy machine
  (`tests/benchmarks/benchmark_explore.py`). The limit of going down needs a path of its own and waits until a slider is let go
  (`Climb.uphill_limits`). A setup made by the sliders is the same document that is saved, so loads agree to rounding.
- The punch of the window is a run (0.1-0.3 s), not a steady push estimate: an estimate would miss what a punch is about, the first
  swing, and outcomes are not monotone.
- Near a flip the wheels stand above each other, L goes to zero and the parts of the budget grow without bound: bars of a film are cut at
  1.5 times the static load, their numbers are not; the budget over time is cut at 2.5 times, and says so.
- Words of a punch find room when the picture is drawn (`pictures/label_places.py`: cells that hold something, boxes tried by their cost). Signs and
  outlines of a map follow its cells: a line through their middles encloses what was never run, and red and blue are one grey.
"""
