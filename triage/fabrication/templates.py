"""Common devices as stacks of layers, with the sizes of the trade; every number can be replaced."""

from __future__ import annotations

from typing import Any, get_args

from triage.models.cleanroom import BASIS
from triage.models.fabrication import Fabrication, Layer, TemplateName

_QUANTITIES = (
    "smallest_feature", "smallest_gap", "coarse_feature", "overlay", "exposed_area", "fine_area", "extent",
    "fine_extent", "thickness", "dielectric", "temperature",
)  # fmt: skip


def _layer(name: str, purpose: str, material: str, deposition: str, feature: str = "", gap: str = "",
           **rest: Any) -> Layer:  # fmt: skip
    raw: dict[str, Any] = {"name": name, "purpose": purpose, "material": material, "deposition": deposition} | rest
    if feature:
        raw |= {"smallest_feature": feature, "smallest_gap": gap or feature}
    marked = {key: {"value": raw[key], "basis": BASIS} for key in _QUANTITIES if key in raw}
    return Layer.model_validate(raw | marked)


_MARKS = _layer("marks", "alignment marks and bond pads", "titanium/gold", "evaporated", "3 um", "10 um",
                exposed_area="0.5 mm2", extent="4 mm", thickness="60 nm")  # fmt: skip

TEMPLATES: dict[TemplateName, tuple[Layer, ...]] = {
    "metallic-single-electron-transistor": (
        _MARKS,
        _layer("island", "island and junctions, two angles through one mask", "aluminium", "angle evaporated",
               "60 nm", "50 nm", overlay="500 nm", overlay_to="marks", exposed_area="0.02 mm2", fine_area="40 um2",
               fine_extent="20 um", extent="300 um", thickness="50 nm"),
    ),
    "gate-defined-dot": (
        _layer("marks", "etched alignment marks", "silicon", "etched", "3 um", "10 um", exposed_area="0.1 mm2",
               extent="4 mm", thickness="500 nm"),
        _layer("ohmics", "implanted contacts", "phosphorus", "implanted", "4 um", "8 um", overlay="2 um",
               overlay_to="marks", exposed_area="0.1 mm2", extent="3 mm", temperature="1223 K"),
        _layer("gate oxide", "oxide under the gates", "silicon oxide", "grown", thickness="10 nm",
               temperature="1173 K"),
        _layer("fine gates", "plunger and barrier gates", "titanium/palladium", "evaporated", "35 nm", "35 nm",
               overlay="150 nm", overlay_to="marks", exposed_area="500 um2", fine_area="30 um2", fine_extent="10 um",
               extent="200 um", coarse_feature="0.5 um", thickness="25 nm", dielectric="10 nm"),
        _layer("leads", "gate leads and bond pads", "titanium/palladium", "evaporated", "3 um", "5 um",
               overlay="2 um", overlay_to="fine gates", exposed_area="1 mm2", extent="4 mm", thickness="100 nm"),
    ),
    "tunnel-junction": (
        _MARKS,
        _layer("junction", "two films and their oxide, from two angles", "aluminium", "angle evaporated", "200 nm",
               "150 nm", overlay="1 um", overlay_to="marks", exposed_area="0.03 mm2", fine_area="100 um2",
               fine_extent="30 um", extent="500 um", thickness="80 nm"),
    ),
    "resonator": (
        _layer("film", "centre line and ground plane, etched", "niobium", "sputtered", "3 um", "3 um",
               exposed_area="1.5 mm2", extent="6 mm", thickness="100 nm", transfer="etch", residue_matters=True),
    ),
    "hall-bar": (
        _layer("mesa", "bar etched into the wafer", "gallium arsenide", "etched", "10 um", "10 um",
               exposed_area="1 mm2", extent="3 mm", thickness="120 nm"),
        _layer("ohmics", "annealed contacts", "gold/germanium/nickel", "evaporated", "20 um", "20 um", overlay="3 um",
               overlay_to="mesa", exposed_area="0.3 mm2", extent="3 mm", thickness="120 nm", temperature="720 K"),
    ),
    "flake-contacts": (
        _MARKS,
        _layer("flake", "stack set down between the marks", "van der Waals flake", "transferred", works=None),
        _layer("contacts", "contacts written for this flake", "titanium/gold", "evaporated", "200 nm", "200 nm",
               overlay="150 nm", overlay_to="marks", exposed_area="0.01 mm2", fine_area="100 um2", fine_extent="40 um",
               extent="400 um", thickness="60 nm", residue_matters=True),
    ),
    "test-transistors": (
        _layer("implant", "source and drain", "phosphorus", "implanted", "5 um", "5 um", exposed_area="0.2 mm2",
               extent="4 mm", temperature="1223 K"),
        _layer("gate oxide", "the dielectric under test", "silicon oxide", "grown", thickness="15 nm",
               temperature="1173 K"),
        _layer("gates", "gates and pads", "aluminium", "evaporated", "5 um", "5 um", overlay="2 um",
               overlay_to="implant", exposed_area="1 mm2", extent="4 mm", thickness="100 nm", dielectric="15 nm"),
    ),
}  # fmt: skip
assert set(TEMPLATES) == set(get_args(TemplateName))


def expand(fabrication: Fabrication) -> tuple[Layer, ...]:
    """The layers to make: those of the template, each with what the proposal states over it, then further ones."""
    base = TEMPLATES[fabrication.template] if fabrication.template else ()
    stated = {layer.name: layer for layer in fabrication.layers}
    known = {layer.name for layer in base}
    return (*(_over(layer, stated.get(layer.name)) for layer in base),
            *(layer for layer in fabrication.layers if layer.name not in known))  # fmt: skip


def _over(layer: Layer, stated: Layer | None) -> Layer:
    if stated is None:
        return layer
    return layer.model_copy(update={name: getattr(stated, name) for name in stated.model_fields_set})


def names_missing(layers: tuple[Layer, ...]) -> list[tuple[str, str, str]]:
    """Layers that name another one that is not there: (layer, key, name)."""
    known = {layer.name for layer in layers}
    return [
        (layer.name, key, name)
        for layer in layers
        for key, named in (("overlay_to", (layer.overlay_to,)), ("after", layer.after or ()))
        for name in named
        if name is not None and (name not in known or name == layer.name)
    ]
