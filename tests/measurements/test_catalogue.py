"""The catalogue: complete entries, criteria that behave, and numbers that others printed."""

from __future__ import annotations

import subprocess
import sys
import timeit
from math import exp, log
from pathlib import Path

import numpy as np
import pytest
import yaml

from triage.errors import TriageError
from triage.measurements.catalogue import CATALOGUE, UnknownKind, get, suggest
from triage.measurements.criteria import damping_argument
from triage.measurements.inputs import read_inputs
from triage.measurements.kind import Kind, reached
from triage.measurements.observations import OBSERVATIONS, Observation, of
from triage.models.tier import TIERS
from triage.physics.occupation import readout_tail_error, temperature_of_photons
from triage.physics.transport import thermal_damping
from triage.source import Source
from triage.units import dimension_of, read

ROOT = Path(__file__).parents[2]
REFERENCES = yaml.safe_load((ROOT / "rules" / "references.yaml").read_text(encoding="utf-8"))
KINDS = [pytest.param(kind, id=key) for key, kind in CATALOGUE.items()]
ELECTRONVOLT = 1.602176634e-19
BOLTZMANN = 1.380649e-23

# A believable device of every kind, in SI; inputs not named take their defaults.
MILLI = 1e-3 * ELECTRONVOLT
DEVICES: dict[str, dict[str, float]] = {
    "coulomb-oscillations": {"charging_energy": 0.23 * MILLI},
    "coulomb-peaks": {"addition_energy": 4 * MILLI},
    "coulomb-diamonds": {"charging_energy": 3 * MILLI},
    "excited-state-spectroscopy": {"excitation_energy": 0.3 * MILLI},
    "charge-sensing": {"addition_energy": 4 * MILLI},
    "charge-noise": {"addition_energy": 3 * MILLI},
    "electron-pump": {"addition_energy": 10 * MILLI},
    "spin-readout": {"field": 1.5},
    "spin-blockade": {"singlet_triplet_splitting": 0.5 * MILLI},
    "spin-coherence": {"readout_energy": 0.5 * MILLI, "field": 0.5},
    "valley-splitting": {"valley_splitting": 0.3 * MILLI},
    "superconducting-transition": {"critical_temperature": 1.2},
    "tunnelling-gap": {"gap": 0.18 * MILLI},
    "josephson-switching": {"critical_current": 28.7e-9},
    "resonator-loss": {"frequency": 5e9, "critical_temperature": 9.2},
    "superconducting-qubit": {"frequency": 5e9},
    "hybrid-andreev": {"field": 1.0},
    "weak-link": {"critical_current": 1e-6},
    "photon-detector": {"critical_temperature": 9.0},
    "quantum-oscillations": {"effective_mass": 0.19, "field": 1.0},
    "quantum-hall": {"gap": 8 * MILLI, "field": 5.0},
    "fractional-hall": {"activation_gap": 0.11 * BOLTZMANN, "field": 4.0},
    "weak-localisation": {"field": 0.1},
    "kondo": {"kondo_temperature": 1.6 * BOLTZMANN},
    "point-contact": {"subband_spacing": 2 * MILLI},
    "inelastic-tunnelling": {"mode_energy": 30 * MILLI},
    "scanning-tunnelling": {"feature_energy": 1 * MILLI},
    "telegraph-noise": {"activation_energy": 50 * MILLI},
    "nanomechanics": {"frequency": 1e9},
}
# Inputs that make a device need colder when they grow.
HARDER = {
    "effective_mass", "level_broadening", "modulation", "ring_length", "tunnel_resistance",
    "lever_arm", "tunnel_rate",
}  # fmt: skip
OPTIONAL = {
    "tunnel_resistance": 1e5, "lever_arm": 0.1, "tunnel_rate": 1e8, "level_broadening": 0.02 * MILLI,
    "modulation": 2e-5, "sensor_shift": 0.3 * MILLI, "thouless_energy": 0.05 * MILLI, "lowest_field": 0.8,
    "ring_length": 3e-6, "resolution": 2 * MILLI, "ordering_temperature": 60.0, "quanta": 1.0,
}  # fmt: skip


def device_of(kind: Kind, *, optional: bool = False) -> dict[str, float]:
    """The believable device, completed by the defaults of the catalogue."""
    values = dict(DEVICES.get(kind.key, {}))
    for each in kind.inputs:
        if each.default is not None and each.name not in values:
            number = read(each.default, each.unit)
            values[each.name] = number
        elif optional and each.optional:
            values[each.name] = OPTIONAL[each.name]
    return values


def needed(kind: Kind, inputs: dict[str, float]) -> list[float]:
    """The temperatures of the three tiers, from see to publish."""
    return [float(kind.criterion.needed(inputs, kind.criterion.numbers[each])) for each in TIERS]


def temperature(key: str, tier_: str, **inputs: float) -> float:
    """One tier of one kind, defaults filled in."""
    kind = get(key)
    number = kind.criterion.numbers[tier_]  # type: ignore[index]
    return float(kind.criterion.needed({**device_of(kind), **inputs}, number))


class TestEntries:
    """Every entry says what the program and a student need."""

    def test_all_thirty_eight_are_there_once(self) -> None:
        codes = [kind.code for kind in CATALOGUE.values()]
        assert codes == [f"M{number:02d}" for number in range(1, 39)]

    @pytest.mark.parametrize("kind", KINDS)
    def test_every_field_is_filled(self, kind: Kind) -> None:
        assert kind.title
        assert kind.family
        assert kind.asks.endswith(".")
        assert set(kind.tiers) == set(kind.criterion.numbers) == set(TIERS)
        assert all(text.endswith(".") for text in (*kind.tiers.values(), *kind.mistakes, kind.check))
        assert 2 <= len(kind.mistakes) <= 4
        assert kind.references

    @pytest.mark.parametrize("kind", KINDS)
    def test_references_resolve(self, kind: Kind) -> None:
        assert [key for key in kind.references if key not in REFERENCES] == []

    @pytest.mark.parametrize("kind", KINDS)
    def test_inputs_are_questions_with_believable_bounds(self, kind: Kind) -> None:
        for each in kind.inputs:
            assert "?" in each.question
            assert each.least < each.most
            if each.default is not None:
                assert not each.optional
                assert each.least <= read(each.default, each.unit) <= each.most
            if each.reads != "quantity":
                assert dimension_of(each.unit) == dimension_of("J")

    @pytest.mark.parametrize("kind", KINDS)
    def test_criterion_uses_only_what_is_asked_for(self, kind: Kind) -> None:
        asked = {each.name for each in kind.inputs} | ({"field"} if kind.needs_field else set())
        assert set(kind.criterion.uses) <= asked

    @pytest.mark.parametrize("kind", KINDS)
    def test_usual_values_can_be_read(self, kind: Kind) -> None:
        usual = kind.usual
        assert read(str(usual["per_device"]), "s") > 0
        assert read(str(usual["tuning"]), "s") >= 0
        assert float(usual["band_low"]) < float(usual["band_high"])
        assert 0 <= int(usual["vibration"]) <= 5
        assert int(usual["dc"]) + int(usual["coax"]) > 0
        assert int(usual["devices"]) >= 1
        assert int(usual["fibres"]) >= 0
        assert usual["read_as"] in {
            "current",
            "voltage",
            "rf reflectometry",
            "microwave",
            "optical",
            "counts",
        }
        if "smallest" in usual:
            assert read(str(usual["smallest"]), "A") > 0

    @pytest.mark.parametrize("kind", KINDS)
    def test_a_device_is_read_without_problems(self, kind: Kind) -> None:
        units = {"energy": "J", "charging energy": "J"}
        raw = {
            each.name: f"{device_of(kind, optional=True)[each.name]} {units.get(each.reads, each.unit)}"
            for each in kind.inputs
        }
        values, problems = read_inputs(kind, raw, Source("proposal.yaml", ""))
        assert problems == []
        assert set(values) == {each.name for each in kind.inputs}


class TestLookup:
    """A key is found, a mistyped one is answered."""

    def test_known_key(self) -> None:
        assert get("kondo").code == "M23"

    def test_unknown_key_names_the_nearest(self) -> None:
        with pytest.raises(UnknownKind, match="coulomb-diamonds") as caught:
            get("coulomb-diamond")
        assert isinstance(caught.value, TriageError)
        assert caught.value.near[0] == "coulomb-diamonds"

    @pytest.mark.parametrize(
        ("word", "key"),
        [
            ("Spin Readout", "spin-readout"),
            ("m19", "quantum-oscillations"),
            ("transmon", "superconducting-qubit"),
            ("shubnikov", "quantum-oscillations"),
            ("squids", "weak-link"),
            ("breakdown", "dielectric-breakdown"),
        ],
    )
    def test_words_of_the_trade_lead_to_a_kind(self, word: str, key: str) -> None:
        assert key in suggest(word)

    def test_nothing_near_is_nothing(self) -> None:
        assert suggest("zzzz") == ()


class TestCriteria:
    """Criteria broadcast, keep floats, are monotone and quick."""

    @pytest.mark.parametrize("optional", [False, True])
    @pytest.mark.parametrize("kind", KINDS)
    def test_better_tiers_are_never_warmer(self, kind: Kind, optional: bool) -> None:
        see, measure, publish = needed(kind, device_of(kind, optional=optional))
        assert np.isfinite([see, measure, publish]).all()
        assert see >= measure >= publish > 0

    @pytest.mark.parametrize("optional", [False, True])
    @pytest.mark.parametrize("kind", KINDS)
    def test_floats_give_a_float(self, kind: Kind, optional: bool) -> None:
        inputs = device_of(kind, optional=optional)
        for each in TIERS:
            assert type(kind.criterion.needed(inputs, kind.criterion.numbers[each])) is float

    @pytest.mark.parametrize("kind", [each for each in KINDS if each.values[0].criterion.uses])  # type: ignore[attr-defined]
    def test_arrays_give_the_same_as_floats(self, kind: Kind) -> None:
        inputs = device_of(kind, optional=True)
        factors = np.array([0.5, 1.0, 2.0])
        arrays = {name: value * factors for name, value in inputs.items()}
        for each in TIERS:
            number = kind.criterion.numbers[each]
            together = np.broadcast_to(kind.criterion.needed(arrays, number), factors.shape)
            alone = [
                kind.criterion.needed({name: value * f for name, value in inputs.items()}, number)
                for f in factors.tolist()
            ]
            np.testing.assert_allclose(together, alone, rtol=1e-12)

    @pytest.mark.parametrize("optional", [False, True])
    @pytest.mark.parametrize("kind", KINDS)
    def test_each_input_moves_the_temperature_one_way(self, kind: Kind, optional: bool) -> None:
        inputs = device_of(kind, optional=optional)
        factors = np.geomspace(1e-3, 1e3, 25)
        for name in inputs:
            for each in TIERS:
                swept = kind.criterion.needed({**inputs, name: inputs[name] * factors}, kind.criterion.numbers[each])
                steps = np.diff(np.broadcast_to(swept, factors.shape))
                tolerance = 1e-12 * float(np.max(swept))
                assert np.all(steps <= tolerance) if name in HARDER else np.all(steps >= -tolerance), name

    @pytest.mark.parametrize("kind", KINDS)
    def test_unknown_stays_unknown_and_nothing_raises(self, kind: Kind) -> None:
        required = [each.name for each in kind.inputs if each.default is None and not each.optional]
        for name in required:
            # An optional input may replace a required one, or be what makes it matter.
            results = [
                kind.criterion.needed(
                    {**device_of(kind, optional=optional), name: np.nan}, kind.criterion.numbers["publish"]
                )
                for optional in (False, True)
            ]
            assert np.isnan(results).any()
        for scale in (1e-12, 1e12):
            inputs = {name: value * scale for name, value in device_of(kind, optional=True).items()}
            assert np.all(np.asarray(needed(kind, inputs)) >= 0)

    @pytest.mark.parametrize("kind", KINDS)
    def test_unknown_optional_input_is_as_absent(self, kind: Kind) -> None:
        for each in kind.inputs:
            if each.optional:
                assert needed(kind, device_of(kind) | {each.name: np.nan}) == needed(kind, device_of(kind))

    @pytest.mark.parametrize("kind", [each for each in KINDS if each.values[0].window])  # type: ignore[attr-defined]
    def test_window_runs_upward(self, kind: Kind) -> None:
        assert kind.window is not None
        low, high = kind.window(device_of(kind))
        assert 0 < low < high

    @pytest.mark.parametrize("kind", KINDS)
    def test_criterion_is_quick(self, kind: Kind) -> None:
        """Best of several, as the machine may be busy; the goal is 20 µs."""
        inputs = device_of(kind)
        number = kind.criterion.numbers["measure"]
        best = min(timeit.repeat(lambda: kind.criterion.needed(inputs, number), number=200, repeat=7)) / 200
        assert best < 20e-6

    def test_catalogue_loads_without_heavy_modules(self) -> None:
        code = (
            "import sys, triage.measurements.catalogue; "
            "print([x for x in ('scipy', 'pint', 'pydantic', 'yaml', 'difflib') if x in sys.modules])"
        )
        answer = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
        assert answer.stdout.strip() == "[]"


class TestNumbersOfTheTrade:
    """Temperatures and ratios that handbooks and papers print, or that follow from them by hand."""

    @pytest.mark.parametrize(("meV", "kelvin"), [(1.0, 2.2), (0.3, 0.66), (0.1, 0.22), (0.03, 0.066)])
    def test_level_distance_to_electron_temperature(self, meV: float, kelvin: float) -> None:
        """Common practice: dE/(5.3 k), that is 3.53 k T with half again as much room."""
        assert temperature("excited-state-spectroscopy", "measure", excitation_energy=meV * MILLI) == (
            pytest.approx(kelvin, rel=0.01)
        )

    def test_zeeman_ratio_at_one_and_a_half_tesla(self) -> None:
        """2 µ_B × 1.5 T over k_B × 0.2 K = 10.08, with CODATA constants by hand."""
        kind = get("spin-readout")
        assert kind.criterion.scale is not None
        ratio = kind.criterion.scale({"field": 1.5, "g_factor": 2.0}) / (BOLTZMANN * 0.2)
        assert ratio == pytest.approx(10.08, abs=0.005)

    @pytest.mark.parametrize(("number", "percent"), [(5, 7.6), (13, 0.15)])
    def test_tail_error_behind_the_readout_numbers(self, number: float, percent: float) -> None:
        """Fermi function half a splitting above the reservoir: 7.6 % at 5, 0.15 % at 13."""
        assert number in get("spin-readout").criterion.numbers.values()
        error = readout_tail_error(number * BOLTZMANN, 1.0)
        assert 100 * float(error) == pytest.approx(100 / (exp(number / 2) + 1)) == pytest.approx(percent, rel=0.01)

    @pytest.mark.parametrize("reduction", [0.05, 0.2, 0.532, 0.9])
    def test_damping_inverse(self, reduction: float) -> None:
        """The inverse agrees with the damping factor itself, mass 0.067 and 2 T."""
        kelvin = damping_argument(reduction) / 14.693 * 2.0 / 0.067
        assert float(thermal_damping(kelvin, 2.0, 0.067)) == pytest.approx(reduction, rel=1e-3)

    def test_oscillations_of_gallium_arsenide(self) -> None:
        """X/sinh X = 0.532 at 4.2 K, 2 T and 0.067, textbook formula."""
        kind = get("quantum-oscillations")
        assert kind.criterion.needed({"effective_mass": 0.067, "field": 2.0}, 0.532) == pytest.approx(4.2, rel=2e-3)

    def test_lowest_field_overrides_the_field_of_the_proposal(self) -> None:
        kind = get("quantum-oscillations")
        low = kind.criterion.needed({"effective_mass": 0.067, "field": 9.0, "lowest_field": 2.0}, 0.532)
        assert low == pytest.approx(4.2, rel=2e-3)

    def test_ten_microelectronvolt_is_33_millikelvin(self) -> None:
        kind = get("hybrid-andreev")
        assert kind.criterion.needed({"peak_width": 10e-6 * ELECTRONVOLT}, 1.0) == pytest.approx(0.033, abs=5e-4)

    def test_inelastic_width_at_helium(self) -> None:
        """5.4 k T is 2.0 mV at 4.2 K: a resolution of 2 mV is just reached."""
        kind = get("inelastic-tunnelling")
        kelvin = kind.criterion.needed({"mode_energy": MILLI, "resolution": 1.97 * MILLI}, 1.0)
        assert kelvin == pytest.approx(4.2, abs=0.02)

    def test_modulation_alone_can_rule_it_out(self) -> None:
        kind = get("inelastic-tunnelling")
        assert kind.criterion.needed({"mode_energy": 20 * MILLI, "modulation": 5e-3}, 1.0) == 0.0

    def test_josephson_current_of_a_kelvin(self) -> None:
        """2 e k T/ħ = 41.95 nA per kelvin: ten times that needs 1 K to measure."""
        assert temperature("josephson-switching", "measure", critical_current=419.5e-9) == pytest.approx(1.0, rel=1e-3)

    @pytest.mark.parametrize(("tier_", "kelvin"), [("see", 0.15), ("measure", 0.050), ("publish", 0.035)])
    def test_qubit_at_five_gigahertz(self, tier_: str, kelvin: float) -> None:
        """Common practice: spectroscopy at 0.15 K, times at 50 mK, 0.1 % excitation at 35 mK."""
        assert temperature("superconducting-qubit", tier_) == pytest.approx(kelvin, rel=0.01)

    def test_qubit_excitation_at_publish_is_a_tenth_of_a_per_cent(self) -> None:
        """Jin2015 prints 35 mK and 0.1 % as one and the same."""
        number = get("superconducting-qubit").criterion.numbers["publish"]
        assert 1 / (exp(number) + 1) == pytest.approx(1e-3, rel=0.05)

    @pytest.mark.parametrize(("film", "kelvin"), [(1.2, 0.12), (4.5, 0.45), (9.2, 0.92), (14.0, 1.4)])
    def test_resonator_without_quasiparticles(self, film: float, kelvin: float) -> None:
        """A tenth of T_c where photons do not matter: Al 0.12, TiN 0.45, Nb 0.9, NbTiN 1.4 K."""
        assert temperature("resonator-loss", "publish", critical_temperature=film, frequency=1e12) == (
            pytest.approx(kelvin)
        )

    def test_resonator_single_photon_limit(self) -> None:
        """hf/kT of 4.8 at 5 GHz is 50 mK whatever the film."""
        assert temperature("resonator-loss", "publish") == pytest.approx(0.050, rel=0.01)
        assert temperature("resonator-loss", "measure") == pytest.approx(9.2 / 5)

    def test_thouless_energy_of_a_micrometre(self) -> None:
        """ħD/L² is 76 mK at 0.01 m²/s and 1 µm: seen up to about three times that."""
        inputs = {"critical_current": 1e-5, "thouless_energy": 0.0764 * BOLTZMANN}
        assert get("weak-link").criterion.needed(inputs, 1.0) == pytest.approx(3 * 0.0764)

    def test_sensor_of_a_four_millielectronvolt_dot(self) -> None:
        """Common practice: a pumped insert draws the maps, a bath stick does not."""
        kind = get("charge-sensing")
        tiers = dict(zip(TIERS, needed(kind, {"addition_energy": 4 * MILLI}), strict=True))
        assert reached(tiers, 1.55) == "measure"
        assert reached(tiers, 4.25) != "measure"

    def test_band_tail_stops_at_twelve_kelvin(self) -> None:
        """A third of 3 meV over k is 11.6 K; room temperature will do to see."""
        assert temperature("transistor-screening", "measure") == pytest.approx(11.6, abs=0.05)
        assert temperature("transistor-screening", "see") == 300.0

    def test_ground_state_of_a_gigahertz_mode(self) -> None:
        """n = 1 at 1 GHz is 48 mK over ln 2, by the Bose function."""
        kelvin = temperature("nanomechanics", "publish", quanta=1.0)
        assert kelvin == pytest.approx(0.04799 / log(2), rel=1e-3)
        assert kelvin == pytest.approx(float(temperature_of_photons(1e9, 1.0)))

    def test_window_of_a_defect(self) -> None:
        """By hand: attempt 0.1 ps, corners 0.1 Hz and 10 kHz lie ln(1e13/0.63), ln(1e13/63e3) below."""
        kind = get("telegraph-noise")
        assert kind.window is not None
        low, high = kind.window({"activation_energy": 0.05 * ELECTRONVOLT, "attempt_time": 1e-13})
        assert low == pytest.approx(0.05 * 11604.5 / log(1e13 / 0.6283), rel=1e-4)
        assert high == pytest.approx(0.05 * 11604.5 / log(1e13 / 62832), rel=1e-4)

    def test_transition_window_of_aluminium(self) -> None:
        kind = get("superconducting-transition")
        assert kind.window is not None
        assert kind.window({"critical_temperature": 1.2}) == pytest.approx((0.6, 1.44))


def _read(observation: Observation) -> tuple[Kind, dict[str, float]]:
    kind = get(observation.kind)
    values, problems = read_inputs(kind, observation.device, Source("observation", ""))
    assert problems == []
    inputs = {name: value.nominal for name, value in values.items()}
    if observation.field is not None:
        inputs["field"] = read(observation.field, "T")
    return kind, inputs


OBSERVED = [pytest.param(each, id=f"{each.kind}: {each.seen[:40]}") for each in OBSERVATIONS]


class TestObservations:
    """What was seen elsewhere must not be called impossible here."""

    def test_there_are_enough_and_they_are_found(self) -> None:
        assert len(OBSERVATIONS) >= 25
        assert {each.reference for each in of("kondo")} == {"Nygard2000", "Park2002"}

    @pytest.mark.parametrize("observation", OBSERVED)
    def test_reference_and_inputs_exist(self, observation: Observation) -> None:
        kind, _ = _read(observation)
        assert observation.reference in REFERENCES
        assert not kind.needs_field or observation.field
        assert set(observation.assumed) <= {each.name for each in kind.inputs} | {"field"}

    @pytest.mark.parametrize("observation", OBSERVED)
    def test_the_criterion_allows_what_was_observed(self, observation: Observation) -> None:
        """Temperature of the observation at or below the one needed; an exception must be one."""
        kind, inputs = _read(observation)
        limit = kind.criterion.needed(inputs, kind.criterion.numbers[observation.tier])
        assert (read(observation.temperature, "K") <= limit) == (not observation.against)
