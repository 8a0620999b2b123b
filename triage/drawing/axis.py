"""The master picture: a temperature axis with each platform's range and the tiers of the device.

Drawn for screen and paper: tones that survive grey print, words beside every mark, labels that never lie
on each other.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal
from xml.sax.saxutils import escape

from triage.display import show
from triage.models.recommendation import Recommendation
from triage.models.tier import TIERS

Theme = Literal["light", "dark"]
COLDEST, WARMEST = 0.01, 300.0  # K, the ends of the axis
FONTS = "DejaVu Sans Condensed, DejaVu Sans, sans-serif"
_CHARACTER = 0.56  # width of a character over the font size, on the wide side
_ROW, _TOP_ROW, _FOOT = 22.0, 15.0, 34.0
_INK: dict[Theme, dict[str, str]] = {
    "light": {"paper": "#ffffff", "text": "#1d2126", "quiet": "#575d66", "line": "#d9d6cd", "bar": "#7d9bab",
              "chosen": "#123f57", "band": "#1d2126", "hatch": "#4d6f82"},
    "dark": {"paper": "#1c2229", "text": "#eceff2", "quiet": "#a9b2bc", "line": "#39424c", "bar": "#5d7f90",
             "chosen": "#bfe2f2", "band": "#eceff2", "hatch": "#a5c4d3"},
}  # fmt: skip


@dataclass(frozen=True)
class Bar:
    """A platform on the axis: where its stage and its electrons end, and its warmest temperature [K]."""

    name: str
    stage: float
    electrons: float
    warmest: float
    verdict: str = ""
    chosen: bool = False


@dataclass(frozen=True)
class Band:
    """A tier on the axis: the warmest temperature [K] that reaches it."""

    name: str
    needed: float
    wanted: bool = False


@dataclass(frozen=True)
class Drawing:
    """The picture as SVG, the same in words, and its width over its height."""

    svg: str
    text: str
    aspect: float


def axis_of(answer: Recommendation, warmest: Mapping[str, float]) -> tuple[list[Bar], list[Band]]:
    """Bars and bands of an answer; `warmest` gives each platform's warmest temperature [K]."""
    bars = []
    for result in answer.platforms:
        numbers = {name: float(result.estimates[name].value) for name in ("stage_temperature", "electron_temperature")}
        bars.append(
            Bar(result.name, numbers["stage_temperature"], numbers["electron_temperature"],
                warmest.get(result.platform, math.nan), result.verdict, result.platform == answer.recommended)
        )  # fmt: skip
    bands = []
    for tier in TIERS:
        found = answer.platforms[0].estimates.get(f"needed_temperature_to_{tier}") if answer.platforms else None
        if found is not None:
            bands.append(Band(tier, float(found.value), tier == answer.wanted_tier))
    return bars, bands


def temperature_axis(bars: Sequence[Bar], bands: Sequence[Band], *, theme: Theme = "light",
                     width: float = 720.0, fonts: str = FONTS) -> Drawing:  # fmt: skip
    """Draw platforms against tiers on a logarithmic temperature axis from 10 mK to 300 K.

    The solid part of a bar runs from the electron temperature to the warmest; the hatched part is where the
    stage is colder than the electrons. Coldest platforms lie at the top. `fonts` names the faces to use,
    for readers of SVG that know one face only.

    >>> drawn = temperature_axis([Bar("bath stick", 4.2, 4.3, 100.0)], [Band("see", 1.4)])
    >>> drawn.svg.startswith("<svg") and "bath stick" in drawn.text
    True
    """
    ordered = sorted(bars, key=lambda bar: (math.isnan(bar.electrons), bar.electrons, bar.name))
    gutter = min(max([_wide(bar.name, 12) for bar in ordered], default=60.0) + 14, 0.3 * width)
    tags = max([_wide(_tag(bar), 11) for bar in ordered], default=0.0) + 10
    frame = _Frame(gutter, width - tags - 8, theme)
    heads, levels = _heads(bands, frame)
    top = 10 + levels * _TOP_ROW
    bottom = top + _ROW * max(len(ordered), 1) + 6
    height = bottom + _FOOT
    said = _words(ordered, bands)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" width="{width:g}" '
        f'height="{height:g}" role="img" font-family="{escape(fonts)}">',
        "<title>Temperatures of the platforms and what the tiers need</title>",
        f"<desc>{escape(said)}</desc>",
        f'<rect x="0" y="0" width="{width:g}" height="{height:g}" fill="{frame.ink["paper"]}"/>',
        *_bands(bands, frame, top, bottom),
        *_scale(frame, top, bottom),
        *heads,
    ]
    for row, bar in enumerate(ordered):
        parts += _bar(bar, frame, top + 6 + row * _ROW, width)
    return Drawing("\n".join([*parts, "</svg>"]), said, width / height)


class _Frame:
    def __init__(self, left: float, right: float, theme: Theme) -> None:
        self.left, self.right, self.ink = left, right, _INK[theme]

    def x(self, temperature: float) -> float:
        """Place of a temperature on the page, kept within the axis."""
        kept = min(max(temperature, COLDEST), WARMEST)
        share = math.log(kept / COLDEST) / math.log(WARMEST / COLDEST)
        return self.left + share * (self.right - self.left)


def _wide(text: str, size: float) -> float:
    return _CHARACTER * size * len(text)


def _text(words: str, x: float, y: float, color: str, *, size: float = 12, anchor: str = "start",
          bold: bool = False) -> str:  # fmt: skip
    weight = ' font-weight="bold"' if bold else ""
    return (f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}" text-anchor="{anchor}" fill="{color}"{weight}>'
            f"{escape(words)}</text>")  # fmt: skip


def _line(x1: float, y1: float, x2: float, y2: float, color: str, width: float = 1.0, dash: str = "") -> str:
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return (f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{color}" '
            f'stroke-width="{width:g}"{dashed}/>')  # fmt: skip


def _finite(bands: Sequence[Band]) -> list[Band]:
    return sorted((band for band in bands if math.isfinite(band.needed) and band.needed > 0),
                  key=lambda band: band.needed)  # fmt: skip


def _label(band: Band) -> str:
    return f"{'▸ ' if band.wanted else ''}{band.name}: {show(band.needed, 'K')} or colder"


def _heads(bands: Sequence[Band], frame: _Frame) -> tuple[list[str], int]:
    """The labels of the tiers above the axis, on as many lines as keep them apart."""
    ends: list[float] = []
    parts: list[str] = []
    for band in _finite(bands):
        label, x = _label(band), frame.x(band.needed)
        wide = _wide(label, 11)
        start = min(max(x - wide, frame.left - 40), frame.right - wide)
        level = next((index for index, end in enumerate(ends) if start > end + 10), len(ends))
        if level == len(ends):
            ends.append(start + wide)
        else:
            ends[level] = start + wide
        y = 16 + level * _TOP_ROW
        parts.append(_text(label, start + wide, y, frame.ink["text"], size=11, anchor="end", bold=band.wanted))
    return parts, max(len(ends), 1)


def _bands(bands: Sequence[Band], frame: _Frame, top: float, bottom: float) -> list[str]:
    """Nested tones from the cold end to each tier's temperature, and its limit as a line."""
    parts: list[str] = []
    ink = frame.ink["band"]
    for band in reversed(_finite(bands)):
        wide = frame.x(band.needed) - frame.left
        parts.append(f'<rect x="{frame.left:.1f}" y="{top:.1f}" width="{wide:.1f}" height="{bottom - top:.1f}" '
                     f'fill="{ink}" fill-opacity="0.06"/>')  # fmt: skip
    for band in _finite(bands):
        x = frame.x(band.needed)
        parts.append(_line(x, top - 2, x, bottom, ink, 2.0 if band.wanted else 1.0, "" if band.wanted else "5 3"))
    return parts


def _scale(frame: _Frame, top: float, bottom: float) -> list[str]:
    parts = [_line(frame.left, bottom, frame.right, bottom, frame.ink["quiet"])]
    for decade in (0.01, 0.1, 1.0, 10.0, 100.0, WARMEST):
        x = frame.x(decade)
        parts.append(_line(x, top, x, bottom + 4, frame.ink["line"]))
        if decade != 100.0 or frame.x(WARMEST) - x > 60:
            name = show(decade, "K") if decade != WARMEST else "300 K"
            parts.append(_text(name, x, bottom + 17, frame.ink["quiet"], size=11, anchor="middle"))
        parts += [_line(frame.x(step * decade), bottom, frame.x(step * decade), bottom + 3, frame.ink["quiet"])
                  for step in range(2, 10) if step * decade < WARMEST]  # fmt: skip
    note = "solid: electrons to warmest; hatched: the stage is colder than the electrons"
    return [*parts, _text(note, frame.left, bottom + 31, frame.ink["quiet"], size=10)]


def _tag(bar: Bar) -> str:
    return {"suitable": "✓ ", "tight": "≈ ", "unsuitable": "✗ ", "unknown": "? "}.get(bar.verdict, "") + bar.verdict


def _short(name: str, room: float) -> str:
    if _wide(name, 12) <= room:
        return name
    keep = max(int(room / (_CHARACTER * 12)) - 1, 1)
    return name[:keep].rstrip() + "…"


def _bar(bar: Bar, frame: _Frame, y: float, width: float) -> list[str]:
    ink, tall = frame.ink, _ROW - 9
    middle = y + tall / 2 + 4
    parts = [
        _text(_short(bar.name, frame.left - 10), frame.left - 8, middle, ink["text"], anchor="end", bold=bar.chosen),
        _text(_tag(bar), width - 6, middle, ink["text"], size=11, anchor="end", bold=bar.chosen),
    ]
    if not math.isfinite(bar.electrons):
        return [*parts, _text("temperature unknown", frame.left + 6, middle, ink["quiet"], size=11)]
    color = ink["chosen"] if bar.chosen else ink["bar"]
    warm = bar.warmest if math.isfinite(bar.warmest) else bar.electrons
    begin, end = frame.x(bar.electrons), max(frame.x(max(warm, bar.electrons)), frame.x(bar.electrons) + 3)
    parts.append(f'<rect x="{begin:.1f}" y="{y:.1f}" width="{end - begin:.1f}" height="{tall:.1f}" '
                 f'fill="{color}"/>')  # fmt: skip
    stage = frame.x(bar.stage) if math.isfinite(bar.stage) else begin
    if begin - stage > 2:
        lines = color if bar.chosen else ink["hatch"]
        parts.append(f'<rect x="{stage:.1f}" y="{y:.1f}" width="{begin - stage:.1f}" height="{tall:.1f}" '
                     f'fill="none" stroke="{lines}" stroke-width="1"/>')  # fmt: skip
        parts += _hatch(stage, begin, y, tall, lines)
    label = show(bar.electrons, "K")
    return [*parts, *_temperature(label, stage, begin, end, middle, frame)]


def _hatch(left: float, right: float, y: float, tall: float, color: str) -> list[str]:
    """Slanted lines cut at the box, since not every reader of SVG knows patterns."""
    parts, start = [], left - tall
    while start < right:
        low, high = max(start, left), min(start + tall, right)
        if high > low:
            parts.append(_line(low, y + tall - (low - start), high, y + tall - (high - start), color, 0.9))
        start += 5
    return parts


def _temperature(label: str, stage: float, begin: float, end: float, y: float, frame: _Frame) -> list[str]:
    """The electron temperature: left of the bar, else right of it, else inside on its own ground."""
    wide = _wide(label, 11) + 4
    if stage - wide - 6 > frame.left:
        x = stage - wide - 4
    elif end + wide + 6 < frame.right:
        x = end + 4
    else:
        x = min(begin + 4, frame.right - wide - 2)
    ground = (f'<rect x="{x:.1f}" y="{y - 10.5:.1f}" width="{wide:.1f}" height="13" rx="2" '
              f'fill="{frame.ink["paper"]}"/>')  # fmt: skip
    return [ground, _text(label, x + wide / 2, y, frame.ink["text"], size=11, anchor="middle")]


def _words(bars: Sequence[Bar], bands: Sequence[Band]) -> str:
    """The picture in words."""
    said = [f"{_label(band).removeprefix('▸ ')}{' (wanted)' if band.wanted else ''}." for band in _finite(bands)]
    for bar in bars:
        if not math.isfinite(bar.electrons):
            said.append(f"{bar.name}: temperature unknown.")
            continue
        stage = f", stage {show(bar.stage, 'K')}" if math.isfinite(bar.stage) and bar.stage < bar.electrons else ""
        warm = f", up to {show(bar.warmest, 'K')}" if math.isfinite(bar.warmest) else ""
        said.append(f"{bar.name}: electrons {show(bar.electrons, 'K')}{stage}{warm}"
                    f"{', ' + bar.verdict if bar.verdict else ''}.")  # fmt: skip
    return " ".join(said)
