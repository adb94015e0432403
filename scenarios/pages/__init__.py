"""The page for everyone: HTML made from finished results; its look lies beside as `page.css`, its live part in `live`.

- Setups are letters in drawings (names from files never reach Matplotlib, where `$` would start a formula), names in HTML.
- SVG colours become variables (`--c-` shapes, `--t-` text); dark values turn the lightness about, text is moved until 4.6:1 (`pages/colours.py`).
- The player gets poses and points fixed in bodies, not pictures; shown numbers keep six decimals: with three, 2.3249 was shown as 2.33.
- "Minimum front axle load" of an airborne punch is the first sample in the air; the nearest one may lie before lift-off (16 g instead of 0).
- The page forbids requests itself (Content-Security-Policy); trial size assumes a scatter of one repeatability from fitting to fitting.
"""
