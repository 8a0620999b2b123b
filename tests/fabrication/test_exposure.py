"""What a tool resolves, in which resist, at which current."""

from __future__ import annotations

import math

import pytest
from fabrication.make import layer, room
from hypothesis import given
from hypothesis import strategies as st

from triage.fabrication.exposure import choose_beam, dose_at, expose, regions, spin
from triage.models.cleanroom import ElectronBeam, LaserWriter, MaskAligner, Resist

ROOM = room()
WRITER, ALIGNER, LASER = (
    next(tool for tool in ROOM.tools if isinstance(tool, kind)) for kind in (ElectronBeam, MaskAligner, LaserWriter)
)
OPTICAL = st.sampled_from([ALIGNER, LASER])
SIZES = st.floats(min_value=2e-8, max_value=2e-5)


def length(size: float) -> str:
    """A length as text, to the last digit."""
    return f"{size!r} m"


@given(tool=OPTICAL, smaller=SIZES, larger=SIZES)
def test_a_smaller_feature_never_becomes_feasible_by_light(tool: MaskAligner, smaller: float, larger: float) -> None:
    """What light cannot print it cannot print finer."""
    smaller, larger = min(smaller, larger), max(smaller, larger)
    margins = []
    for size in (smaller, larger):
        drawn = layer(smallest_feature=length(size))
        printed = expose(tool, drawn, regions(drawn), ROOM.resists)
        assert printed is not None
        margins.append(printed.margin)

    assert margins[0] < 1 or margins[1] >= 1


def test_trade_figures() -> None:
    """A micrometre by mask, tens of nanometres by electrons, a spot of a few nanometres (common practice)."""
    by_light = expose(ALIGNER, layer(smallest_feature="1 um"), regions(layer(smallest_feature="1 um")), ROOM.resists)
    fine = layer(smallest_feature="30 nm", thickness="20 nm")
    by_beam = expose(WRITER, fine, regions(fine), ROOM.resists)

    assert by_light is not None
    assert by_light.margin >= 1
    assert 0.5e-6 <= float(by_light.resolves.value) <= 1e-6
    assert by_beam is not None
    assert by_beam.margin >= 1
    assert 1e-9 <= min(beam.spot.nominal for beam in WRITER.beams) <= 1e-8


@pytest.mark.parametrize("metal", ["20 nm", "30 nm", "40 nm"])
def test_pmma_is_spun_at_5000_to_7000_turns_a_minute(metal: str) -> None:
    """PMMA for gates of a few tens of nanometres (common practice)."""
    drawn = layer(smallest_feature="100 nm", thickness=metal)
    printed = expose(WRITER, drawn, regions(drawn), ROOM.resists)

    assert printed is not None
    assert "PMMA" in printed.coat.resist.name
    assert 5000 <= printed.coat.speed * 60 / (2 * math.pi) <= 7000.001


def test_dose_follows_the_voltage() -> None:
    """260 uC/cm2 at 30 kV is about 870 at 100 kV (common practice)."""
    assert dose_at(ROOM.resists[1], WRITER) == pytest.approx(8.7, abs=0.05)


def test_the_current_grows_with_the_feature_and_never_outruns_the_clock() -> None:
    """A quarter of the feature holds the spot; a slow clock holds the current down."""
    currents = [choose_beam(WRITER, size, 8.7).current.nominal for size in (12e-9, 30e-9, 100e-9, 1e-6)]
    slow = WRITER.model_copy(update={"clock": WRITER.clock.__class__(1e5, 1e5, 1e5, "0.1 MHz")})

    assert currents == sorted(currents)
    assert currents[0] < currents[-1]
    assert choose_beam(slow, 1e-6, 8.7).current.nominal < currents[-1]


def test_two_currents_for_two_regions() -> None:
    """A fine core and wide leads take far less beam than the whole at the fine current."""
    whole = layer(smallest_feature="20 nm", thickness="15 nm", exposed_area="0.05 mm2")
    split = whole.model_copy(update={"fine_area": whole.exposed_area.__class__(1e-11, 1e-11, 1e-11, "10 um2")})
    at_once, in_two = (expose(WRITER, drawn, regions(drawn), ROOM.resists) for drawn in (whole, split))

    assert at_once is not None
    assert in_two is not None
    assert in_two.beam_time < at_once.beam_time / 5


def test_angle_evaporation_takes_an_undercut_and_an_etch_does_not() -> None:
    """A bridge needs something below it; an etch needs a straight wall."""
    bridge = layer(smallest_feature="80 nm", deposition="angle evaporated", thickness="50 nm")
    etched = layer(smallest_feature="3 um", deposition="sputtered", thickness="100 nm")
    first, second = (expose(WRITER, drawn, regions(drawn), ROOM.resists) for drawn in (bridge, etched))

    assert first is not None
    assert first.coat.resist.undercut
    assert second is not None
    assert not second.coat.resist.undercut


@given(metal=st.floats(min_value=5e-9, max_value=2e-7))
def test_the_spin_speed_stays_in_the_resist_s_range(metal: float) -> None:
    """A resist is never spun outside the speeds it spins well at."""
    for resist in ROOM.resists:
        coat = spin(resist, layer(smallest_feature="1 um", thickness=length(metal)))
        assert resist.slowest.nominal * 0.999 <= coat.speed <= resist.fastest.nominal * 1.001


def test_no_resist_no_exposure() -> None:
    """A room without a resist for electrons does not write."""
    optical = [resist for resist in ROOM.resists if resist.sensitive_to == "light"]
    drawn = layer(smallest_feature="1 um")

    assert expose(WRITER, drawn, regions(drawn), optical) is None
    assert isinstance(optical[0], Resist)
