"""The whole page: one HTML document with its style, script, drawings and data inside, and nothing fetched."""

from __future__ import annotations

from collections.abc import Sequence
from importlib.resources import files
from typing import TYPE_CHECKING

from noseload.model.errors import ModelError
from noseload.model.names import shown_name
from noseload.pictures.show.report_figures import report_figures
from noseload.pictures.style import SETUP_LOOKS, look

from . import closing, loads, opening
from .answer import headline
from .colours import line_on_dark, on_dark, readable
from .drawings import Drawings
from .html import Markup, element, join, of_class, text
from .live.numbers import live_style
from .live.sections import live_part

if TYPE_CHECKING:
    from noseload.studies.show.report import Report


SECTIONS = (
    ("verdict", "Answer"),
    ("live", "Try it"),
    ("vehicle", "Vehicle"),
    ("limits", "Limits"),
    ("loads", "Crawl and punch"),
    ("links", "Links"),
    ("help", "What helps"),
    ("bench", "Bench"),
    ("trial", "Trial"),
    ("method", "Method, cautions"),
)
POLICY = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"
"""The page itself forbids every request."""


def setup_looks(count: int) -> list[tuple[str, str]]:
    """Colour variable and dash array of every setup, as in the pictures."""
    found = []
    for k in range(count):
        dash = look(k)[1]
        found.append(
            (
                f"var(--s{k % len(SETUP_LOOKS)})",
                "none" if dash == "-" else " ".join(f"{2 * part:g}" for part in dash[1]),
            )
        )
    return found


def _setup_rules() -> str:
    """Setup colours: for lines (`--s`) and for letters (`--n`), on light and dark paper."""
    light, dark = [], []
    for k, (colour, _) in enumerate(SETUP_LOOKS):
        light += [f"--s{k}:{colour}", f"--n{k}:{readable(colour, '#edf0f2')}"]
        dark += [f"--s{k}:{line_on_dark(colour)}", f"--n{k}:{readable(on_dark(colour), '#212a32')}"]
    return f":root{{{';'.join(light)}}}\n@media screen and (prefers-color-scheme: dark){{:root{{{';'.join(dark)}}}}}"


def chosen_sections(sections: Sequence[str] | None) -> set[str]:
    """Names of the sections asked for; all of them by default.

    Raises
    ------
    ModelError
        A name is none of a section.
    """
    known = [name for name, _ in SECTIONS]
    unknown = [name for name in sections or () if name not in known]
    if unknown:
        raise ModelError(f"no section is called {', '.join(unknown)}; the page has {', '.join(known)}")
    return set(known if sections is None else sections)


def report_page(report: Report, *, live: bool = True, sections: Sequence[str] | None = None) -> str:
    """The page of a report.

    Parameters
    ----------
    report : studies.report.Report
    live : bool
        With the part that answers back; without it the page holds no script.
    sections : sequence of str, optional
        Only these parts of the page, by their names in `SECTIONS`; all by default.

    Returns
    -------
    str
        HTML5 document.

    Raises
    ------
    ModelError
        A name is none of a section.
    """
    chosen = chosen_sections(sections)
    drawings = Drawings()
    drawn = {
        name: [(drawings.inline(svg, title, words), caption) for svg, title, words, caption in items]
        for name, items in report_figures(report).items()
    }
    looks = setup_looks(len(report.members))
    key = loads.line_key(report.members, looks)
    # A vehicle without links has no crawl to draw: it stands, and stands there once.
    portrait = drawn["portrait"][0][0]
    still = join(loads.pictures(drawn["still"] or [(portrait, opening.PORTRAIT)]))
    answers = opening.verdict(report) if "verdict" in chosen else None
    answering = live_part(report, still, answers) if live and "live" in chosen else None
    first = answering if answering is not None else join((of_class("div", "still", still), answers))
    parts = [
        opening.vehicle(report, portrait if drawn["still"] else None),
        opening.limits(report, loads.pictures(drawn["limits"], key)),
        loads.creep_and_punch(
            report,
            [*loads.pictures(drawn["punch"], key if len(report.members) > 1 else ""), *loads.pictures(drawn["parts"])],
        ),
        loads.links(report, loads.pictures(drawn["links"], key)),
        loads.helps(report),
        closing.bench(report, *drawn["board"][0], loads.pictures(drawn["bench"])),
        closing.trial(report),
        closing.method(report),
    ]
    body = [part for (name, _), part in zip(SECTIONS[2:], parts, strict=True) if name in chosen and part is not None]
    name = shown_name(report.vehicle.name)
    shown = [(key, words) for key, words in SECTIONS if key in chosen and (key != "live" or answering is not None)]
    header = element("header", element("p", name, attributes={"class": "kicker"}), element("h1", headline(report)))
    contents = element(
        "nav",
        element("ul", *(element("li", element("a", words, attributes={"href": f"#{key}"})) for key, words in shown)),
        attributes={"aria-label": "Parts of this page"},
    )
    skip = element("a", "Skip to the answer", attributes={"href": "#main", "class": "skip"})
    footer = element(
        "footer",
        element(
            "p",
            "Every number on this page is measured, calculated or assumed, and says which. "
            "A model of small model vehicles: never a basis for driving a manned vehicle on a slope.",
            attributes={"class": "soft"},
        ),
    )
    style = "\n".join((_asset("page.css"), live_style(), _setup_rules(), drawings.rules()))
    head = element(
        "head",
        element("meta", attributes={"charset": "utf-8"}),
        element("meta", attributes={"name": "viewport", "content": "width=device-width, initial-scale=1"}),
        element("meta", attributes={"http-equiv": "Content-Security-Policy", "content": POLICY}),
        element("meta", attributes={"name": "color-scheme", "content": "light dark"}),
        element("title", f"{name}: front axle load on a steep climb"),
        element("link", attributes={"rel": "icon", "href": "data:,"}),
        Markup(f"<style>\n{style}\n</style>"),
    )
    page = element(
        "html",
        head,
        element("body", skip, header, element("main", first, contents, *body, attributes={"id": "main"}), footer),
        attributes={"lang": "en"},
    )
    return text(Markup(f"<!DOCTYPE html>\n{page}\n"))


def _asset(name: str) -> str:
    return files("noseload.pages").joinpath(name).read_text(encoding="utf-8")
