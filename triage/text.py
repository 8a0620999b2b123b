"""Answers as plain text for a terminal: tables with words and numbers, never colour alone."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence

from triage.display import plain_name, show, significant
from triage.errors import Problem
from triage.measurements.kind import Kind
from triage.models.recommendation import Flip, GateResult, PlatformResult, Recommendation
from triage.reasoning.words import shown
from triage.services.path import Path

WIDTH = 110
_GATE_HEADS = {
    "temperature": "temp", "field": "field", "lines": "lines", "size": "size", "heat": "heat",
    "vibration": "vibr", "hold": "hold", "turnaround": "time", "risk_cost": "risk",
}  # fmt: skip
_STATE_WORDS = {"pass": "ok", "tight": "tight", "fail": "FAIL", "unknown": "?"}


def table(head: Sequence[str], rows: Iterable[Sequence[str]], right: Sequence[int] = ()) -> str:
    """Aligned columns; those of `right` to the right."""
    lines = [list(head), *(list(row) for row in rows)]
    widths = [max(len(line[column]) for line in lines) for column in range(len(head))]

    def one(line: Sequence[str]) -> str:
        cells = (
            cell.rjust(width) if column in right else cell.ljust(width)
            for column, (cell, width) in enumerate(zip(line, widths, strict=True))
        )
        return "  ".join(cells).rstrip()

    return "\n".join([one(lines[0]), "  ".join("-" * width for width in widths), *map(one, lines[1:])])


def wrap(text: str, indent: int = 0, hang: int = 0) -> str:
    """Text folded to the width of the page."""
    return textwrap.fill(text, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * (indent + hang),
                         break_long_words=False, break_on_hyphens=False)  # fmt: skip


def labelled(label: str, text: str) -> str:
    """A paragraph behind a short label."""
    return textwrap.fill(text, WIDTH, initial_indent=f"{label:<12}", subsequent_indent=" " * 12,
                         break_long_words=False, break_on_hyphens=False)  # fmt: skip


def recommendation_text(answer: Recommendation, *, demonstration: bool = False) -> str:
    """The answer as a student wants to read it: verdict, reason, flip, gates, time and money, doubts, cautions."""
    parts = [
        f"{answer.title}",
        f"{answer.measurement}, tier '{answer.wanted_tier}', at {answer.facility}"
        + (" (demonstration facility, invented data)" if demonstration else ""),
        "",
        labelled("Verdict", answer.sentence),
        labelled("Because", answer.reason),
    ]
    if best := answer.platform(answer.recommended):
        parts += [
            labelled("Decided by", each.because) for each in best.findings if each.effect in ("caution", "credit")
        ]
    parts += [labelled("Confidence", _confidence(answer))]
    parts += [labelled("Flip", flip) for flip in leading_flips(answer)]
    if len(answer.path) > 1:
        names = [result.name for each in answer.path if (result := answer.platform(each))]
        parts += [labelled("Path", f"Devices go over {', then '.join(names)}; see `cold-triage path`.")]
    if answer.route is not None:
        parts += [labelled("Route", f"{answer.route.sentence} {answer.route.reason}".strip())]
        parts += [labelled("Exchange", each.says) for each in answer.route.exchanges]
    parts += odds_lines(answer)
    parts += ["", gates_text(answer.platforms), ""]
    for result in answer.platforms:
        parts += _why_not(result, answer)
    parts += [labelled("Remark", each.because) for each in answer.remarks]
    if answer.departures:
        parts += [labelled("Own rules", f"This facility {'; '.join(answer.departures)}.")]
    parts += _assumption_lines(answer)
    parts += ["", *(labelled("Caution", each) for each in answer.cautions)]
    return "\n".join(parts)


def odds_lines(answer: Recommendation) -> list[str]:
    """How often the leading platforms serve within what was said could be true."""
    best = next((each for each in answer.odds if each.platform == answer.recommended), None)
    if best is None:
        return []
    result = answer.platform(best.platform)
    part = "all" if best.serves == 1 else f"{best.serves:.0%}"
    text = f"{result.name if result else best.platform} serves in {part} of what was said could be true"
    if 0 < best.suitable < best.serves:
        text += f", in full in {best.suitable:.0%}"
    if best.decided_by:
        text += f"; {plain_name(best.decided_by)} decides it most"
    return [labelled("Odds", text + ".")]


def _confidence(answer: Recommendation) -> str:
    because = "; ".join(answer.confidence_because)
    return f"{answer.confidence}{': ' + because if because else ''}"


def leading_flips(answer: Recommendation) -> list[str]:
    """What sinks the chosen platform (by the device's scale, by the smallest change), and what brings others in."""
    mine = [flip for flip in answer.flips if flip.platform == answer.recommended]
    own = [flip for flip in mine if flip.field.startswith("device.")][:1]
    smallest = [flip for flip in mine[:1] if flip not in own]
    others: dict[str, Flip] = {}
    for flip in answer.flips:
        if flip.platform != answer.recommended:
            others.setdefault(flip.platform, flip)
    return [flip.says + "." for flip in (*own, *smallest, *others.values())]


def gates_text(results: Sequence[PlatformResult]) -> str:
    """One row per platform, one column per gate."""
    head = ["platform", "verdict", "T given", "T needed", *_GATE_HEADS.values(), "price", "answer in"]
    rows = []
    for result in results:
        estimate = result.estimates
        rows.append([
            result.name, result.verdict, shown(estimate["given_temperature"]), shown(estimate["needed_temperature"]),
            *(_STATE_WORDS[gate.state] for gate in result.gates),
            shown(estimate["price"]), shown(estimate["time_to_answer"]),
        ])  # fmt: skip
    return table(head, rows, right=(2, 3, 13, 14))


def _why_not(result: PlatformResult, answer: Recommendation) -> list[str]:
    if result.platform == answer.recommended:
        return []
    reasons = deciding_sentences(result)
    if not reasons:
        price, time = (shown(result.estimates[name]) for name in ("price", "time_to_answer"))
        return [labelled("Not first", f"{result.name}: serves too, for {price} and in {time}.")]
    word = "Not on" if result.verdict == "unsuitable" else "Not first"
    return [labelled(word, f"{result.name}: {' '.join(reasons)}")]


def deciding_sentences(result: PlatformResult) -> list[str]:
    """One sentence for each gate that decides the verdict: its vetoes, or else its cautions."""
    effect = "veto" if result.verdict == "unsuitable" else "caution"
    by_gate: dict[str, str] = {}
    for finding in result.findings:
        if finding.effect == effect:
            by_gate[finding.gate] = finding.because  # of several at one gate the last by id stands
    return list(by_gate.values())


def _assumption_lines(answer: Recommendation) -> list[str]:
    if not answer.assumptions:
        return []
    listed = "; ".join(f"{plain_name(each.name)} {each.value} ({each.basis})" for each in answer.assumptions[:8])
    more = len(answer.assumptions) - 8
    return ["", labelled("Assumed", listed + (f"; and {more} more, see `explain`." if more > 0 else "."))]


def explanation_text(answer: Recommendation, result: PlatformResult) -> str:
    """The chain for one platform: gates, findings, then every estimate with formula, inputs, basis and sources."""
    parts = [f"{answer.title} on {result.name}: {result.verdict}", ""]
    for gate in result.gates:
        parts.append(_gate_line(gate))
        parts += [
            wrap(
                f"{finding.effect}: {finding.because} [{finding.rule}; {_sources(finding.references, finding.basis)}]",
                14,
                2,
            )
            for finding in result.findings
            if finding.gate == gate.numbers.gate
        ]
    if result.timeline:
        parts += ["", "The run, from a working morning", "", timeline_text(result)]
    parts += ["", "Inputs, as written or standing in", ""]
    inputs = [[each.name, each.value, each.basis, each.source] for each in result.grounds]
    parts += [table(["input", "value", "basis", "source"], inputs)]
    parts += ["", "Estimates, each with what it was worked out from", ""]
    rows = [
        [each.name, shown(each) + ("" if each.valid else " (outside its range)"), each.formula,
         ", ".join(each.uses) or "-", _sources(each.references, each.basis)]
        for each in result.estimates.values()
    ]  # fmt: skip
    for name, value, formula, uses, sources in rows:
        parts.append(f"{name:<30}{value:>12}   = {formula}")
        parts.append(wrap(f"from {uses}; {sources}", 45, 2))
    return "\n".join(parts)


def timeline_text(result: PlatformResult) -> str:
    """The steps of one run with their starts and lengths."""
    rows = [
        [each.name, show(each.start, "s"), show(each.length, "s") if each.length else "-",
         "people" if each.attended else "by itself", each.note]
        for each in result.timeline
    ]  # fmt: skip
    return table(["step", "starts after", "takes", "needs", ""], rows, right=(1, 2))


def _gate_line(gate: GateResult) -> str:
    numbers = gate.numbers
    need = "-" if numbers.need is None else _amount(numbers.need, numbers.unit)
    have = "-" if numbers.have is None else _amount(numbers.have, numbers.unit)
    margin = "" if numbers.margin >= 1e6 else f", margin {significant(float(numbers.margin))}"
    limit = f" ({numbers.limit})" if numbers.limit else ""
    return (
        f"{numbers.gate.replace('_', ' and '):<14}{_STATE_WORDS[gate.state]:<7}need {need}, have {have}{margin}{limit}"
    )


def _amount(value: object, unit: str) -> str:
    number = float(value)  # type: ignore[arg-type]
    known = ("K", "T", "m", "W", "s", "EUR", "Hz")
    if unit in known:
        return show(number, unit)
    return f"{significant(number, 3)} {unit}" if unit not in ("count", "") else significant(number, 3)


def _sources(references: Sequence[str], basis: str) -> str:
    return f"{basis}; {', '.join(references)}" if references else basis


def problems_text(problems: Sequence[Problem]) -> str:
    """Problems, one a line, with their count."""
    lines = [str(problem) for problem in problems]
    count = "1 problem" if len(lines) == 1 else f"{len(lines)} problems"
    return "\n".join([*lines, f"{count} found."])


def kind_text(kind: Kind) -> str:
    """What a kind of measurement asks, its tiers and its usual mistakes."""
    parts = [f"{kind.title} ({kind.key})", "", wrap(kind.asks), "", "Asks about the device:"]
    for each in kind.inputs:
        state = f"default {each.default}" if each.default else "optional" if each.optional else "needed"
        parts.append(wrap(f"{each.name} ({state}): {each.question}", 2, 4))
    if kind.needs_field:
        parts.append(wrap("field.magnitude (needed): the field at the sample", 2, 4))
    parts += ["", f"Cold enough when: {kind.criterion.formula}; the number is {kind.criterion.says}."]
    parts += [wrap(f"{tier} ({kind.criterion.numbers[tier]:g}): {says}", 2, 4) for tier, says in kind.tiers.items()]
    parts += ["", "Usual mistakes:"] + [wrap(f"- {each}", 2, 2) for each in kind.mistakes]
    if kind.references:
        parts += ["", "Sources: " + ", ".join(kind.references)]
    return "\n".join(parts)


def path_text(found: Path) -> str:
    """The ladders of a proposal, best first, with what skipping the screens would cost."""
    best = found.best
    parts = [
        f"{found.wanted} good devices of a yield of {found.device_yield:.0%}, wanted with {found.confidence:.0%}",
        "",
    ]
    if best is None:
        parts += [labelled("Path", "None of the paths reaches this with the devices at hand."), ""]
    else:
        way = ", then ".join(found.names[each] for each in best.stages)
        parts += [labelled("Path", f"Start {best.devices} devices: {way}; cold load of {best.load}.")]
        quantiles = ", ".join(
            f"{chance} are done in {'more time than the devices allow' if value is None else show(value * 60, 's')}"
            for chance, value in found.quantiles.items()
        )
        parts += [labelled("Time", f"{show(best.minutes * 60, 's')} expected; {quantiles}.")]
        parts += [
            labelled(
                "Odds", f"{best.chance:.0%} of having {found.wanted} good devices; {show(best.cost, 'EUR')} expected."
            )
        ]
        plain = next((each for each in found.ladders if len(each.stages) == 1 and each.feasible), None)
        if plain is not None and plain is not best:
            parts += [
                labelled(
                    "Screens", f"Without any: {show(plain.minutes * 60, 's')} and {show(plain.cost, 'EUR')} expected."
                )
            ]
        parts += [""]
    rows = [
        [" > ".join(each.stages), str(each.devices), f"{each.chance:.0%}" if each.feasible else "-",
         show(each.minutes * 60, "s") if each.feasible else "-", show(each.cost, "EUR") if each.feasible else "-",
         each.reason]
        for each in found.ladders
    ]  # fmt: skip
    parts += ["Queues are not counted; one run follows another.", ""]
    return "\n".join([*parts, table(["path", "devices", "odds", "time", "price", ""], rows, right=(1, 2, 3, 4))])
