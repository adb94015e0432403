"""Numbers that change many times a second: characters are drawn once, kept as pixels, and only put together anew.

An ordinary text costs about a tenth of a millisecond a character every time that it is drawn.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.colors import to_rgb
from matplotlib.font_manager import FontProperties

from noseload.plain import typeset

if TYPE_CHECKING:
    from matplotlib.figure import Figure
    from matplotlib.transforms import Transform


FAMILY = "DejaVu Sans Mono"
LINE = 1.35
"""From one line to the next, as a share of the font's size in pixels."""


class Readout(Artist):
    """A text of equally wide characters at a place, upright, on a pixel canvas.

    Parameters
    ----------
    figure : Figure
        That the place belongs to.
    x, y : float
        In the coordinates of `transform`.
    transform : Transform, optional
        By default shares of the figure.
    fontsize : float
        Points.
    colour : str
    ha : {'left', 'center', 'right'}
    va : {'top', 'center', 'bottom'}
    """

    def __init__(
        self,
        figure: Figure,
        x: float,
        y: float,
        *,
        transform: Transform | None = None,
        fontsize: float = 9.5,
        colour: str = "#22303c",
        ha: str = "left",
        va: str = "top",
        zorder: int = 9,
    ) -> None:
        super().__init__()
        self.set_figure(figure)
        self.set_transform(figure.transFigure if transform is None else transform)
        self.set_zorder(zorder)
        self.place, self.text = (x, y), ""
        self.fontsize, self.colour, self.ha, self.va = fontsize, colour, ha, va
        self.scale = 1.0
        self._tiles: dict = {}

    def set_text(self, text: str) -> None:
        """The text; lines are parted by line ends."""
        self.text = text

    def get_text(self) -> str:
        """The text."""
        return self.text

    def set_position(self, place: tuple[float, float]) -> None:
        """Where it stands, in the coordinates of its transform."""
        self.place = place

    def set_scale(self, scale: float) -> None:
        """Larger or smaller than asked for at first, as where a window has another size."""
        if scale != self.scale:
            self.scale, self._tiles = scale, {}

    def set_color(self, colour: str) -> None:
        """Colour of the ink."""
        if colour != self.colour:
            self.colour, self._tiles = colour, {}

    def draw(self, renderer: Any) -> None:
        """Put the kept characters together and lay them on the canvas."""
        if not self.get_visible() or not self.text:
            return
        height = self._line_height(renderer.dpi)
        lines = typeset(self.text).split("\n")
        x, y = self.get_transform().transform(self.place)
        top = self._top(y, height * len(lines))
        graphics = renderer.new_gc()
        for k, line in enumerate(lines):
            if not line:
                continue
            image = np.concatenate([self._tile(character, height, renderer.dpi) for character in line], axis=1)
            left = x - {"left": 0.0, "center": 0.5, "right": 1.0}[self.ha] * image.shape[1]
            renderer.draw_image(graphics, round(left), round(top - height * (k + 1)), image)
        graphics.restore()

    def seen(self, dpi: float) -> tuple[float, float, float, float]:
        """Left, bottom, right and top of the text, pixels."""
        lines = self.text.split("\n")
        height = self._line_height(dpi)
        width = self._tile("0", height, round(dpi)).shape[1] * max(map(len, lines))
        x, y = self.get_transform().transform(self.place)
        left = x - {"left": 0.0, "center": 0.5, "right": 1.0}[self.ha] * width
        top = self._top(y, height * len(lines))
        return float(left), float(top - height * len(lines)), float(left + width), float(top)

    def _line_height(self, dpi: float) -> int:
        return round(LINE * self.scale * self.fontsize * dpi / 72.0)

    def _top(self, y: float, whole: float) -> float:
        return y + {"top": 0.0, "center": 0.5 * whole, "bottom": whole}[self.va]

    def _tile(self, character: str, height: float, dpi: int) -> np.ndarray:
        """Pixels (height, width, 4) of one character."""
        key = (character, height, dpi)
        if key not in self._tiles:
            self._tiles[key] = _rendered(character, self.scale * self.fontsize, height, dpi, self.colour)
        return self._tiles[key]


_KEPT: dict[tuple, np.ndarray] = {}


def _rendered(character: str, fontsize: float, height: Any, dpi: float, colour: str) -> np.ndarray:
    """A character as pixels, its ink as opacity; kept for all readouts."""
    key = (character, fontsize, height, dpi, colour)
    if key not in _KEPT:
        font = FontProperties(family=FAMILY, size=fontsize)
        width = round(RendererAgg(8, 8, dpi).get_text_width_height_descent("0" * 20, font, False)[0] / 20.0)
        sheet = RendererAgg(width, height, dpi)
        sheet.draw_text(sheet.new_gc(), 0, round(0.78 * height), character, font, 0.0)
        pixels = np.array(sheet.buffer_rgba())
        tile = np.empty((height, width, 4), dtype=np.uint8)
        tile[..., :3] = np.round(255 * np.array(to_rgb(colour)))
        tile[..., 3] = pixels[..., 3]
        # Agg takes images bottom row first.
        _KEPT[key] = tile[::-1]
    return _KEPT[key]
