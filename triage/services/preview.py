"""What one would see on each platform: a picture, its numbers as a table, and the same in words."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from triage.display import show
from triage.measurements.curves import Curve, expected
from triage.measurements.kind import Inputs
from triage.services.assess import cases_of
from triage.services.picture import Theme, draw
from triage.services.workspace import Facility, Request

LONGEST_LABEL = 80
AMBIENT = 250.0  # K; a room needs no picture of its own
MAP_POINTS = 241  # half as many along each side of a map
LINE_POINTS = 401


@dataclass(frozen=True)
class Drawing:
    """One curve in four forms; `text` says in words what the picture shows."""

    svg: str
    png: bytes
    csv: str
    text: str


def preview(
    kind: str,
    inputs: Inputs,
    temperatures: Sequence[tuple[str, float]],
    theme: Theme = "light",
    combs: Mapping[str, float] | None = None,
) -> Drawing:
    """The expected curve of a kind of measurement at labelled electron temperatures [K], drawn.

    `combs` gives the rhythm [Hz] of the machine behind a label, for kinds about noise. Raises as `expected`.
    """
    labels, curve = _curve(kind, inputs, temperatures, combs)
    titled = [
        label if show(float(each), "K") in label else f"{label}, {show(float(each), 'K')}".lstrip(", ")
        for label, each in zip(labels, curve.temperatures, strict=True)
    ]
    text = words(curve, titled)
    svg, png = draw(curve, titled, theme, text)
    return Drawing(svg, png, table(curve, titled), text)


def preview_of(facility: Facility, request: Request, theme: Theme = "light") -> Drawing:
    """The expected curve of a proposal at the temperature that each cold platform of a facility gives."""
    inputs: dict[str, float] = {name: value.nominal for name, value in request.inputs.items() if value.known}
    if request.proposal.field is not None:
        inputs["field"] = request.proposal.field.magnitude.nominal
    points, combs = [], {}
    for case in cases_of(facility, request):
        temperature = float(case.got("given_temperature"))
        if np.isfinite(temperature) and temperature < AMBIENT:
            points.append((case.platform.name, temperature))
            if (comb := case.number("platform.vibration.comb")) is not None:
                combs[case.platform.name] = float(np.asarray(comb))
    points.sort(key=lambda each: each[1])
    return preview(request.kind.key, inputs, points, theme, combs)


def numbers(
    kind: str,
    inputs: Inputs,
    temperatures: Sequence[tuple[str, float]],
    combs: Mapping[str, float] | None = None,
) -> tuple[str, str]:
    """Table and words of `preview` alone, without the picture."""
    labels, curve = _curve(kind, inputs, temperatures, combs)
    return table(curve, labels), words(curve, labels)


def _curve(
    kind: str, inputs: Inputs, temperatures: Sequence[tuple[str, float]], combs: Mapping[str, float] | None
) -> tuple[list[str], Curve]:
    labels = [_clean(label) for label, _ in temperatures]
    rhythms = np.array([(combs or {}).get(label, np.nan) for label, _ in temperatures], dtype=float)
    warm = [each for _, each in temperatures]
    points = MAP_POINTS if kind in ("coulomb-diamonds", "valley-splitting") else LINE_POINTS
    return labels, expected(kind, {**inputs, "comb": rhythms}, warm, points)


def _clean(label: str) -> str:
    """A label without control characters, which no picture can hold, and of bearable length."""
    kept = "".join(each for each in str(label) if each.isprintable()).strip()
    return kept if len(kept) <= LONGEST_LABEL else kept[: LONGEST_LABEL - 1] + "…"


def words(curve: Curve, labels: Sequence[str]) -> str:
    """The curve in plain language: title, what to look at, and one line per temperature."""
    said = [curve.title + ".", curve.note]
    if curve.illustrative:
        said.append("Typical numbers stand in for what was not asked; read it as a sketch of the effect.")
    said.extend(f"{label}: {_said(curve, row)}." for row, label in enumerate(labels))
    return "\n".join(said)


def _said(curve: Curve, row: int) -> str:
    if curve.points is not None:
        value = curve.points[row, 1]
        if not np.isfinite(value):
            return "outside the range in which the law holds"
        if curve.y.low is not None and value < curve.y.low:
            return f"{curve.y.label} below {show(curve.y.low, curve.y.unit)}"
        return f"{curve.y.label} {show(float(value), curve.y.unit)}"
    parts = []
    if curve.widths is not None and np.isfinite(curve.widths[row]):
        unit = (curve.second or curve.x).unit
        parts.append(f"full width {show(float(curve.widths[row]), unit)}".rstrip())
    picture = curve.lines[row]
    if curve.form == "lines":
        low, high = float(picture.min()), float(picture.max())
        if not curve.y.logarithmic and 0 < low < 1e-4 * high:
            low = 0.0  # nobody sees it
        parts.append(f"{curve.y.label} from {show(low, curve.y.unit)} to {show(high, curve.y.unit)}")
    else:
        top = float(picture.max())
        dark = float((picture < 0.05 * top).mean()) if top > 0 else 1.0
        parts.append(f"{100 * dark:.0f} % of the map dark")
    return ", ".join(parts)


def table(curve: Curve, labels: Sequence[str]) -> str:
    """The numbers of a curve as comma-separated values, in SI units."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    x_title, y_title = _titled(curve.x.label, curve.x.unit), _titled(curve.y.label, curve.y.unit)
    if curve.second is not None:
        writer.writerow(["platform", _titled(curve.second.label, curve.second.unit), f"{y_title} at {x_title}:"])
        writer.writerow(["", "", *_numbers(curve.x.values)])
        for label, picture in zip(labels, curve.lines, strict=True):
            for height, row in zip(curve.second.values, picture, strict=True):
                writer.writerow([_cell(label), *_numbers([height, *row])])
        return out.getvalue()
    heads = curve.names or tuple(labels)
    writer.writerow(["platform", x_title, *(_cell(f"{head}: {y_title}") for head in heads)])
    for place, column in zip(curve.x.values, curve.lines.T, strict=True):
        writer.writerow(["", *_numbers([place, *column])])
    if curve.points is not None:
        for label, point in zip(labels, curve.points, strict=True):
            writer.writerow([_cell(label), *_numbers(point)])
    return out.getvalue()


def _titled(label: str, unit: str) -> str:
    return f"{label} [{unit}]" if unit else label


def _numbers(values: Sequence[float] | np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> list[str]:
    return [f"{value:.6g}" if np.isfinite(value) else "" for value in values]


def _cell(text: str) -> str:
    """Text that a spreadsheet shows and does not run."""
    return "'" + text if text[:1] in "=+-@\t\r" else text
