"""A curve as SVG and PNG: lines told apart by dashes, shade and a label on the line, never by colour alone."""

from __future__ import annotations

import io
import re
import textwrap
import threading
import warnings
from collections.abc import Sequence
from typing import Any, Literal
from xml.sax.saxutils import escape

import numpy as np

from triage.display import pretty, show
from triage.errors import TriageError
from triage.measurements.curves import Axis, Curve
from triage.measurements.curves.form import Array
from triage.services.label_places import Ground, boxes, evenly, near_point, on_line
from triage.units import unit_factor

Theme = Literal["light", "dark"]

_INK = {"light": ("#ffffff", "#1a1a1a", "#6b6b6b"), "dark": ("#14181d", "#f2f2f2", "#a8b0b8")}
# Shades from cold to warm that keep their contrast with the paper, and stay apart in grey.
_SHADES = {"light": ("viridis", 0.0, 0.58), "dark": ("viridis", 1.0, 0.38)}
_DASHES: tuple[Any, ...] = (
    "-", (0, (7, 2)), (0, (4, 1.5, 1, 1.5)), (0, (2, 1.2)), (0, (9, 2, 1, 2, 1, 2)), (0, (1, 1)), (0, (5, 4)),
    (0, (8, 2, 3, 2)),
)  # fmt: skip
# Units that a practitioner does not scale by prefixes.
_CUSTOMARY = {
    "V/m": ("MV/cm", 1e8), "m2/V/s": ("m²/Vs", 1.0), "ohm*m2": ("Ω cm²", 1e-4), "1/K": ("1/K", 1.0),
    "W/K": ("W/K", 1.0), "1/Hz": ("1/Hz", 1.0),
}  # fmt: skip
_RAISED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
_MARKERS = "osD^vPX*"
_DRAWING = threading.Lock()  # the style is global while a picture is made


def scaled(axis: Axis, values: Array) -> tuple[float, str]:
    """Factor from SI to the trade's unit for values of this size, and the axis title with that unit."""
    if axis.unit in _CUSTOMARY:
        name, factor = _CUSTOMARY[axis.unit]
        return factor, f"{axis.label} ({name})"
    finite = np.abs(values[np.isfinite(values)])
    size = float(finite.max()) if finite.size else 1.0
    if axis.logarithmic:
        if axis.unit != "J":
            return 1.0, f"{axis.label} ({pretty(axis.unit)})" if axis.unit else axis.label
        size = float(np.exp(np.median(np.log(finite[finite > 0]))))
    parts = show(size, axis.unit, 3).split(" ", 1)
    unit = parts[1] if len(parts) > 1 and axis.unit else ""
    return (unit_factor(unit)[0], f"{axis.label} ({unit})") if unit else (1.0, axis.label)


def draw(curve: Curve, labels: Sequence[str], theme: Theme, summary: str) -> tuple[str, bytes]:
    """SVG text and PNG bytes; the same curve gives the same bytes."""
    try:
        import matplotlib as mpl
        from matplotlib.figure import Figure
    except ImportError:
        raise TriageError("pictures need matplotlib; install it, or take the table instead") from None
    paper, ink, faint = _INK[theme]
    style: Any = {
        "font.family": "DejaVu Sans", "font.size": 9, "axes.titlesize": 11, "text.parse_math": False,
        "text.color": ink, "axes.labelcolor": ink, "axes.edgecolor": faint, "xtick.color": ink, "ytick.color": ink,
        "axes.facecolor": paper, "figure.facecolor": paper, "savefig.facecolor": paper,
        "svg.fonttype": "path", "svg.hashsalt": "curve", "axes.unicode_minus": True, "axes.formatter.limits": (-4, 5),
    }  # fmt: skip
    with _DRAWING, mpl.rc_context(style), warnings.catch_warnings():
        # A label in a script without glyphs is drawn as boxes rather than refused.
        warnings.simplefilter("ignore")
        figure = Figure(figsize=(9.0, 5.0), dpi=100)
        if curve.form == "map":
            _maps(figure, curve, labels, theme)
        else:
            _plot(figure, curve, labels, theme)
        vector, raster = io.StringIO(), io.BytesIO()
        figure.savefig(vector, format="svg", metadata={"Date": None, "Creator": None})
        figure.savefig(raster, format="png", dpi=150, metadata={"Software": None})
    return _described(vector.getvalue(), curve.title, summary), raster.getvalue()


def _described(svg: str, title: str, summary: str) -> str:
    """The SVG with a title and a description that a screen reader finds."""
    words = f"<title>{escape(title)}</title><desc>{escape(summary)}</desc>"
    return re.sub(r"(<svg\b[^>]*)>", lambda match: f'{match[1]} role="img">{words}', svg, count=1)


def _shades(theme: Theme, count: int) -> list[Any]:
    import matplotlib as mpl

    name, first, last = _SHADES[theme]
    return [mpl.colormaps[name](place) for place in np.linspace(first, last, max(count, 2))][:count]


def _plot(figure: Any, curve: Curve, labels: Sequence[str], theme: Theme) -> None:
    paper, ink, faint = _INK[theme]
    axes = figure.add_axes((0.085, 0.12, 0.62, 0.76))
    (x_unit, x_title), (y_unit, y_title) = scaled(curve.x, curve.x.values), scaled(curve.y, curve.lines)
    x, y = curve.x.values / x_unit, curve.lines / y_unit
    axes.set(xlabel=x_title, ylabel=y_title)
    axes.set_title(curve.title, loc="left", pad=20)
    axes.set_xlim(x.min(), x.max())
    if curve.x.logarithmic:
        _decades(axes, "x")
    _heights(axes, y, curve.y, y_unit)
    axes.spines[["top", "right"]].set_visible(False)
    warm_order = np.argsort(np.argsort(curve.temperatures))
    shades = _shades(theme, len(y))
    names = curve.names or tuple(show(float(each), "K") for each in curve.temperatures)
    legend = curve.names or tuple(labels)
    for row, line in enumerate(y):
        place = row if curve.names else int(warm_order[row])
        axes.plot(
            x, line, color=ink if curve.names else shades[place], linestyle=_DASHES[place % len(_DASHES)],
            linewidth=1.9 if row == 0 or not curve.names else 1.3, label=_wrapped(legend[row]),
        )  # fmt: skip
    for mark in curve.marks:
        _mark(axes, mark.label, mark.at / (x_unit if mark.axis == "x" else y_unit), mark.axis, faint)
    taken: list[Array] = []
    _line_labels(axes, x, y, names, paper, ink, taken)
    if curve.points is not None:
        points = curve.points / np.array([x_unit, y_unit])
        _platforms(axes, points, labels, shades_of(theme, curve), paper, ink, taken)
    axes.legend(
        loc="upper left", bbox_to_anchor=(1.02, 1.0), frameon=False, handlelength=4.2, fontsize=8.5, borderaxespad=0.0
    )


def _wrapped(label: str) -> str:
    return "\n".join(textwrap.wrap(label, 32)[:3])


def _decades(axes: Any, side: Literal["x", "y"]) -> None:
    """A logarithmic axis with plain numbers where they are short, else powers of ten."""
    from matplotlib.ticker import FuncFormatter, LogLocator, MaxNLocator, NullFormatter

    (axes.set_xscale if side == "x" else axes.set_yscale)("log")
    line = axes.xaxis if side == "x" else axes.yaxis
    low, high = axes.get_xlim() if side == "x" else axes.get_ylim()

    def write(value: float, _: object) -> str:
        power = round(np.log10(value)) if value > 0 else 0
        if -3 <= power <= 3:
            return f"{value:g}"
        return "10" + str(power).translate(_RAISED)

    narrow = high < 8 * low
    line.set_major_locator(MaxNLocator(7) if narrow else LogLocator(numticks=9))
    line.set_major_formatter(FuncFormatter(write))
    line.set_minor_formatter(NullFormatter())


def shades_of(theme: Theme, curve: Curve) -> list[Any]:
    """A shade for each temperature, from cold to warm."""
    shades = _shades(theme, len(curve.temperatures))
    return [shades[int(place)] for place in np.argsort(np.argsort(curve.temperatures))]


def _heights(axes: Any, y: Array, asked: Axis, unit: float) -> None:
    """Limits of the upright axis with some air; of a logarithmic one at most fourteen decades."""
    high, low = float(np.nanmax(y)), float(np.nanmin(y))
    if asked.high is not None:
        high = min(high, asked.high / unit)
    if asked.low is not None:
        low = max(low, asked.low / unit)
    if asked.logarithmic:
        axes.set_ylim(max(low, high * 1e-14) / 1.6, high * 1.8)
        _decades(axes, "y")
        return
    air = 0.07 * (high - low) or 0.1 * abs(high) or 1.0
    axes.set_ylim(low - (0 if low == 0 else air), high + air)


def _mark(axes: Any, text: str, at: float, axis: str, faint: str) -> None:
    low, high = axes.get_xlim() if axis == "x" else axes.get_ylim()
    if not min(low, high) <= at <= max(low, high):
        return
    if axis == "x":
        axes.axvline(at, color=faint, linewidth=0.8, linestyle=(0, (1, 2)), zorder=0)
        axes.text(
            at, 1.01, text, transform=axes.get_xaxis_transform(), color=faint, fontsize=8, va="bottom",
            ha="center",
        )  # fmt: skip
    else:
        axes.axhline(at, color=faint, linewidth=0.8, linestyle=(0, (1, 2)), zorder=0)
        axes.text(
            0.995, at, text, transform=axes.get_yaxis_transform(), color=faint, fontsize=8, va="bottom", ha="right"
        )


def _paths(axes: Any, x: Array, y: Array) -> list[Array]:
    """Every line in pixels, evenly dense along its way."""
    low, high = axes.bbox.extents[1] - 60, axes.bbox.extents[3] + 60
    corners = [axes.transData.transform(np.stack([x, line], axis=-1)) for line in y]
    return [evenly(np.stack([each[:, 0], np.clip(each[:, 1], low, high)], axis=-1)) for each in corners]


def _line_labels(axes: Any, x: Array, y: Array, names: Sequence[str], paper: str, ink: str, taken: list[Array]) -> None:
    """A label on every line where other lines leave most room; lines on top of each other share one."""
    paths = _paths(axes, x, y)
    ground = Ground(paths, axes.bbox.extents)
    for group in _groups(axes, x, y):
        text = ", ".join(names[row] for row in group)
        others = [row for row in range(len(paths)) if row not in group]
        centre = on_line(paths[group[0]], ground, group, others, text, taken, axes.bbox.extents)
        if centre is not None:
            taken.append(boxes(centre, text))
            axes.text(
                *axes.transData.inverted().transform(centre), text, color=ink, fontsize=8, ha="center", va="center",
                bbox={"facecolor": paper, "edgecolor": "none", "pad": 0.6},
            )  # fmt: skip


def _groups(axes: Any, x: Array, y: Array) -> list[list[int]]:
    """Rows whose lines lie within three pixels of each other everywhere."""
    heights = [axes.transData.transform(np.stack([x, line], axis=-1))[:, 1] for line in y]
    groups: list[list[int]] = []
    for row, height in enumerate(heights):
        for group in groups:
            if np.nanmax(np.abs(heights[group[0]] - height)) < 3:
                group.append(row)
                break
        else:
            groups.append([row])
    return groups


def _platforms(
    axes: Any, points: Array, labels: Sequence[str], shades: list[Any], paper: str, ink: str, taken: list[Array]
) -> None:
    """A marker and a name for every temperature on a law; at the edge where its value lies below the picture."""
    floor, frame = axes.get_ylim()[0], axes.bbox.extents
    lines = [
        path
        for line in axes.get_lines()
        for path in _paths(axes, np.asarray(line.get_xdata(), float), np.asarray(line.get_ydata(), float)[np.newaxis])
    ]
    ground = Ground(lines, frame)
    for row, (point, name) in enumerate(zip(points, labels, strict=True)):
        below = bool(point[1] < floor)
        point, label = np.array([point[0], floor if below else point[1]]), name + (" (lower)" if below else "")
        spot = axes.transData.transform(point)
        if not np.isfinite(spot).all() or (spot < frame[:2] - 1).any() or (spot > frame[2:] + 1).any():
            continue
        axes.plot(
            *point, marker=_MARKERS[row % len(_MARKERS)], color=shades[row], markeredgecolor=ink, markersize=8,
            linestyle="none", zorder=5, label=_wrapped(label), clip_on=False,
        )  # fmt: skip
        short = label if len(label) < 44 else label[:42] + "…"
        centre = near_point(spot, ground, short, taken, frame)
        taken.append(boxes(centre, short))
        axes.annotate(
            short, point, xytext=tuple((centre - spot) * 0.72), textcoords="offset points", fontsize=8, color=ink,
            ha="center", va="center", bbox={"facecolor": paper, "edgecolor": "none", "pad": 0.4, "alpha": 0.85},
            arrowprops={"arrowstyle": "-", "color": ink, "linewidth": 0.5},
        )  # fmt: skip


def _maps(figure: Any, curve: Curve, labels: Sequence[str], theme: Theme) -> None:
    assert curve.second is not None
    faint = _INK[theme][2]
    (x_unit, x_title), (up_unit, up_title) = scaled(curve.x, curve.x.values), scaled(curve.second, curve.second.values)
    x, up = curve.x.values / x_unit, curve.second.values / up_unit
    columns = min(4, len(labels))
    rows = -(-len(labels) // columns)
    grid = figure.subplots(rows, columns, squeeze=False, sharex=True, sharey=True)
    figure.subplots_adjust(left=0.085, right=0.985, top=0.80, bottom=0.12, hspace=0.34, wspace=0.08)
    for place, axes in enumerate(grid.flat):
        if place >= len(labels):
            axes.set_axis_off()
            continue
        picture = np.maximum(curve.lines[place], 0.0)
        axes.imshow(
            picture, extent=(x[0], x[-1], up[0], up[-1]), origin="lower", aspect="auto", cmap="cividis",
            vmin=0.0, vmax=float(np.percentile(picture, 99.3)) or 1.0, interpolation="nearest",
        )  # fmt: skip
        axes.set_title("\n".join(textwrap.wrap(labels[place], 30)[:2]), fontsize=8, loc="left")
        for mark in curve.marks:
            axes.axvline(mark.at / x_unit, color=faint, linewidth=0.8, linestyle=(0, (1, 2)))
    figure.suptitle(curve.title, x=0.085, y=0.98, ha="left", fontsize=11)
    shade = f"shade: {curve.y.label}, each map over its own brightest"
    figure.text(0.085, 0.925, shade, ha="left", va="top", fontsize=8.5)
    figure.supxlabel(x_title, fontsize=9)
    figure.supylabel(up_title, fontsize=9)
