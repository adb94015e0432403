"""GIF of frames that share one table of colours: each frame is looked up in it instead of being sorted anew."""

from collections.abc import Sequence
from os import PathLike

import numpy as np
from PIL import Image

COLOURS = 255
"""One place of the table is left for 'as in the frame before'."""
EVERY = 7
"""Every so many pixels of the samples are looked at for the table of colours; no divisor of a row, so that columns take turns."""
_STEPS = 32
"""Shades that are told apart of red, green and blue each: 5 bits, as a GIF's 256 colours cannot show more."""


class GifFilm:
    """Frames collected as places in one table of colours, written as a GIF that repeats for ever.

    Parameters
    ----------
    frames_per_second : float
    samples : sequence of ndarray, shape (height, width, 4), dtype uint8
        Frames whose colours stand for all.
    """

    def __init__(self, frames_per_second: float, samples: Sequence[np.ndarray]) -> None:
        self.duration_ms = 1000.0 / frames_per_second
        self._images: list[Image.Image] = []
        self._durations: list[float] = []
        pixels = np.concatenate([sample.reshape(-1, 4)[::EVERY, :3] for sample in samples])
        chosen = Image.fromarray(pixels[None]).quantize(
            COLOURS, method=Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE
        )
        shade = np.arange(_STEPS**3)
        colour = np.stack([shade >> 10, shade >> 5 & 31, shade & 31], axis=1).astype(np.uint8)
        # Five bits widened to eight: 0 stays 0 and 31 becomes 255.
        wide = Image.fromarray((colour << 3 | colour >> 2)[None])
        self._place_of = np.asarray(wide.quantize(palette=chosen, dither=Image.Dither.NONE))[0]
        self._colours = self._exact(pixels)
        self._last = _whole(samples[0]).copy(), self._places(samples[0][..., :3])

    def _exact(self, pixels: np.ndarray) -> np.ndarray:
        """Table of colours (256, 3): of all that share a place, the one seen most often, so that plain areas are exact."""
        places = self._places(pixels)
        whole = pixels.astype(np.uint32) @ np.array([1 << 16, 1 << 8, 1], dtype=np.uint32)
        seen, counts = np.unique(places.astype(np.uint64) << 32 | whole, return_counts=True)
        # Sorted by count: the last that is written to a place stays.
        order = np.argsort(counts, kind="stable")
        table = np.zeros((256, 3), dtype=np.uint8)
        colour = (seen & 0xFFFFFFFF)[order]
        table[(seen >> 32)[order]] = np.stack([colour >> 16, colour >> 8 & 255, colour & 255], axis=1)
        return table

    def _places(self, pixels: np.ndarray) -> np.ndarray:
        """Places in the table of colours, of the shape of the pixels."""
        coarse = (pixels >> 3).astype(np.uint16)
        return self._place_of[coarse[..., 0] << 10 | coarse[..., 1] << 5 | coarse[..., 2]]

    def add(self, pixels: np.ndarray) -> None:
        """Take a frame (height, width, 4), dtype uint8; only what changed since the last one is looked up."""
        whole, (before, places) = _whole(pixels), self._last
        changed = np.nonzero(whole != before)
        places = places.copy()
        places[changed] = self._places(pixels[changed][:, :3])
        self._last = whole.copy(), places
        image = Image.fromarray(places)
        image.putpalette(self._colours.tobytes())
        self._images.append(image)
        self._durations.append(self.duration_ms)

    def hold(self, frames: int) -> None:
        """Let the last frame stay for so many more."""
        self._durations[-1] += frames * self.duration_ms

    def write(self, path: str | PathLike) -> None:
        """Write the film; `OSError` where that cannot be done."""
        first, *others = self._images
        first.save(path, save_all=True, append_images=others, duration=self._durations, loop=0)


def _whole(pixels: np.ndarray) -> np.ndarray:
    """Each pixel of (height, width, 4) as one number, (height, width)."""
    return np.ascontiguousarray(pixels).view(np.uint32)[..., 0]
