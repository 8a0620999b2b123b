"""A curve drawn: valid, the same every time, legible without colour, with its numbers and words."""

from __future__ import annotations

import csv
import io
import subprocess
import sys
import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest
from measurements.test_catalogue import device_of

from triage.errors import TriageError
from triage.measurements.catalogue import CATALOGUE
from triage.measurements.curves import Axis, expected
from triage.services import picture
from triage.services.preview import numbers, preview

PLATFORMS = [("dip stick", 4.2), ("pumped insert", 1.5), ("sorption insert", 0.34), ("dilution unit", 0.05)]
SVG = "{http://www.w3.org/2000/svg}"


def device(key: str) -> dict[str, float]:
    return {"field": 2.0, **device_of(CATALOGUE[key])}


def read_back(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text)))


class TestPicture:
    """SVG and PNG."""

    @pytest.mark.parametrize("theme", ["light", "dark"])
    @pytest.mark.parametrize("key", ["coulomb-peaks", "kondo", "valley-splitting", "charge-noise"])
    def test_both_forms_are_valid_and_described(self, key: str, theme: str) -> None:
        drawing = preview(key, device(key), PLATFORMS, theme, {"dip stick": 1.4})  # type: ignore[arg-type]
        root = ElementTree.fromstring(drawing.svg)
        assert root.tag == f"{SVG}svg"
        assert root.get("role") == "img"
        title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
        assert title is not None
        assert title.text
        assert description is not None
        assert description.text == drawing.text
        assert drawing.png.startswith(b"\x89PNG\r\n\x1a\n")

    def test_the_same_bytes_every_time(self) -> None:
        one, two = (preview("coulomb-peaks", device("coulomb-peaks"), PLATFORMS) for _ in range(2))
        assert one == two

    def test_lines_differ_in_dashes(self) -> None:
        """Eight temperatures, eight patterns: none is told apart by colour alone."""
        root = ElementTree.fromstring(
            preview("tunnelling-gap", device("tunnelling-gap"), [(f"p{n}", 0.02 * 2**n) for n in range(8)]).svg
        )
        found = set()
        for group in root.iter(f"{SVG}g"):
            if (group.get("id") or "").startswith("line2d"):
                for path in group.findall(f"{SVG}path"):
                    style = path.get("style") or ""
                    if "stroke-width: 1.9" in style:
                        dash = [part for part in style.split(";") if "stroke-dasharray" in part]
                        found.add(dash[0].strip() if dash else "solid")
        assert len(found) == 8

    def test_shades_stay_apart_from_the_paper_in_grey(self) -> None:
        """Contrast of 3 to 1 against the paper for the lines of both themes (WCAG 2.2, 1.4.11)."""

        def luminance(colour: np.ndarray) -> float:
            linear = np.where(colour <= 0.04045, colour / 12.92, ((colour + 0.055) / 1.055) ** 2.4)
            return float(linear @ [0.2126, 0.7152, 0.0722])

        for theme, paper in (("light", "#ffffff"), ("dark", "#14181d")):
            ground = luminance(np.array([int(paper[n : n + 2], 16) for n in (1, 3, 5)]) / 255)
            for shade in picture._shades(theme, 8):  # type: ignore[arg-type]
                light = luminance(np.array(shade[:3]))
                assert (max(light, ground) + 0.05) / (min(light, ground) + 0.05) >= 3.0

    @pytest.mark.parametrize(
        "label",
        [
            "$x^2$",
            "a & b <script>",
            "-- comment -->",
            "nul\x00 bell\x07",
            "長い名前",
            "",
            "x" * 500,
            "two\nlines",
            "\ud800",
        ],
    )
    def test_any_label_can_be_drawn(self, label: str) -> None:
        for key in ("coulomb-peaks", "kondo", "valley-splitting"):
            drawing = preview(key, device(key), [(label, 1.0), ("dip stick", 4.2)])
            root = ElementTree.fromstring(drawing.svg)
            assert not list(root.iter(f"{SVG}script"))

    def test_one_and_many_temperatures(self) -> None:
        for count in (1, 12):
            labelled = [(f"platform {n}", 0.02 * 1.8**n) for n in range(count)]
            for key in ("coulomb-peaks", "spin-readout", "valley-splitting"):
                assert preview(key, device(key), labelled).png

    def test_without_matplotlib_it_says_so(self, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setitem(sys.modules, "matplotlib", None)
        with pytest.raises(TriageError, match="matplotlib"):
            preview("kondo", device("kondo"), PLATFORMS)
        assert numbers("kondo", device("kondo"), PLATFORMS)[0]

    def test_matplotlib_is_not_loaded_before_a_picture_is_asked_for(self) -> None:
        code = "import sys, triage.services.preview; sys.exit('matplotlib' in sys.modules)"
        assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0

    @pytest.mark.parametrize(
        ("unit", "largest", "factor", "shown"),
        [
            ("J", 4e-3 * 1.602176634e-19, 1.602176634e-22, "meV"),
            ("V", 3e-5, 1e-6, "µV"),
            ("V/m", 1e9, 1e8, "MV/cm"),
            ("", 3.0, 1.0, ""),
        ],
    )
    def test_axes_are_in_the_units_of_the_trade(self, unit: str, largest: float, factor: float, shown: str) -> None:
        found, title = picture.scaled(Axis("x", unit), np.array([0.0, largest]))
        assert found == pytest.approx(factor)
        assert title == (f"x ({shown})" if shown else "x")


class TestTable:
    """CSV: the numbers that were drawn."""

    def test_lines(self) -> None:
        rows = read_back(numbers("coulomb-peaks", device("coulomb-peaks"), PLATFORMS)[0])
        curve = expected("coulomb-peaks", device("coulomb-peaks"), [each for _, each in PLATFORMS])
        assert rows[0][1] == "level [J]"
        assert [head.split(":")[0] for head in rows[0][2:]] == [label for label, _ in PLATFORMS]
        table = np.array([[float(cell) for cell in row[1:]] for row in rows[1:]])
        np.testing.assert_allclose(table[:, 1:], curve.lines.T, rtol=1e-5)

    def test_a_law_lists_the_platforms(self) -> None:
        rows = read_back(numbers("kondo", device("kondo"), PLATFORMS)[0])
        named = [row for row in rows[1:] if row[0]]
        assert [row[0] for row in named] == [label for label, _ in PLATFORMS]
        assert [float(row[1]) for row in named] == [each for _, each in PLATFORMS]

    def test_a_map_has_one_row_per_bias(self) -> None:
        rows = read_back(numbers("coulomb-diamonds", device("coulomb-diamonds"), PLATFORMS[:2])[0])
        assert {len(row) for row in rows[1:]} == {122}
        assert len(rows) == 2 + 2 * 120

    @pytest.mark.parametrize("label", ["=1+1", "+1", "-1", "@x"])
    def test_a_formula_is_text(self, label: str) -> None:
        rows = read_back(numbers("kondo", device("kondo"), [(label, 1.0)])[0])
        assert rows[-1][0] == "'" + label


class TestWords:
    """The same in plain language."""

    @pytest.mark.parametrize("key", list(CATALOGUE))
    def test_every_kind_says_something_of_every_platform(self, key: str) -> None:
        text = numbers(key, device(key), PLATFORMS)[1]
        assert all(any(line.startswith(f"{label}: ") for line in text.splitlines()) for label, _ in PLATFORMS)
        assert "nan" not in text
        assert "unknown" not in text

    def test_width_in_the_words(self) -> None:
        """3.53 k_B T at 1.5 K is 456 µeV."""
        assert "pumped insert: full width 460 µeV" in numbers("coulomb-peaks", device("coulomb-peaks"), PLATFORMS)[1]

    def test_a_temperature_outside_a_law_is_said(self) -> None:
        inputs = {"frequency": 5e9, "critical_temperature": 1.2}
        text = numbers("resonator-loss", inputs, [("dip stick", 4.2)])[1]
        assert "dip stick: outside the range in which the law holds." in text
