"""The temperature axis: where things lie, that labels keep apart, and that words carry the same."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ElementTree
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from triage.drawing.axis import COLDEST, WARMEST, Band, Bar, axis_of, temperature_axis
from triage.services import workspace
from triage.services.assess import assess

SVG = "{http://www.w3.org/2000/svg}"
BARS = [
    Bar("wet dilution unit", 0.025, 0.045, 0.9, "suitable"),
    Bar("helium-3 insert", 0.29, 0.33, 50.0, "suitable", chosen=True),
    Bar("bath stick", 4.22, 4.3, 100.0, "unsuitable"),
    Bar("bench probe", 295.0, 295.0, 300.0, "unsuitable"),
]
BANDS = [Band("see", 1.4), Band("measure", 0.42, wanted=True), Band("publish", 0.21)]

temperatures = st.floats(1e-3, 400.0)


def texts(svg: str) -> list[tuple[str, float, float, float, float]]:
    """Every text with the box it takes at most: left, top, right, bottom."""
    found = []
    for each in ElementTree.fromstring(svg).iter(f"{SVG}text"):
        size, x, y = (float(each.attrib[name]) for name in ("font-size", "x", "y"))
        wide = 0.56 * size * len(each.text or "")
        left = {"start": x, "middle": x - wide / 2, "end": x - wide}[each.attrib["text-anchor"]]
        found.append((each.text or "", left, y - 0.78 * size, left + wide, y + 0.2 * size))
    return found


def clashes(svg: str) -> list[tuple[str, str]]:
    """Pairs of texts whose boxes lie on each other."""
    return [
        (one[0], other[0])
        for one, other in combinations(texts(svg), 2)
        if one[1] < other[3] and other[1] < one[3] and one[2] < other[4] and other[2] < one[4]
    ]


def bar_of(svg: str, color: str) -> tuple[float, float]:
    """Left and right end of the bar of a colour."""
    rectangle = next(each for each in ElementTree.fromstring(svg).iter(f"{SVG}rect") if each.attrib["fill"] == color)
    left = float(rectangle.attrib["x"])
    return left, left + float(rectangle.attrib["width"])


def test_a_decade_is_as_long_everywhere() -> None:
    """The axis is logarithmic: bars over one decade are equally long wherever they lie."""
    lengths = []
    for cold in (0.02, 0.3, 5.0):
        left, right = bar_of(temperature_axis([Bar("a", cold, cold, 10 * cold, chosen=True)], []).svg, "#123f57")
        lengths.append(right - left)
    assert lengths == pytest.approx([lengths[0]] * 3, abs=0.2)
    whole = bar_of(temperature_axis([Bar("a", COLDEST, COLDEST, WARMEST, chosen=True)], []).svg, "#123f57")
    assert (whole[1] - whole[0]) / lengths[0] == pytest.approx(math.log10(WARMEST / COLDEST), rel=2e-3)


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_picture_is_valid_and_says_what_it_is(theme: str) -> None:
    drawn = temperature_axis(BARS, BANDS, theme=theme)  # type: ignore[arg-type]
    root = ElementTree.fromstring(drawn.svg)
    assert root.find(f"{SVG}title") is not None
    assert root.findtext(f"{SVG}desc") == drawn.text
    for words in ("helium-3 insert: electrons 0.33 K, stage 0.29 K, up to 50 K", "measure: 0.42 K or colder (wanted)"):
        assert words in drawn.text
    width, height = (float(part) for part in root.attrib["viewBox"].split()[2:])
    assert drawn.aspect == pytest.approx(width / height)
    for text, left, top, right, bottom in texts(drawn.svg):
        assert left >= 0, text
        assert top >= 0, text
        assert right <= width, text
        assert bottom <= height, text


def test_no_label_lies_on_another_in_any_demonstration() -> None:
    facility = workspace.open_facility()
    warmest = {each.id: each.warmest.nominal for each in facility.lab.platforms}
    for path in facility.proposals():
        answer = assess(facility, workspace.read_request(path), thorough=False)
        for width in (560.0, 720.0, 1000.0):
            drawn = temperature_axis(*axis_of(answer, warmest), width=width)
            assert clashes(drawn.svg) == [], path.stem


@given(
    st.lists(
        st.tuples(st.text("abcdefg hij-", min_size=1, max_size=60), temperatures, temperatures, temperatures),
        max_size=8,
    ),
    st.lists(temperatures, min_size=3, max_size=3),
)
@settings(max_examples=60, deadline=None)
def test_no_label_lies_on_another_for_any_platforms(
    platforms: list[tuple[str, float, float, float]], needed: list[float]
) -> None:
    bars = [Bar(name, *sorted(each), "unsuitable") for name, *each in platforms]
    bands = [Band(name, each) for name, each in zip(("see", "measure", "publish"), sorted(needed), strict=True)]
    drawn = temperature_axis(bars, bands)
    assert clashes(drawn.svg) == []


def test_what_is_not_known_is_said() -> None:
    drawn = temperature_axis([Bar("new <one> & odd", math.nan, math.nan, math.nan)], [Band("see", math.nan)])
    assert "new <one> & odd: temperature unknown." in drawn.text
    assert "temperature unknown" in [text for text, *_ in texts(drawn.svg)]


def test_hatching_stays_within_its_box() -> None:
    """The hatched part runs from the stage to the electrons and no further."""
    root = ElementTree.fromstring(temperature_axis([Bar("a", 0.02, 0.2, 1.0, chosen=True)], []).svg)
    box = next(each for each in root.iter(f"{SVG}rect") if each.attrib["fill"] == "none")
    left = float(box.attrib["x"])
    right = left + float(box.attrib["width"])
    lines = [each for each in root.iter(f"{SVG}line") if each.attrib["stroke-width"] == "0.9"]
    assert len(lines) > 5
    for line in lines:
        assert left - 0.1 <= float(line.attrib["x1"]) <= float(line.attrib["x2"]) <= right + 0.1
