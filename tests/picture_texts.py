"""Which words of a picture lie on other words or leave the canvas: boxes of their own direction, pairs by separating axes."""

from itertools import combinations
from math import cos, radians, sin

from matplotlib.axis import Axis
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.text import Text

SLACK = 1.0
"""Pixels: ascenders and descenders reserve room that most words do not fill."""


def _box(text, renderer):
    """Centre, half-sizes and direction of the words as drawn, without the line of an annotation."""
    turned = text.get_rotation()
    seen = Text.get_window_extent(text, renderer)
    centre = (0.5 * (seen.x0 + seen.x1), 0.5 * (seen.y0 + seen.y1))
    text.set_rotation(0.0)
    flat = Text.get_window_extent(text, renderer)
    text.set_rotation(turned)
    return centre, (0.5 * flat.width, 0.5 * flat.height), radians(turned)


def _corners(box):
    (x, y), (half, tall), angle = box
    along, across = (cos(angle), sin(angle)), (-sin(angle), cos(angle))
    return [
        (x + a * half * along[0] + b * tall * across[0], y + a * half * along[1] + b * tall * across[1])
        for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]


def _apart(one, other):
    for box in (one, other):
        angle = box[2]
        for axis in ((cos(angle), sin(angle)), (-sin(angle), cos(angle))):
            spans = [sorted(x * axis[0] + y * axis[1] for x, y in _corners(b)) for b in (one, other)]
            if spans[0][-1] <= spans[1][0] + SLACK or spans[1][-1] <= spans[0][0] + SLACK:
                return True
    return False


def _shown(artist):
    """All words that are drawn, hidden parents left out."""
    if not artist.get_visible():
        return
    if isinstance(artist, Text):
        if artist.get_text().strip() and artist.get_alpha() != 0.0:
            yield artist
        return
    if isinstance(artist, Axis):
        yield from _shown(artist.label)
        low, high = sorted(artist.get_view_interval())
        for tick in (*artist.get_major_ticks(), *artist.get_minor_ticks()):
            if low - 1e-9 * (high - low) <= tick.get_loc() <= high + 1e-9 * (high - low):
                yield from (*_shown(tick.label1), *_shown(tick.label2))
        return
    for child in artist.get_children():
        # Axes that are switched off draw no numbers.
        if not (isinstance(child, Axis) and not artist.axison):
            yield from _shown(child)


def words_in_the_way(figure, readouts=()):
    """Complaints in words: each pair of words that overlap, and all words that leave the canvas.

    `readouts` are the numbers of films and windows, which are no texts of Matplotlib's.
    """
    if not isinstance(figure.canvas, FigureCanvasAgg):
        FigureCanvasAgg(figure)
    figure.draw_without_rendering()
    renderer = figure.canvas.get_renderer()
    width, height = figure.bbox.width, figure.bbox.height
    boxes = []
    complaints = []
    for text in _shown(figure):
        box = _box(text, renderer)
        if min(box[1]) < 0.5 or _clipped(text, box):
            continue
        words = " ".join(text.get_text().split())
        boxes.append((words, box))
        if any(not (-SLACK <= x <= width + SLACK and -SLACK <= y <= height + SLACK) for x, y in _corners(box)):
            complaints.append(f"leaves the canvas: {words!r}")
    for readout in readouts:
        if readout.get_visible() and readout.get_text().strip():
            left, low, right, high = readout.seen(figure.dpi)
            box = ((0.5 * (left + right), 0.5 * (low + high)), (0.5 * (right - left), 0.5 * (high - low)), 0.0)
            boxes.append((" ".join(readout.get_text().split()), box))
            if left < -SLACK or low < -SLACK or right > width + SLACK or high > height + SLACK:
                complaints.append(f"leaves the canvas: {boxes[-1][0]!r}")
    for (words, box), (others, other) in combinations(boxes, 2):
        if not _apart(box, other):
            complaints.append(f"{words!r} lies on {others!r}")
    return complaints


def _clipped(text, box):
    """Words outside of what they are clipped to: ticks outside of the axis are not drawn."""
    axes = text.axes
    if axes is None or text.get_clip_box() is None:
        return False
    seen = axes.get_window_extent()
    x, y = box[0]
    return not (seen.x0 <= x <= seen.x1 and seen.y0 <= y <= seen.y1)
