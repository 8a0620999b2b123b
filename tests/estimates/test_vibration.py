"""Vibration: handbook values through the estimate, and what a louder platform can never do."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from estimates.one_platform import case, lab
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from triage.errors import BadInput
from triage.estimates.case import Case
from triage.estimates.motion import CLASS_OF_LEVEL, THIRD_OCTAVES, class_displacement
from triage.models.surroundings import CLASSES
from triage.physics.vibration import CRITERIA
from triage.reasoning.plain import masks
from triage.services.workspace import open_facility

PICO = 1e-12
CURRENT = {"sensitive_to": "current", "bias": "0.1 V", "capacitance": "1 pF", "gap": "1 mm", "smallest": "1 pA",
           "band_low": "0 Hz", "band_high": "2 kHz"}  # fmt: skip
TIP = {"sensitive_to": "tip gap", "smallest_motion": "1 pm", "band_low": "0 Hz", "band_high": "1 kHz"}


def lines(*pairs: tuple[str, str]) -> dict[str, Any]:
    return {"spectrum": [{"frequency": frequency, "displacement": motion} for frequency, motion in pairs]}


def on(vibration: dict[str, Any], signal: dict[str, Any], platform: str = "dry", **entries: Any) -> Case:
    return case(lab(platform, vibration=vibration), signal=signal, **entries)


def test_a_femtofarad_at_a_kilohertz_and_a_tenth_of_a_volt_is_0_63_picoampere() -> None:
    """V 2 pi f dC; 1 um over a gap of 1 mm changes 1 pF by 1 fF (elementary)."""
    found = on(lines(("1 kHz", "1 um")), CURRENT)

    assert found.got("disturbance") == pytest.approx(0.63 * PICO, abs=0.005 * PICO)
    assert found.facts["disturbance_margin"] == pytest.approx(1 / 0.628, rel=0.01)
    assert found.gates["vibration"].unit == "A"
    assert "vibration_margin" not in found.facts


def test_a_square_centimetre_in_nine_tesla_gives_283_nanovolts() -> None:
    """B A theta 2 pi f at 1 urad and 50 Hz (elementary)."""
    signal = {"sensitive_to": "loop voltage", "loop_area": "1 cm2", "tilt_arm": "1 m", "smallest_voltage": "1 uV",
              "band_low": "0 Hz", "band_high": "100 Hz"}  # fmt: skip
    found = on(lines(("50 Hz", "1 um")), signal, field={"magnitude": "9 T"})

    assert found.got("disturbance") == pytest.approx(283e-9, abs=0.5e-9)


@pytest.mark.parametrize(("resonance", "picometres"), [("500 Hz", 78), ("1 kHz", 20), ("5 kHz", 0.8)])
def test_a_stiff_head_turns_ten_micrometres_into_picometres(resonance: str, picometres: float) -> None:
    """x (f/f0)^2 far below the resonance, 10 um at 1.4 Hz (harmonic oscillator)."""
    found = on(lines(("1.4 Hz", "10 um")), {**TIP, "head_resonance": resonance})

    assert found.got("disturbance") / PICO == pytest.approx(picometres, rel=0.03)


def test_ten_nanometres_in_a_micromagnet_are_ten_microtesla() -> None:
    """1 mT/um times 10 nm (elementary)."""
    signal = {"sensitive_to": "field gradient", "gradient": "1 mT/um", "smallest_field": "1 uT", "band_high": "100 Hz"}
    found = on(lines(("1.4 Hz", "10 nm")), signal)

    assert found.got("disturbance") == pytest.approx(10e-6)
    assert found.facts["disturbance_margin"] == pytest.approx(0.1)


@pytest.mark.parametrize(
    ("name", "micrometres"),
    [("workshop", 36), ("office", 18), ("residential", 9), ("operating theatre", 4.5), ("VC-A", 2.3), ("VC-B", 1.1),
     ("VC-C", 0.56), ("VC-D", 0.28), ("VC-E", 0.14), ("VC-F", 0.07), ("VC-G", 0.035)],
)  # fmt: skip
def test_a_class_moves_as_its_curve_at_ten_hertz(name: str, micrometres: float) -> None:
    """Peak to peak displacement of a sine at 10 Hz that has the class's velocity (Gordon 1991, Amick 2005)."""
    at = int(np.argmin(np.abs(THIRD_OCTAVES - 10.0)))

    assert THIRD_OCTAVES[at] == pytest.approx(10.0)
    assert class_displacement(name)[at] * 8**0.5 * 1e6 == pytest.approx(micrometres, rel=0.04)


def test_third_octaves_are_the_preferred_frequencies() -> None:
    """ISO 266, 1 to 80 Hz, rounded as there."""
    preferred = [1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8, 10, 12.5, 16, 20, 25, 31.5, 40, 50, 63, 80]

    assert pytest.approx(preferred, rel=0.015) == THIRD_OCTAVES.tolist()


def test_the_cold_head_lies_between_class_a_and_class_b() -> None:
    """10 um peak to peak at 1.4 Hz are 31 um/s rms, which only level 5 allows (Gordon 1991)."""
    velocity = 2 * np.pi * 1.4 * 10e-6 / 8**0.5

    assert CRITERIA[CLASS_OF_LEVEL[4]] < velocity < CRITERIA[CLASS_OF_LEVEL[5]]
    assert tuple(CRITERIA) == CLASSES


def test_lines_outside_the_band_do_not_count() -> None:
    """A strong line below the band of a lock-in is filtered out."""
    inside = on(lines(("100 Hz", "1 nm")), {**CURRENT, "band_low": "50 Hz"})
    both = on(lines(("100 Hz", "1 nm"), ("1.4 Hz", "5 um")), {**CURRENT, "band_low": "50 Hz"})

    assert both.got("disturbance") == inside.got("disturbance") > 0


def test_cables_disturb_the_part_of_the_band_that_is_shared() -> None:
    """White noise of 10 pA from 5 to 10 kHz: a quarter of the band holds half of it (elementary)."""
    still = {**lines(("1 Hz", "1 pm")), "cable_current": "10 pA"}
    found = on(still, {**CURRENT, "band_high": "6.25 kHz"})
    density = on({**lines(("1 Hz", "1 pm")), "cable_density": "0.1 pA"}, {**CURRENT, "band_high": "5.1 kHz"})

    assert found.got("disturbance") == pytest.approx(5 * PICO, rel=1e-6)
    assert density.got("disturbance") == pytest.approx(1 * PICO, rel=1e-6)
    assert on(still, CURRENT).got("cable_noise") == 0


def test_a_pause_counts_only_if_the_trace_fits_and_the_stage_stays() -> None:
    """10 min of pause; a trace of 5 min fits, of 20 min not, nor where the stage drifts by more than a tenth."""
    loud = {**lines(("1.4 Hz", "50 um")), "quiet_window": "10 min"}
    signal = {**TIP, "head_resonance": "5 kHz"}
    short = on(loud, signal, time={"trace": "5 min"})
    long = on(loud, signal, time={"trace": "20 min"})
    drifting = on({**loud, "quiet_drift": "10 mK/min"}, signal, time={"trace": "5 min"})

    assert [each.facts["quiet_window_fits"] for each in (short, long, drifting)] == ["yes", "no", "no"]
    assert short.got("disturbance") < long.got("disturbance") == drifting.got("disturbance")


def test_a_band_runs_forward() -> None:
    """A band turned round would hold no line at all and look silent."""
    with pytest.raises(BadInput):
        on({}, {**CURRENT, "band_low": "5 kHz", "band_high": "1 Hz"})


@pytest.mark.parametrize("missing", ["bias", "capacitance"])
def test_without_the_details_the_level_stands(missing: str) -> None:
    """A path that lacks a number is not guessed."""
    found = on({"level": 4}, {name: value for name, value in CURRENT.items() if name != missing})

    assert found.gates["vibration"].limit == "level on the scale 0 to 5"
    assert "disturbance_margin" not in found.facts


def test_a_spectrum_older_than_the_loom_is_stale() -> None:
    """Cables carry much of the disturbance."""
    dated = {**lines(("1 Hz", "1 nm")), "date": "2026-01-01"}
    old = case(lab("dry", vibration=dated, electrons={"loom_changed": "2026-02-01"}))

    assert old.facts["spectrum"] == "stale"
    assert on(lines(("1 Hz", "1 nm")), {}).facts["spectrum"] == "measured"
    assert on({}, {}).facts["spectrum"] == "none"


TWO_MEASURES = {"frequency": "1 Hz", "velocity": "1 um/s", "displacement": "1 nm"}


@pytest.mark.parametrize("line", [{"frequency": "1 Hz"}, TWO_MEASURES, {"frequency": "0 Hz", "displacement": "1 nm"}])
def test_a_line_has_one_measure_and_a_frequency(line: dict[str, str]) -> None:
    """Neither none nor both."""
    with pytest.raises(ValidationError):
        lab("dry", vibration={"spectrum": [line]})


def test_velocity_and_displacement_are_the_same_line() -> None:
    """x = v / 2 pi f."""
    velocity = {"spectrum": [{"frequency": "50 Hz", "velocity": f"{2 * np.pi * 50 * 1e-9} m/s"}]}

    expected = on(lines(("50 Hz", "1 nm")), CURRENT).got("disturbance")

    assert on(velocity, CURRENT).got("disturbance") == pytest.approx(expected)


CHARGE = {**CURRENT, "sensitive_to": "charge", "smallest_charge": "1e-22 C"}
SIGNALS = [CURRENT, {**TIP, "head_resonance": "3 kHz"}, CHARGE]


@pytest.mark.parametrize("signal", SIGNALS, ids=lambda signal: signal["sensitive_to"])
def test_a_more_lenient_class_never_disturbs_less(signal: dict[str, str]) -> None:
    """From VC-G to workshop the margin falls."""
    margins = [on({"criterion": name}, signal).facts["disturbance_margin"] for name in CLASSES]

    assert margins == sorted(margins)
    assert margins[0] < margins[-1]


@settings(max_examples=25, deadline=None)
@given(st.floats(1.0, 100.0), st.sampled_from(SIGNALS))
def test_louder_never_better(louder: float, signal: dict[str, str]) -> None:
    """Every line times a number above one."""
    first = on(lines(("1.4 Hz", "10 nm"), ("60 Hz", "1 nm")), signal)
    second = on(lines(("1.4 Hz", f"{10 * louder} nm"), ("60 Hz", f"{louder} nm")), signal)

    assert second.facts["disturbance_margin"] <= first.facts["disturbance_margin"]


@pytest.mark.parametrize("path", ["signal.bias", "signal.band_high", "platform.vibration.comb_displacement"])
def test_arrays_give_what_single_numbers_give(path: str) -> None:
    """Flips and odds run on the same chain."""
    where = lab("dry", vibration={"comb_displacement": "1 um", "cable_current": "1 pA"})
    numbers = np.array([1e-7, 3e-7, 0.2])
    whole = case(where, {path: numbers}, signal=CURRENT).facts["disturbance_margin"]
    single = [case(where, {path: number}, signal=CURRENT).facts["disturbance_margin"] for number in numbers]

    assert np.broadcast_to(whole, 3).tolist() == pytest.approx(single)


def test_a_density_is_written_per_root_hertz() -> None:
    """0.44 fA/rtHz over 100 Hz of shared band are 4.4 fA (elementary)."""
    still = {**lines(("1 Hz", "1 pm")), "cable_density": "0.44 fA/rtHz"}

    assert on(still, {**CURRENT, "band_high": "5.1 kHz"}).got("cable_noise") == pytest.approx(4.4e-15)


@pytest.mark.parametrize(("motion", "fires"), [("1 um", False), ("2 um", True)])
def test_a_disturbance_is_a_caution_by_rule(motion: str, fires: bool) -> None:
    """The estimate decides nothing; the rule does, and never by a veto."""
    rulebase = open_facility().rulebase
    found = {
        rule for rule, mask in masks(rulebase, on(lines(("1 kHz", motion)), CURRENT).facts).items() if np.all(mask)
    }
    effects = {rule.effect for rule in rulebase.rules if rule.gate == "vibration"}

    assert ("vibration.disturbance-above-signal" in found) == fires
    assert "veto" not in effects
