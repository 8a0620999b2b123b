"""A plan as a picture: platforms in rows, time across, each cooldown a bar with the names of who is in it.

Nothing is told by colour alone: shared cooldowns have a second edge, closures are hatched, and the same is
said in words for those who cannot see it.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

from triage.drawing.axis import Drawing, Theme

_INK: dict[Theme, dict[str, str]] = {
    "light": {"paper": "#ffffff", "text": "#1d2126", "quiet": "#575d66", "line": "#d9d6cd", "bar": "#dbe6ec",
              "edge": "#1f5673"},
    "dark": {"paper": "#1c2229", "text": "#eceff2", "quiet": "#a9b2bc", "line": "#39424c", "bar": "#2a4554",
             "edge": "#7fb6d1"},
}  # fmt: skip
_FONT = "DejaVu Sans Condensed, DejaVu Sans, sans-serif"
_ROW, _TOP, _LEFT, _FOOT, _SIZE = 34.0, 46.0, 150.0, 26.0, 11.0
_CHARACTER = 0.56  # width of a character over the font size, on the wide side


@dataclass(frozen=True)
class Run:
    """One cooldown: row, slots [start, end), and the names of those in it, the leader first."""

    row: str
    start: int
    end: int
    names: tuple[str, ...]


@dataclass(frozen=True)
class Shut:
    """A closure of a row."""

    row: str
    start: int
    end: int


def gantt(
    rows: Sequence[tuple[str, str]], runs: Sequence[Run], shut: Sequence[Shut], dates: Sequence[datetime.date], *,
    title: str, theme: Theme = "light", width: float = 1100.0,
) -> Drawing:  # fmt: skip
    """The plan as SVG; `rows` are (id, name), `dates` the first day of every slot and of the one after the last."""
    ink, slots = _INK[theme], max(1, len(dates) - 1)
    height = _TOP + _ROW * len(rows) + _FOOT
    scale = (width - _LEFT - 12) / slots
    places = {identifier: _TOP + _ROW * number for number, (identifier, _) in enumerate(rows)}
    text = _words(rows, runs, shut, dates, title)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" width="{width:g}" '
        f'height="{height:g}" role="img" aria-labelledby="plan-title plan-words" font-family={quoteattr(_FONT)} '
        f'font-size="{_SIZE:g}">',
        f'<title id="plan-title">{escape(title)}</title><desc id="plan-words">{escape(text)}</desc>',
        f'<defs><pattern id="shut" width="6" height="6" patternUnits="userSpaceOnUse" '
        f'patternTransform="rotate(45)"><rect width="6" height="6" fill="{ink["paper"]}"/>'
        f'<line x1="0" y1="0" x2="0" y2="6" stroke="{ink["quiet"]}" stroke-width="1.4"/></pattern></defs>',
        f'<rect width="{width:g}" height="{height:g}" fill="{ink["paper"]}"/>',
        f'<text x="12" y="18" font-size="13" font-weight="600" fill="{ink["text"]}">{escape(title)}</text>',
    ]
    parts += _weeks(dates, scale, height, ink)
    for identifier, name in rows:
        parts.append(_label(12, places[identifier] + 21, _fitting(name, _LEFT - 20), ink["text"]))
        parts.append(_line(12, places[identifier] + _ROW, width - 12, places[identifier] + _ROW, ink["line"]))
    parts += [_shut(each, places, scale) for each in shut if each.row in places]
    parts += [_bar(each, places, scale, dates, ink) for each in runs]
    parts.append(
        _label(12, height - 9, "Hatched: closed. Double edge: shared cooldown. Bars carry the leader's name.",
               ink["quiet"])
    )  # fmt: skip
    return Drawing("\n".join([*parts, "</svg>"]) + "\n", text, width / height)


def _weeks(dates: Sequence[datetime.date], scale: float, height: float, ink: dict[str, str]) -> list[str]:
    """A line for every week, thinned so that dates never lie on each other."""
    step = max(1, 7 // max(1, (dates[1] - dates[0]).days if len(dates) > 1 else 7))
    while step * scale < 46:
        step *= 2
    found = []
    for slot in range(0, len(dates), step):
        x = _LEFT + slot * scale
        found.append(_line(x, _TOP - 8, x, height - _FOOT, ink["line"]))
        if slot < len(dates) - 1:
            found.append(_label(x + 2, _TOP - 12, f"{dates[slot].day} {dates[slot]:%b}", ink["quiet"]))
    return found


def _shut(each: Shut, places: dict[str, float], scale: float) -> str:
    x, wide = _LEFT + each.start * scale, (each.end - each.start) * scale
    return (
        f'<rect x="{x:.1f}" y="{places[each.row] + 4:.1f}" width="{wide:.1f}" height="{_ROW - 8:g}" '
        f'fill="url(#shut)"><title>closed</title></rect>'
    )


def _bar(run: Run, places: dict[str, float], scale: float, dates: Sequence[datetime.date], ink: dict[str, str]) -> str:
    x, y, wide = _LEFT + run.start * scale, places[run.row] + 5, (run.end - run.start) * scale
    last = dates[run.end] - datetime.timedelta(days=1)
    words = f"{', '.join(run.names)}: {dates[run.start]} to {last}"
    shape = f'<rect x="{x + 0.7:.1f}" y="{y:.1f}" width="{max(1.0, wide - 1.4):.1f}" height="{_ROW - 10:g}" rx="2"'
    inner = ""
    if len(run.names) > 1 and wide > 8:
        inner = (
            f'<rect x="{x + 3:.1f}" y="{y + 2.3:.1f}" width="{wide - 6:.1f}" height="{_ROW - 14.6:.1f}" rx="1" '
            f'fill="none" stroke="{ink["edge"]}" stroke-width="0.8"/>'
        )
    more = f" +{len(run.names) - 1}" if len(run.names) > 1 else ""
    label = _fitting(run.names[0] + more, wide - 10)
    name = _label(x + 5, y + 16, label, ink["text"]) if label else ""
    return (
        f'<g><title>{escape(words)}</title>{shape} fill="{ink["bar"]}" stroke="{ink["edge"]}" '
        f'stroke-width="1.2"/>{inner}{name}</g>'
    )


def _label(x: float, y: float, text: str, colour: str) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" fill="{colour}">{escape(text)}</text>'


def _line(x1: float, y1: float, x2: float, y2: float, colour: str) -> str:
    return f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{colour}"/>'


def _fitting(text: str, wide: float) -> str:
    """As much of a text as a width holds; nothing where not even three letters fit."""
    room = int(wide / (_CHARACTER * _SIZE))
    return text if len(text) <= room else text[: room - 1] + "…" if room >= 4 else ""


def _words(
    rows: Sequence[tuple[str, str]], runs: Sequence[Run], shut: Sequence[Shut], dates: Sequence[datetime.date],
    title: str,
) -> str:  # fmt: skip
    """The picture in words, row by row."""
    parts = [f"{title}."]
    for identifier, name in rows:
        mine = sorted((each for each in runs if each.row == identifier), key=lambda each: each.start)
        closed = [f"closed from {dates[each.start]}" for each in shut if each.row == identifier]
        said = [f"{' with '.join(each.names)} from {dates[each.start]} for {each.end - each.start}" for each in mine]
        parts.append(f"{name}: {'; '.join([*said, *closed]) or 'free'}.")
    return " ".join(parts)
