"""The page for everyone: well-formed, fetches nothing, does what a nasty name cannot undo, shows the solver's numbers."""

import csv
import io
import json
import re
from dataclasses import replace
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from types import SimpleNamespace
from unittest import mock

import numpy as np
import pytest

from noseload import creep, punch
from noseload.__main__ import main
from noseload.demo import demo_vehicle
from noseload.model.file.reader import load_vehicle
from noseload.output import write_folder
from noseload.pages.answer import bars, headline
from noseload.pages.colours import DARK_PAPER, LEAST_CONTRAST, contrast, line_on_dark, on_dark, readable
from noseload.pages.drawings import Drawings
from noseload.pages.html import Markup, element, embedded_json, plain, table
from noseload.pages.page import SECTIONS, report_page
from noseload.pages.replication import plain_name
from noseload.pages.words import told_once
from noseload.pictures.measuring.board import board_sizes
from noseload.pictures.punch.punch import plot_loads
from noseload.pictures.show import report_figures as figures_of_pages
from noseload.pictures.style import SETUP_LOOKS, look
from noseload.studies.show import report as report_study
from noseload.studies.show.report import ReportOptions, collect
from noseload.studies.verdict.sentence import Answer
from noseload.studies.wheels.answer import wheels_answer
from noseload.studies.wheels.remark import remark_on

CHECK = str(Path(__file__).parents[1] / "data" / "check.toml")
GRAM_N = 9.80665e-3
"""Standard gravity, ISO 80000-3."""
VOID = {"meta", "link", "input", "br", "col", "hr", "wbr"}
NASTY = """</title></script><script>alert(1)</script>"& $\\\\x$ <img src=x onerror=alert(2)>"""
LEVEL_A = """name = '{name}'
notes = '{name}'
wheelbase_mm = 318
[weighed]
rear_g = 1500
front_g = 1250
centre_of_gravity_height_mm = 84
[tyre]
radius_mm = 58
[setups."{setup}"]
"tyre.grip_coefficient" = 1.9
"""
KEPT_G = 1e-6
"""Grams are embedded with six decimals."""


class Reader(HTMLParser):
    """Fails on a tag that closes none; keeps tags, ids, text and data."""

    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.open, self.tags, self.ids, self.words, self.scripts = [], [], [], [], []

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        self.ids += [value for name, value in attrs if name == "id"]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        self.ids += [value for name, value in attrs if name == "id"]

    def handle_endtag(self, tag):
        assert self.open and self.open[-1] == tag, f"</{tag}> closes {self.open[-1:]}"
        self.open.pop()

    def handle_data(self, data):
        (self.scripts if self.open and self.open[-1] in ("script", "style") else self.words).append(data)


def read(html):
    reader = Reader()
    reader.feed(html)
    reader.close()
    assert not reader.open
    return reader


@cache
def check():
    """Report of the check vehicle: links, motor, one setup."""
    with mock.patch.object(report_study, "GENERATIONS", 2):
        return collect([load_vehicle(CHECK)], ReportOptions(draws=0, punch_grade_deg=20.0))


@cache
def whole():
    """The same with its page; drawing it takes seconds."""
    return check(), report_page(check())


@cache
def rigid():
    """Report and page of a level A vehicle whose names are meant to break out of the page."""
    text = LEVEL_A.format(name=NASTY, setup=NASTY.replace('"', '\\"').replace("\\\\x", "\\\\\\\\x"))
    vehicles = [load_vehicle("nasty.toml", text=text)]
    vehicles.append(load_vehicle("nasty.toml", text=text, setup=vehicles[0].setups[0]))
    result = collect(vehicles)
    return result, report_page(result)


@pytest.mark.parametrize("page", [pytest.param(whole, marks=pytest.mark.slow), rigid])
def test_page_is_well_formed_and_fetches_nothing(page):
    _, html = page()
    reader = read(html)
    assert html.startswith("<!DOCTYPE html>")
    assert len(reader.ids) == len(set(reader.ids))
    anchors = [attrs["href"] for tag, attrs in reader.tags if tag == "a" and "download" not in attrs]
    named = [name for name, _ in SECTIONS if name != "live" or "live" in reader.ids]
    assert anchors == ["#main", *(f"#{name}" for name in named)] and {anchor[1:] for anchor in anchors} <= set(
        reader.ids
    )
    links = re.findall(r"""https?://[^"'\s<)]+""", html)
    assert set(links) <= {"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"}
    for tag, attrs in reader.tags:
        assert tag not in ("img", "iframe", "object", "embed") and "src" not in attrs
        assert not any(name.startswith("on") for name in attrs), attrs
    assert not re.search(r"@import|url\((?!#)", html)
    policy = next(
        attrs["content"] for tag, attrs in reader.tags if attrs.get("http-equiv") == "Content-Security-Policy"
    )
    assert "default-src 'none'" in policy


def test_the_range_of_the_first_lift_is_the_wheel_answers_with_overdrive_gears_too():
    """The report asks `remark_on`; gears of the file once left its range where it was."""
    vehicle = demo_vehicle()
    geared = replace(vehicle, drive=replace(vehicle.drive, front_overdrive=1.1))
    ranges = [remark_on(one).range_deg for one in (geared, vehicle)]
    assert ranges[0] == wheels_answer(geared, grade_deg=30.0).first_lift_range_deg and ranges[0] != ranges[1]


@pytest.mark.slow
def test_references_inside_drawings_lead_somewhere():
    _, html = whole()
    ids = set(read(html).ids)
    wanted = set(re.findall(r'(?:xlink:href="|url\()#([^")]+)', html))
    assert wanted and wanted <= ids


@pytest.mark.slow
def test_every_drawing_has_words():
    _, html = whole()
    reader = read(html)
    drawings = [
        attrs
        for tag, attrs in reader.tags
        if tag == "svg" and "viewbox" in attrs and attrs.get("aria-hidden") != "true"
    ]
    assert len(drawings) >= 7
    for attrs in drawings:
        assert attrs["role"] == "img" and set(attrs["aria-labelledby"].split()) <= set(reader.ids)


def test_names_cannot_break_out():
    result, html = rigid()
    reader = read(html)
    assert result.vehicle.name == NASTY
    assert sum(tag == "script" for tag, _ in reader.tags) == 0, "a vehicle without links has no live part"
    assert "<script>alert" not in html and "<img" not in html
    assert any(result.vehicle.name in words for words in reader.words), "shown as it is written"


def test_conditions_of_a_verdict_are_said_once_and_names_are_not_repeated():
    """A name with colons and the words of a verdict in it does not mislead; what is not a verdict stays as it is."""
    for name in ("raised", "a: b changes c", "Calculated: x"):
        scope, rest = told_once(
            f"Calculated for this vehicle as measured, plane slope, steady crawl at 45 deg: {name} changes the front axle load by +1 g.",
            name,
        )
        assert scope == "Calculated for this vehicle as measured, plane slope, steady crawl at 45 deg"
        assert rest == "Changes the front axle load by +1 g."
    assert told_once("raised tips 0.6 deg later.", "raised") == ("", "Tips 0.6 deg later.")
    assert told_once("No creep at 70 deg for base: past tip-over.", "raised") == (
        "",
        "No creep at 70 deg for base: past tip-over.",
    )


def test_lines_of_setups_are_told_apart_and_seen_on_dark_paper():
    """No two of the first dozen look alike. Contrast of graphics: W3C, Web Content Accessibility Guidelines 2.1, 1.4.11."""
    assert len({look(k) for k in range(12)}) == 12
    assert all(contrast(line_on_dark(colour), DARK_PAPER) >= 3.0 for colour, _ in SETUP_LOOKS)


def test_rigid_vehicle_names_what_is_missing():
    result, html = rigid()
    words = " ".join(read(html).words)
    assert {item.part for item in result.missing} >= {"throttle punch", "links"}
    assert result.rank.changes and all(change.label in words for change in result.rank.changes[:3])
    assert result.uncertainty is not None and result.uncertainty.note in words
    for item in result.missing:
        assert item.why in words
    assert f"{result.members[0].sweep.limits.tip_over_grade_deg:.2f} deg" in words


def test_what_would_help_leads_with_changes_of_the_trade():
    """The answer, then ready-made changes with intervals; numbers one by one are folded away below."""
    from noseload.studies.levers.answer import judged_gain, rank_sentence

    result, html = rigid()
    words = " ".join(" ".join(read(html).words).split())
    best = result.rank.ready_made[0]
    low, high = best.intervals["tip_over_grade_deg"]
    there = words.index(best.label)
    assert rank_sentence(result.rank) in words and f"{low:+.1f} to {high:+.1f}" in words
    assert judged_gain(result.rank, best).short_words() in words
    assert there < words.index("numbers one by one, in steps of 1 mm")


def test_the_headline_is_the_verdict():
    """One setup: its own answer; several: how many say yes, and who is undecided; none: what the vehicle does."""

    def told(*answers):
        found = [SimpleNamespace(answer=Answer(f"setup {k}", word, words)) for k, (word, words) in enumerate(answers)]
        first = SimpleNamespace(name="as_built")
        return headline(SimpleNamespace(comparison=SimpleNamespace(differences=found), members=[first]))

    no = (
        "no",
        "No. At 55 deg it takes 20 g off the front axle (0.5 % of 224 g): measurable. It tips over 0.7 deg earlier.",
    )
    assert told(no) == "Setup 0: No. At 55 deg it takes 20 g off the front axle (0.5 % of 224 g): measurable."
    assert told(("none", "No answer at 60 deg: base slides.")) == "Setup 0: No answer at 60 deg: base slides."
    what = "enough more load on the front axle than as built to be noticed"
    assert told(no, no) == f"None of 2 setups keeps {what}."
    assert told(no, ("yes", "")) == f"Setup 1 keeps {what}."
    assert told(("yes", ""), ("undecided", ""), ("yes", "")) == f"2 of 3 setups keep {what}. Undecided: setup 1."
    assert told(no, ("undecided", "")) == f"None of 2 setups surely keeps {what}. Undecided: setup 1."


@pytest.mark.slow
def test_bars_stand_where_their_numbers_say(report):
    """Ends of the bar of the demo's raised mount, measured from the zero line against the noticed band beside it."""
    assert report.lift_range_deg == remark_on(report.vehicle).range_deg
    bar = str(bars(report))
    rects = {
        c: (float(x), float(w))
        for c, x, w in re.findall(r'<rect class="(\S+)" x="([\d.]+)" y="0" width="([\d.]+)"', bar)
    }
    x, width = map(float, re.search(r'<rect x="([\d.]+)" y="7" width="([\d.]+)"', bar).groups())
    difference = report.comparison.differences[0]
    noticed = report.options.thresholds.noticed_load_n(report.members[0].sweep.rows[0].front_load_n)
    per_newton = 0.5 * rects["noticed-band"][1] / noticed
    assert width == pytest.approx(abs(difference.front_load_n) * per_newton, abs=0.1)
    zero = rects["noticed-band"][0] + 0.5 * rects["noticed-band"][1]
    assert (x + width if difference.front_load_n < 0 else x) == pytest.approx(zero, abs=0.1)


@pytest.mark.slow
def test_numbers_are_the_solvers():
    result, html = whole()
    words = " ".join(read(html).words)
    vehicle = load_vehicle(CHECK)
    row = creep(vehicle, grade_deg=result.grade_deg)
    assert f"{row.front_load_n / GRAM_N:.0f} g ({row.front_load_n:.2f} N)" in words
    assert f"{row.budget['attitude_n'] / GRAM_N:+.1f}".replace("-", "−") in words
    done = punch(vehicle, grade_deg=20.0)
    assert f"{1e3 * done.summary['front_airborne_s']:.0f} ms" in words


def test_least_sample_after_a_lift_off_carries_nothing():
    """A page once showed 16 g at the moment of lift-off: the sample before it."""

    done = punch(load_vehicle(CHECK), grade_deg=35.0, duration_s=0.4, outcome=False)
    assert done.summary["front_airborne_s"] > 0.0
    assert done.front_load_n[done.least_sample] == 0.0


def test_markup_escapes_and_data_cannot_end_its_element():
    assert element("p", "<b>&\"'", attributes={"title": '"><x>', "hidden": True, "lang": None}) == (
        '<p title="&quot;&gt;&lt;x&gt;" hidden>&lt;b&gt;&amp;&quot;&#x27;</p>'
    )
    hostile = {"a": "</script><!--", "b": "\u2028"}
    raw = embedded_json(hostile, "x")
    assert raw.count("</script") == 1 and "<!--" not in raw
    assert json.loads(re.sub(r"^<script[^>]*>|</script>$", "", raw)) == hostile
    assert table(("<i>",), [("&",)], caption="c").count("&lt;i&gt;") == 1
    with pytest.raises(ValueError, match="Out of range"):
        embedded_json({"a": float("nan")}, "x")


def test_colours_stay_readable_on_both_papers():
    for colour, _ in SETUP_LOOKS:
        for paper, shown in (("#ffffff", colour), ("#171d23", on_dark(colour))):
            assert contrast(readable(shown, paper), paper) >= LEAST_CONTRAST
    # Black on white: 21, W3C Web Content Accessibility Guidelines 2.1, definition of contrast ratio.
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert on_dark("#ffffff") == "#171d23"


def test_drawings_get_ids_of_their_own():
    svg = (
        '<svg viewBox="0 0 10 5"><defs><path id="m"/></defs><use xlink:href="#m" style="fill: #b5452c"/>'
        '<text style="fill: #ffffff">a</text></svg>'
    )
    drawings = Drawings()
    both = drawings.inline(svg, "<t>", "d") + drawings.inline(svg, "t", "d")
    assert len(re.findall(r'id="d\d-m"', both)) == 2 and "#d1-m" in both and "#d2-m" in both
    assert isinstance(drawings.inline(svg, "t", "d"), Markup) and "&lt;t&gt;" in both
    assert "var(--c-b5452c)" in both and "--c-b5452c:#b5452c" in drawings.rules()


def test_folder_is_whole_or_not_at_all(tmp_path):
    target = tmp_path / "folder"
    with pytest.raises(TypeError):
        write_folder(target, {"good.txt": "a", "bad.txt": 3})
    assert list(tmp_path.iterdir()) == []
    write_folder(target, {"good.txt": "a"})
    with pytest.raises(FileExistsError):
        write_folder(target, {"other.txt": "b"})
    assert [path.name for path in target.iterdir()] == ["good.txt"]


@pytest.mark.slow
def test_command_writes_page_and_folder(capsys, tmp_path):
    file = tmp_path / "mine.toml"
    file.write_text(LEVEL_A.format(name="plain", setup="a/b <x>"))
    page, folder = tmp_path / "page.html", tmp_path / "again"
    assert main(["report", str(file), "--out", str(page), "--folder", str(folder)]) == 0
    assert "missing: links" in capsys.readouterr().out
    names = {path.name for path in folder.iterdir()}
    assert names >= {
        "README.txt",
        "vehicle.toml",
        "measuring-sheet.pdf",
        "recipes.txt",
        "board.pdf",
        "trial-plan.txt",
        "limits.csv",
        "crawl-A-base.csv",
        "crawl-B-a-b-x.csv",
        "page.html",
        "summary.json",
    }
    assert not any("key" in name for name in names)
    assert (folder / "page.html").read_text() == page.read_text() and (
        folder / "vehicle.toml"
    ).read_bytes() == file.read_bytes()
    rows = list(csv.DictReader(io.StringIO((folder / "crawl-A-base.csv").read_text())))
    row = creep(load_vehicle(str(file)), grade_deg=30.0)
    assert float(next(r for r in rows if float(r["grade_deg"]) == 30.0)["front_load_n"]) == row.front_load_n
    for name in names:
        assert name in (folder / "README.txt").read_text() or name == "README.txt"
    assert main(["report", str(file), "--folder", str(folder)]) == 2 and "is there already" in capsys.readouterr().err


@pytest.mark.slow
def test_report_is_a_result_like_any_other():
    result = check()
    assert result["punch_grade_deg"] == 20.0 and "<table" in result._repr_html_()
    assert result.plot().lines


def test_faulty_options_are_refused_before_the_work(capsys):
    for options, words in ((["--out", "page.pdf"], "written as .html"), (["--draws", "3"], "10 or more")):
        assert main(["report", *options]) == 2
        assert words in capsys.readouterr().err


def test_board_holds_the_vehicle():
    vehicle = load_vehicle(CHECK)
    sizes = board_sizes(vehicle, 30.0)
    assert sizes["length_mm"] > 2.0 * 1e3 * vehicle.wheelbase
    assert sizes["prop_length_mm"] == pytest.approx(0.5 * sizes["hinge_to_prop_mm"])  # sin 30 deg


def test_file_names_hold_no_strange_letters():
    assert plain_name(1, "../a b\u00e9$") == "B-a-b" and plain_name(0, "///") == "A" and plain_name(26, "x") == "A2-x"


@pytest.mark.slow
def test_a_static_page_holds_no_script():
    result, _ = whole()
    reader = read(report_page(result, live=False))
    assert not any(tag == "script" for tag, _ in reader.tags) and "live" not in reader.ids


def test_only_the_sections_asked_for_are_on_the_page():
    result, _ = rigid()
    reader = read(report_page(result, sections=["verdict", "method"]))
    names = [name for name, _ in SECTIONS]
    assert [name for name in reader.ids if name in names] == ["verdict", "method"]


def test_an_unknown_section_is_refused_before_the_work(capsys):
    assert main(["report", "--sections", "verdict,limts"]) == 2
    assert "no section is called limts; the page has verdict, live, vehicle" in capsys.readouterr().err


DRAWN_SHARE = 0.01
"""Of the range: a pixel or two of a page."""


@pytest.mark.slow
def test_drawn_punches_follow_their_samples(report, monkeypatch):
    """Once every eighteenth sample was drawn: curves ran up to 357 g of 2500 g beside the load, and cut its peaks."""
    drawn = []

    def kept(results, ax, **options):
        drawn.extend(results)
        return plot_loads(results, ax, **options)

    monkeypatch.setattr(figures_of_pages, "plot_loads", kept)
    figures_of_pages.report_figures(report)
    punches = [m.punch for m in report.members if m.punch is not None and m.punch.success]
    assert len(drawn) == len(punches) > 1
    for short, whole in zip(drawn, punches, strict=True):
        followed = np.interp(whole.time_s, short.time_s, short.front_load_n)
        assert np.abs(followed - whole.front_load_n).max() <= DRAWN_SHARE * np.ptp(whole.front_load_n)
        assert short.front_load_n.max() >= (1.0 - DRAWN_SHARE) * whole.front_load_n.max()
        assert len(short.time_s) < 200


def test_what_single_wheels_lack_is_told_in_a_line(tmp_path):
    """Once the page listed each of twelve keys; how many they are, and where they are named, is one line."""
    file = tmp_path / "flat.toml"
    text = Path(CHECK).read_text(encoding="utf-8")
    file.write_text(re.sub(r"\[(-?[\d.]+), *-?[\d.]+, *(-?[\d.]+)\]", r"[\1, \2]", text), encoding="utf-8")
    vehicle = load_vehicle(str(file))
    found = collect([vehicle], ReportOptions(draws=0))
    (told,) = [item for item in found.missing if item.part == "single wheels"]
    assert "`noseload wheels` names them" in told.why and "\n" not in told.why and len(told.why) < 160


@pytest.mark.slow
def test_errors_are_told_once_in_numbers_without_exponents(html):
    """Once a phone showed the same error three times, keys cut in the middle of words, and 5.1e+03 kg mm2."""
    folded = html[html.index("Every error that was drawn.") :]
    rows = re.findall(r'<tr><th scope="row">(.*?)</th><td>(.*?)</td></tr>', folded[: folded.index("</table>")])
    assert len(rows) > 20 and len(set(rows)) == len(rows)
    assert f"<summary>All {len(rows)} errors</summary>" in html
    assert not any(re.search(r"\de[+-]\d", limit) for _, limit in rows)
    assert any("axle_<wbr>mass_<wbr>g" in name for name, _ in rows)
    assert '<td data-label="how far, and what settles it" class="prose">' in html and ".." not in re.sub(
        r"\.\.\.",
        "",
        plain(
            Markup(
                html[html.index("what the model leaves out".capitalize()) : html.index("Every error that was drawn.")]
            )
        ),
    )
