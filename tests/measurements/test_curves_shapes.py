"""Every kind has a curve of the right form, and cold is never blurrier than warm."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
import yaml
from measurements.test_catalogue import device_of

from triage.measurements.catalogue import CATALOGUE, UnknownKind
from triage.measurements.curves import CURVES, Curve, expected
from triage.measurements.kind import Kind

KINDS = [pytest.param(kind, id=key) for key, kind in CATALOGUE.items()]
MAPS = {"coulomb-diamonds", "valley-splitting"}
REFERENCES = yaml.safe_load((Path(__file__).parents[2] / "rules" / "references.yaml").read_text(encoding="utf-8"))
COLD_TO_WARM = np.array([0.012, 0.03, 0.1, 0.34, 1.5, 4.2, 77.0, 300.0])


def curve_of(kind: Kind, temperatures: object, points: int = 101, *, optional: bool = False, **more: float) -> Curve:
    """The curve of the believable device of a kind."""
    inputs = {"field": 2.0, **device_of(kind, optional=optional), **more}
    return expected(kind.key, inputs, temperatures, points)  # type: ignore[arg-type]


class TestForm:
    """One curve per kind, finite, with one line or map per temperature."""

    def test_every_kind_is_there(self) -> None:
        assert set(CURVES) == set(CATALOGUE)

    @pytest.mark.parametrize("optional", [False, True])
    @pytest.mark.parametrize("kind", KINDS)
    def test_shapes_agree(self, kind: Kind, optional: bool) -> None:
        curve = curve_of(kind, COLD_TO_WARM, optional=optional)
        assert np.isfinite(curve.lines).all()
        if curve.second is not None:
            assert kind.key in MAPS
            assert curve.lines.shape == (8, len(curve.second.values), len(curve.x.values))
        else:
            assert curve.lines.shape == (len(curve.names) or 8, 101)
            assert len(curve.x.values) == 101
        if curve.points is not None:
            assert curve.points.shape == (8, 2)
            assert curve.names
        if curve.widths is not None:
            assert curve.widths.shape == (8,)
            assert np.all(np.diff(curve.widths[np.isfinite(curve.widths)]) > 0)

    @pytest.mark.parametrize("kind", KINDS)
    def test_the_axis_runs_one_way(self, kind: Kind) -> None:
        curve = curve_of(kind, COLD_TO_WARM)
        assert np.all(np.diff(curve.x.values) > 0)

    @pytest.mark.parametrize("kind", KINDS)
    def test_one_temperature_among_many_is_as_alone(self, kind: Kind) -> None:
        """What is seen at a platform does not depend on the others, where the places are the same."""
        together, alone = curve_of(kind, [1.0, 1.0]), curve_of(kind, [1.0])
        if together.names:
            np.testing.assert_allclose(together.points[0], alone.points[0], rtol=1e-9)  # type: ignore[index]
        else:
            np.testing.assert_allclose(together.lines[1], alone.lines[0], rtol=1e-9, atol=1e-300)

    @pytest.mark.parametrize("kind", KINDS)
    @pytest.mark.parametrize("extreme", [1e-3, 1e3])
    def test_extreme_devices_stay_finite(self, kind: Kind, extreme: float) -> None:
        """Inputs a thousand times larger or smaller, within what the catalogue accepts."""
        inputs = {}
        for name, value in device_of(kind).items():
            asked = kind.input(name)
            bounds = (asked.least, asked.most) if asked else (0.01, 20.0)
            inputs[name] = float(np.clip(value * extreme, *bounds))
        curve = expected(kind.key, {"field": 2.0, **inputs}, COLD_TO_WARM, 61)
        assert np.isfinite(curve.lines).all()

    @pytest.mark.parametrize("kind", KINDS)
    def test_words_and_references(self, kind: Kind) -> None:
        curve = curve_of(kind, [1.0])
        assert curve.title
        assert curve.note.startswith("Look ")
        assert curve.note.endswith(".")
        assert curve.x.label
        assert curve.y.label
        assert curve.references
        assert [key for key in curve.references if key not in REFERENCES] == []
        assert not re.search(r"\bT_e\b|\bFWHM\b", curve.note)  # the note is for a newcomer
        if curve.illustrative:
            assert re.search(r"typical|assumed|illustration|stands? (in )?for|good|drawn", curve.note)


class TestRefusals:
    """What cannot be drawn is said, not drawn."""

    def test_unknown_kind(self) -> None:
        with pytest.raises(UnknownKind):
            expected("kondoo", {}, [1.0])

    @pytest.mark.parametrize("bad", [[], [0.0], [-1.0], [np.nan], [np.inf], [[1.0]]])
    def test_temperatures(self, bad: list[float]) -> None:
        with pytest.raises(ValueError, match="temperatures"):
            expected("optical-spectroscopy", {}, bad)

    def test_missing_input(self) -> None:
        with pytest.raises(ValueError, match="charging_energy"):
            expected("coulomb-diamonds", {}, [1.0])


class TestColderIsNeverBlurrier:
    """Where temperature only smears, the colder line swings more or climbs more steeply."""

    @pytest.mark.parametrize(
        "key",
        [
            "coulomb-oscillations", "coulomb-peaks", "excited-state-spectroscopy", "charge-sensing",
            "tunnelling-gap", "hybrid-andreev", "quantum-oscillations", "quantum-hall", "weak-localisation",
            "point-contact", "inelastic-tunnelling", "scanning-tunnelling", "electron-pump",
            "transistor-screening", "magnetoresistance", "spin-coherence",
        ],
    )  # fmt: skip
    def test_steepest_slope(self, key: str) -> None:
        warm = np.array([0.05, 0.1, 0.34, 1.5, 4.2, 77.0])
        curve = curve_of(CATALOGUE[key], warm, 801)
        lines = np.log10(curve.lines) if key == "transistor-screening" else curve.lines
        slope = np.abs(np.gradient(lines, curve.x.values, axis=1)).max(axis=1)
        assert np.all(np.diff(slope) <= 1e-3 * slope[:-1])

    @pytest.mark.parametrize(
        "key", ["spin-readout", "spin-blockade", "superconducting-qubit", "nanomechanics", "optical-spectroscopy"]
    )
    def test_laws_rise_with_temperature(self, key: str) -> None:
        curve = curve_of(CATALOGUE[key], COLD_TO_WARM)
        assert np.all(np.diff(curve.lines, axis=1) >= 0)

    @pytest.mark.parametrize("key", ["weak-link", "kondo", "hall-mobility", "contact-resistance"])
    @pytest.mark.parametrize("optional", [False, True])
    def test_laws_fall_with_temperature(self, key: str, optional: bool) -> None:
        curve = curve_of(CATALOGUE[key], COLD_TO_WARM, optional=optional)
        assert np.all(np.diff(curve.lines, axis=1) <= 1e-12 * curve.lines.max())

    def test_a_diamond_map_darkens_on_cooling(self) -> None:
        curve = curve_of(CATALOGUE["coulomb-diamonds"], [0.3, 1.5, 4.2, 30.0], 161)
        bright = curve.lines / curve.lines.max(axis=(1, 2), keepdims=True)
        dark = (bright < 0.05).mean(axis=(1, 2))
        assert np.all(np.diff(dark) <= 0)
        assert dark[0] > 0.5
        assert dark[-1] == 0
