"""A record as pages: one self-contained HTML page, and Markdown in four lengths. Nothing is worked out here."""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files
from typing import Any

from triage.display import plain_name, show, significant

LENGTHS = ("half page", "page", "appendix", "table")
_NEEDS = (
    ("governing_energy", "governing energy"),
    ("needed_temperature", "warmest temperature for the tier"),
    ("field_needed", "field"),
    ("dc_lines_needed", "DC lines of one device"),
    ("coax_lines_needed", "coaxial lines"),
    ("devices_needed", "devices"),
    ("data_time", "data of one load"),
    ("heat_load", "heat at the sample stage"),
    ("bore_needed", "bore"),
)
_COSTS = (
    ("price", "price to the answer"),
    ("platform_time", "platform time"),
    ("time_to_answer", "time to the answer"),
    ("cooldowns", "cooldowns"),
    ("run", "one run"),
    ("helium_used", "helium"),
    ("staff_time", "staff time"),
)


@lru_cache(maxsize=1)
def _template() -> Any:
    from jinja2 import Environment

    environment = Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True)
    return environment.from_string((files("triage.services") / "record_page.html").read_text(encoding="utf-8"))


def html_page(record: dict[str, Any]) -> str:
    """The record as one HTML page that needs nothing else."""
    view = _view(record)
    page: str = _template().render(r=record, a=record["answer"], plain=plain_name, **view)
    return page + "\n"


def _view(record: dict[str, Any]) -> dict[str, Any]:
    answer = record["answer"]
    names = {each["platform"]: each["name"] for each in answer["platforms"]}
    chosen = next((each for each in answer["platforms"] if each["platform"] == record["platform"]), None)
    findings = [each for each in (chosen or {}).get("findings", []) if each["effect"] != "note"]
    safety = [each["because"] for each in findings if each["effect"] == "veto" and each["rule"].startswith("safety.")]
    odds = {each["platform"]: each for each in answer["odds"]}
    mine = odds.get(record["platform"])
    return {
        "name": lambda identifier: names.get(identifier, identifier),
        "platforms": [_platform_row(each, odds.get(each["platform"])) for each in answer["platforms"]],
        "needs": _rows(chosen, _NEEDS),
        "costs": _rows(chosen, _COSTS),
        "findings": findings + answer["remarks"],
        "safety_vetoes": safety,
        "flips": _flips(answer),
        "odds": [] if mine is None else [f"It serves in {mine['serves']:.0%} of what was said could be true."],
    }


def _flips(answer: dict[str, Any]) -> list[str]:
    seen: set[str] = set()
    lines = []
    for flip in answer["flips"]:
        if flip["platform"] not in seen:
            seen.add(flip["platform"])
            lines.append(flip["says"] + ".")
    return lines


def _amount(estimate: dict[str, Any]) -> str:
    value = estimate["value"]
    return value if isinstance(value, str) else "not limited" if value is None else show(value, estimate["unit"])


def _rows(platform: dict[str, Any] | None, wanted: tuple[tuple[str, str], ...]) -> list[tuple[str, str, str]]:
    estimates = (platform or {}).get("estimates", {})
    return [
        (label, _amount(estimates[name]), f"{estimates[name]['formula']} ({estimates[name]['basis']})")
        for name, label in wanted
        if name in estimates
    ]


def _platform_row(platform: dict[str, Any], odds: dict[str, Any] | None) -> dict[str, str]:
    estimates = platform["estimates"]
    gates = [each for each in platform["gates"] if each["state"] != "pass"]
    margin = next(each["margin"] for each in platform["gates"] if each["gate"] == "temperature")
    effect = "veto" if platform["verdict"] == "unsuitable" else "caution"
    by_gate = {each["gate"]: each["because"] for each in platform["findings"] if each["effect"] == effect}
    return {
        "id": platform["platform"],
        "name": platform["name"],
        "verdict": platform["verdict"],
        "mark": {"unsuitable": "fail", "tight": "tight"}.get(platform["verdict"], ""),
        "given": _amount(estimates["given_temperature"]),
        "margin": "-" if margin is None else significant(margin),
        "gates": ", ".join(f"{each['gate'].replace('_', ' and ')} {each['state']}" for each in gates) or "all pass",
        "price": _amount(estimates["price"]),
        "time": _amount(estimates["time_to_answer"]),
        "odds": "-" if odds is None else f"{odds['serves']:.0%}",
        "why": " ".join(by_gate.values()) or _serves_too(estimates, margin),
    }


def _serves_too(estimates: dict[str, Any], margin: float | None) -> str:
    price, time = _amount(estimates["price"]), _amount(estimates["time_to_answer"])
    more = "" if margin is None else f", and its margin of {significant(margin)} is more than this tier asks for"
    return f"serves too, for {price} and in {time}{more if margin and margin >= 2 else ''}."


def markdown_page(record: dict[str, Any], length: str) -> str:
    """The record as Markdown: half page (student), page (committee), appendix (thesis), table (collaborator)."""
    view, answer = _view(record), record["answer"]
    head = [f"# {_plain(answer['title'])}", "", f"{record['id']}, {record['status']}, {record['date']}"]
    if record["deciders"]:
        head[-1] += ", decided by " + _plain(", ".join(record["deciders"]))
    body = ["", f"**{answer['sentence']}**", "", answer["reason"], ""]
    if record["override"]:
        body += [f"Decided instead: {view['name'](record['platform'])}. {_plain(record['override']['why'])}", ""]
        body += [f"Against a safety veto: {text}" for text in view["safety_vetoes"]]
    table = _table(view)
    if length == "table":
        return "\n".join([*head, "", *table]) + "\n"
    confidence = answer["recommended"]
    because = "; ".join(confidence["confidence_because"])
    body += [
        f"Confidence: {confidence['confidence']}{': ' + because if because else ''}. " + " ".join(view["odds"]),
        "",
    ]
    body += [*(f"- {flip}" for flip in view["flips"][:3]), ""]
    if length != "half page":
        body += [
            "## Claim",
            "",
            _plain(record["claim"] or "No claim was written down."),
            "",
            "## Options",
            "",
            *table,
            "",
        ]
        body += [f"- {row['name']}: {row['why']}" for row in view["platforms"] if row["id"] != record["platform"]]
        body += ["", "## Cost and time", "", *(f"- {label}: {value}" for label, value, _ in view["costs"]), ""]
    if length == "appendix":
        body += ["## What it needs", "", *(f"- {label}: {value}; {how}" for label, value, how in view["needs"]), ""]
        body += ["## Assumed", ""]
        body += [f"- {plain_name(each['name'])}: {each['value']} ({each['basis']})" for each in answer["assumptions"]]
        body += ["", "## Rules", "", *(f"- {each['rule']}: {each['because']}" for each in view["findings"]), ""]
        body += ["## Sources", "", *(f"- {key}: {text}" for key, text in record["references"].items()), ""]
    body += ["## Cautions", "", *(f"- {text}" for text in answer["cautions"])]
    return "\n".join([*head, *body]) + "\n"


def _table(view: dict[str, Any]) -> list[str]:
    head = ["platform", "verdict", "given", "margin", "gates", "price", "answer in"]
    keys = ["name", "verdict", "given", "margin", "gates", "price", "time"]
    rows = ["| " + " | ".join(_plain(row[key]) for key in keys) + " |" for row in view["platforms"]]
    return ["| " + " | ".join(head) + " |", "|" + "---|" * len(head), *rows]


def _plain(text: str) -> str:
    """A person's words on one line, with nothing that Markdown would act on."""
    line = " ".join(str(text).split())
    for mark in ("\\", "|", "<", ">", "`", "*", "_", "[", "]"):
        line = line.replace(mark, "\\" + mark)
    return line
