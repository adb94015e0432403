"""Colours of the drawings on light and dark paper: every one keeps its hue, and text keeps its contrast.

Contrast: W3C, Web Content Accessibility Guidelines 2.1, relative luminance and success criterion 1.4.3 (4.5 : 1).
Lightness: B. Ottosson, "A perceptual color space for image processing", 2020 (Oklab).
"""

from typing import Any

LEAST_CONTRAST = 4.6
"""Asked for; the criterion is 4.5, and hexadecimal rounding takes a little."""
LEAST_LINE_CONTRAST = 4.0
"""Lines of setups; the criterion is 3."""
LIGHT_PAPER, DARK_PAPER = "#ffffff", "#171d23"
LIGHT_INK, DARK_INK = "#22303c", "#e8ecef"
TO_LMS = (
    (0.4122214708, 0.5363325363, 0.0514459929),
    (0.2119034982, 0.6806995451, 0.1073969566),
    (0.0883024619, 0.2817188376, 0.6299787005),
)
TO_LAB = (
    (0.2104542553, 0.7936177850, -0.0040720468),
    (1.9779984951, -2.4285922050, 0.4505937099),
    (0.0259040371, 0.7827717662, -0.8086757660),
)
FROM_LAB = ((1.0, 0.3963377774, 0.2158037573), (1.0, -0.1055613458, -0.0638541728), (1.0, -0.0894841775, -1.2914855480))
FROM_LMS = (
    (4.0767416621, -3.3077115913, 0.2309699292),
    (-1.2684380046, 2.6097574011, -0.3413193965),
    (-0.0041960863, -0.7034186147, 1.7076147010),
)


def _times(matrix: Any, vector: Any) -> Any:
    return [sum(a * b for a, b in zip(row, vector, strict=True)) for row in matrix]


def linear(colour: str) -> list[float]:
    """Linear red, green and blue, 0..1, of '#rrggbb'."""
    parts = [int(colour[k : k + 2], 16) / 255.0 for k in (1, 3, 5)]
    return [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]


def _hexadecimal(parts: Any) -> str:
    found = []
    for p in parts:
        p = min(max(p, 0.0), 1.0)
        found.append(round(255.0 * (12.92 * p if p <= 0.0031308 else 1.055 * p ** (1.0 / 2.4) - 0.055)))
    return "#" + "".join(f"{p:02x}" for p in found)


def contrast(a: str, b: str) -> float:
    """Contrast of two colours, 1..21."""
    light, dark = sorted(
        (sum(w * p for w, p in zip((0.2126, 0.7152, 0.0722), linear(c), strict=True)) for c in (a, b)), reverse=True
    )
    return (light + 0.05) / (dark + 0.05)


def oklab(colour: str) -> list[float]:
    """Lightness 0..1 and two opponent hues."""
    return _times(TO_LAB, [p ** (1.0 / 3.0) for p in _times(TO_LMS, linear(colour))])


def from_oklab(lab: Any) -> str:
    """'#rrggbb', clipped to what a screen shows."""
    return _hexadecimal(_times(FROM_LMS, [p**3 for p in _times(FROM_LAB, lab)]))


def on_dark(colour: str) -> str:
    """The colour for dark paper: lightness turned about, hue kept; white becomes the paper, ink becomes light."""
    lightness, a, b = oklab(colour)
    paper, ink = oklab(DARK_PAPER)[0], oklab(DARK_INK)[0]
    tint = oklab(DARK_PAPER)[1:]
    a, b = a + lightness * tint[0], b + lightness * tint[1]
    turned = paper + (1.0 - lightness) / (1.0 - oklab(LIGHT_INK)[0]) * (ink - paper)
    return from_oklab((min(turned, ink), a, b))


def line_on_dark(colour: str) -> str:
    """The colour of a setup's lines on dark paper: seen as well as a control must be (success criterion 1.4.11)."""
    return readable(on_dark(colour), DARK_PAPER, LEAST_LINE_CONTRAST)


def readable(colour: str, paper: str, least: float = LEAST_CONTRAST) -> str:
    """The colour as text on paper: moved towards ink until it can be read; white text becomes ink."""
    dark = contrast(paper, "#ffffff") > contrast(paper, "#000000")
    if contrast(colour, paper) < 1.2:
        return DARK_INK if dark else LIGHT_INK
    lab, step = oklab(colour), 0.01 if dark else -0.01
    while contrast(colour, paper) < least and 0.0 < lab[0] < 1.0:
        lab[0] += step
        colour = from_oklab(lab)
    return colour
