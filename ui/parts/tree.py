"""The reasoning as a tree: gates, what was found, and every number down to what a person wrote."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import flet as ft

from triage.models.estimate import Estimate
from triage.models.recommendation import Finding, GateResult, PlatformResult

from .. import look
from ..look import Ink
from ..state import Session
from ..words import GATE_WORDS, amount, estimate_value, margin, name_of
from .basic import link, panel, text
from .gates import mark

# The numbers that stand at the top of each gate.
ROOTS: dict[str, tuple[str, ...]] = {
    "temperature": (
        "given_temperature",
        "needed_temperature",
        "energy_over_thermal",
        "asked_temperature",
        "sweep_low",
        "sweep_high",
    ),
    "field": ("field_needed", "magnet_field", "field_ramp_time"),
    "lines": ("dc_lines_needed", "coax_lines_needed", "devices_per_load"),
    "size": ("bore_needed", "tightest_dimension", "boards_per_load"),
    "heat": ("heat_load", "cooling_power", "tightest_stage"),
    "vibration": ("smallest_signal", "vibration_level", "vibration_tolerated", "signal_band_low", "signal_band_high"),
    "hold": ("data_time", "hold_time", "segments", "interruption_time"),
    "turnaround": ("time_to_answer", "cooldowns"),
    "risk_cost": ("price", "staff_time", "helium_used"),
}
_STEP = 22
_EFFECTS = {"veto": "✗ rules it out", "caution": "≈ caution", "credit": "✓ speaks for it", "note": "· note"}


class Tree:
    """Draws the reasoning about one platform; remembers in the session what is open."""

    def __init__(self, session: Session, result: PlatformResult, opened: tuple[str, ...], tones: Ink) -> None:
        self.session, self.result, self.opened, self.tones = session, result, opened, tones
        self.grounds = {each.name: each for each in result.grounds}
        self.references: Mapping[str, Mapping[str, Any]] = session.facility.rulebase.references

    def gates(self) -> list[ft.Control]:
        """One branch per gate, and one for the numbers that belong to none."""
        found: list[ft.Control] = [self._gate(gate) for gate in self.result.gates]
        used = {name for each in self.result.estimates.values() for name in each.uses}
        roots = {name for names in ROOTS.values() for name in names}
        loose = [name for name in self.result.estimates if name not in used and name not in roots]
        if loose:
            opened = "why:other" in self.opened
            found.append(self._head("why:other", "Other numbers", opened, f"{len(loose)} estimates"))
            if opened:
                found += [control for name in loose for control in self._number(name, "why:other", 1)]
        return found

    def _head(self, key: str, words: str, opened: bool, after: str, state: str = "", indent: int = 0) -> ft.Control:
        cells: list[ft.Control] = [
            ft.Container(width=_STEP * indent),
            link(
                f"{'–' if opened else '+'} {words}",
                lambda: self.session.toggle(key),
                self.tones,
                bold=indent == 0,
                label=f"{words}, {'open' if opened else 'closed'}",
                width=190 if indent == 0 else None,
            ),
        ]
        if state:
            cells.append(ft.Container(mark(state, self.tones), width=80))
        cells.append(ft.Container(text(after, self.tones), expand=True))
        return ft.Row(cells, spacing=8, vertical_alignment=ft.CrossAxisAlignment.CENTER)

    def _gate(self, gate: GateResult) -> ft.Control:
        numbers = gate.numbers
        key = f"why:{numbers.gate}"
        opened = key in self.opened
        said = [
            f"need {amount(numbers.need, numbers.unit)}",
            f"have {amount(numbers.have, numbers.unit)}",
            f"margin {margin(gate)}",
        ]
        after = ", ".join(part for part in said if not part.endswith("–")) or "nothing to compare"
        after += f" ({numbers.limit})" if numbers.limit else ""
        rows = [self._head(key, GATE_WORDS[numbers.gate], opened, after, gate.state)]
        if opened:
            findings = [each for each in self.result.findings if each.gate == numbers.gate]
            rows += [self._finding(each) for each in findings]
            if not findings:
                rows.append(self._line(text("No rule objects.", self.tones, quiet=True), 1))
            for name in ROOTS.get(numbers.gate, ()):
                rows += self._number(name, key, 1)
        return panel(rows, self.tones, padding=6)

    def _line(self, content: ft.Control, indent: int) -> ft.Control:
        return ft.Row([ft.Container(width=_STEP * indent), ft.Container(content, expand=True)], spacing=8)

    def _finding(self, finding: Finding) -> ft.Control:
        tones = self.tones
        sources = [self.citation(key) for key in finding.references] or [finding.basis]
        rows: list[ft.Control] = [
            text(f"{_EFFECTS[finding.effect]}: {finding.because}", tones, bold=finding.effect in ("veto", "caution")),
            *([text(f"Trade-off: {finding.trade_off}", tones)] if finding.trade_off else []),
            *(text(f"Wrong when: {each}", tones, quiet=True) for each in finding.wrong_when),
            text(
                f"Rule {finding.rule}; {finding.basis}; {'; '.join(sources)}",
                tones,
                size=look.SMALL,
                quiet=True,
            ),
        ]
        box = ft.Container(
            ft.Column(rows, spacing=3),
            padding=ft.Padding.symmetric(horizontal=10, vertical=6),
            border=ft.Border(left=ft.BorderSide(3, tones.quiet)),
            bgcolor=tones.paper,
        )
        return self._line(box, 1)

    def _number(self, name: str, above: str, indent: int) -> list[ft.Control]:
        """An estimate with what it was worked out from, or an input with its basis."""
        estimate = self.result.estimates.get(name)
        if estimate is None:
            return self._input(name, indent) if indent > 1 else []
        key = f"{above}/{name}"
        opened = key in self.opened and indent < 12
        value = estimate_value(estimate) + ("" if estimate.valid else f" (outside its range: {estimate.reason})")
        rows = [self._head(key, name_of(name), opened, f"{value}   ·   {estimate.basis}", indent=indent)]
        if opened:
            rows.append(self._line(self._formula(estimate), indent + 1))
            if not estimate.uses:
                rows += self._input(name, indent + 1)
            for used in dict.fromkeys(estimate.uses):
                rows += self._number(used, key, indent + 1)
        return rows

    def _formula(self, estimate: Estimate) -> ft.Control:
        sources = "; ".join(self.citation(key) for key in estimate.references)
        words = f"= {estimate.formula}" + (f"   [{sources}]" if sources else "")
        return text(words, self.tones, quiet=True)

    def _input(self, name: str, indent: int) -> list[ft.Control]:
        ground = self.grounds.get(name)
        if ground is None:
            return [self._line(text(f"{name_of(name)}: as tabulated for the kind", self.tones, quiet=True), indent)]
        source = f", {self.citation(ground.source)}" if ground.source else ""
        return [
            self._line(
                text(f"{name_of(name)}: {ground.value}   ·   {ground.basis}{source}", self.tones),
                indent,
            )
        ]

    def citation(self, key: str) -> str:
        """The full text of a reference, or what was written as a source."""
        found = self.references.get(key)
        return str(found["text"]) if found else key
