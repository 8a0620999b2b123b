"""A plan as people take it along: text for a terminal, a table for a spreadsheet, a calendar, a picture, data."""

from __future__ import annotations

import csv
import datetime
import io
from typing import Any

import triage
from triage.drawing.axis import Drawing, Theme
from triage.drawing.gantt import Run, Shut, gantt
from triage.planning.allocation.explain import Unserved
from triage.planning.allocation.problem import Visit
from triage.planning.allocation.result import Result
from triage.services.allocate import Answer, Question, WhatIf
from triage.text import labelled, table

_LISTED = 8


def allocation_text(answer: Answer) -> str:
    """The plan as a leader wants to read it: how good it is, who runs when, who is left out and why."""
    question, result = answer.question, answer.result
    note = " (demonstration facility, invented data)" if question.demonstration else ""
    title = question.calendar.title or f"{question.calendar.weeks} weeks from {question.calendar.start}"
    proposals = [each.name for each in question.assessed]
    served = sum(each in result.served for each in proposals)
    parts = [
        f"{title} at {question.facility}{note}", "",
        labelled("Plan", f"{served} of {len(proposals)} proposals are served on {len(question.names)} platforms."),
        *_quality_lines(result),
    ]  # fmt: skip
    if result.changes:
        parts += [labelled("Changes", "; ".join(result.changes) + ".")]
    elif not result.greedy:
        parts += [labelled("Changes", "none; the accepted plan still holds.")]
    parts += ["", _plan_table(answer), "", *_unserved_lines(answer), *_moved_lines(answer), "", _use_table(answer)]
    parts += ["", *_help_lines(answer), *_robust_lines(answer)]
    return "\n".join(parts)


def _quality_lines(result: Result) -> list[str]:
    proved = "proved: no plan is worth more" if result.proved else f"gap {result.gap:.1%}, not proved"
    lines = [
        labelled("Value", f"{result.value} of at most {result.bound}; {proved}. Bound from {result.bound_source}.")
    ]
    for number, level in enumerate(result.levels, 1):
        state = "proved" if level.proved else "not proved"
        lines.append(labelled(f"Level {number}", f"{level.words}: {level.reached} ({state})."))
    if result.greedy:
        lists = ", ".join(f"{name} {value}" for name, value in result.greedy.items())
        lines.append(labelled("In one pass", f"{lists}."))
    versions = ", ".join(f"{name} {version}" for name, version in result.versions.items())
    lines.append(labelled("Search", f"effort {result.effort}, seed {result.seed}, {result.iterations} iterations, "
                          f"{result.rounds} exact parts; {versions}."))  # fmt: skip
    if result.stopped:
        lines.append(labelled("Stopped", f"by {result.stopped}; the best plan so far is kept, and another run may "
                              "stop elsewhere."))  # fmt: skip
    return lines


def _dates(question: Question, visit: Visit) -> tuple[datetime.date, datetime.date]:
    return question.date(visit.start), question.date(visit.end) - datetime.timedelta(days=1)


def _plan_table(answer: Answer) -> str:
    rows = []
    for visit in answer.result.plan:
        first, last = _dates(answer.question, visit)
        mode = answer.question.problem.mode(visit.project, visit.platform)
        cooldowns = mode.cooldowns if mode else 1
        which = f"{visit.number + 1} of {cooldowns}" if cooldowns > 1 else ""
        shares = "" if visit.leads else "shares"
        quality = f"{mode.quality} %" if mode else ""
        rows.append(
            [str(first), str(last), answer.question.names[visit.platform], visit.project, which, shares, quality]
        )
    return table(["from", "to", "platform", "proposal", "cooldown", "", "quality"], rows, right=(6,))


def _unserved_lines(answer: Answer) -> list[str]:
    if not answer.unserved:
        return [labelled("Not served", "nobody is left out.")]
    return [
        labelled("Not served", f"{each.project}: {unserved_words(answer.question, each)}") for each in answer.unserved
    ]


def unserved_words(question: Question, each: Unserved) -> str:
    """Why a project has no place, in one sentence."""
    if each.reason:
        return f"{each.reason}, whatever the plan."
    parts = []
    for blocked in each.blocked:
        by = ", ".join(f"{name} {count}" for name, count in sorted(blocked.by.items(), key=lambda item: -item[1]))
        parts.append(f"{question.names[blocked.platform]}: of {blocked.starts} starts {by or 'none blocked'}"
                     + (f", {blocked.free} free" if blocked.free else ""))  # fmt: skip
    text = "; ".join(parts) + "."
    if each.cost_at_most is not None:
        out = f" and put out {', '.join(each.displaces)}" if each.displaces else ""
        text += f" Forcing it in would cost at most {each.cost_at_most}{out}."
    return text


def _moved_lines(answer: Answer) -> list[str]:
    names = answer.question.names
    days_asked = sum(each.asked_days for each in answer.granted)
    days_given = sum(each.given_days for each in answer.granted)
    lines = [
        labelled("Granted", f"{days_given} platform days of {days_asked} asked for, a shared day counting for each.")
    ]
    for each in answer.granted:
        if each.given_platform and each.asked_platform and each.given_platform != each.asked_platform:
            given, asked = names[each.given_platform], names[each.asked_platform]
            days = f"{each.given_days} days on {given} for {each.asked_days} on {asked}"
            lines.append(labelled("Moved", f"{each.project}: {days}; {each.why}."))
    return lines


def _use_table(answer: Answer) -> str:
    step = answer.question.calendar.days_in_slot
    rows = [
        [answer.question.names[name], str(taken * step), str(open_ * step), f"{taken / open_:.0%}" if open_ else "-"]
        for name, (taken, open_) in answer.use.items()
    ]
    return table(["platform", "days taken", "days open", "used"], rows, right=(1, 2, 3))


def _help_lines(answer: Answer) -> list[str]:
    if answer.bottleneck is None:
        return []
    lines = [labelled("Helps most", answer.bottleneck.says + ".")]
    for each in answer.bottleneck.helps[:_LISTED]:
        lines.append(labelled("", f"{each.what}: gain between {each.least} and {each.most} (found {each.found})"))
    return lines


def _robust_lines(answer: Answer) -> list[str]:
    found = answer.robustness
    if found is None or not found.planned:
        return []
    buffer = answer.question.calendar.buffer
    with_buffer = f"{buffer.nominal:.0%} buffer" if buffer is not None else "no buffer"
    worst = sorted(found.lost.items(), key=lambda each: (-each[1], each[0]))[:_LISTED]
    lost = f"; most often lost: {', '.join(f'{name} {part:.0%}' for name, part in worst)}" if worst else ""
    return [labelled("If varied", f"with every run up to a fifth shorter or longer and {with_buffer}, "
                     f"{found.mean:.0f} of {found.planned} is kept on average, {found.low_tenth:.0f} in nine draws "
                     "of ten; "
                     f"{found.lost_mean:.1f} proposals are lost{lost}.")]  # fmt: skip


def allocation_data(answer: Answer) -> dict[str, Any]:
    """The plan as plain data, the form that `--from` reads."""
    question, result = answer.question, answer.result
    robust, helps = answer.robustness, answer.bottleneck
    return {
        "facility": question.facility, "start": str(question.calendar.start), "weeks": question.calendar.weeks,
        "days_in_slot": question.calendar.days_in_slot, "tool_version": triage.__version__, **result_data(result),
        "plan": [
            {"proposal": visit.project, "cooldown": visit.number + 1, "platform": visit.platform,
             "first": str(first), "last": str(last), "leads": visit.leads}
            for visit in result.plan for first, last in [_dates(question, visit)]
        ],
        "unserved": [
            {"proposal": each.project, "reason": each.reason, "says": unserved_words(question, each),
             "blocked": [{"platform": one.platform, "starts": one.starts, "free": one.free, "by": dict(one.by)}
                         for one in each.blocked],
             "cost_at_most": each.cost_at_most, "displaces": list(each.displaces)}
            for each in answer.unserved
        ],
        "granted": [
            {"proposal": each.project, "asked_platform": each.asked_platform, "asked_days": each.asked_days,
             "given_platform": each.given_platform, "given_days": each.given_days, "quality": each.quality,
             "why": each.why}
            for each in answer.granted
        ],
        "use": {name: {"taken": taken, "open": open_} for name, (taken, open_) in answer.use.items()},
        "bottleneck": None if helps is None else {
            "separable": helps.separable, "says": helps.says,
            "helps": [{"what": each.what, "least": each.least, "most": each.most, "found": each.found}
                      for each in helps.helps],
        },
        "robustness": None if robust is None else {
            "draws": robust.draws, "planned": robust.planned, "mean": round(robust.mean, 1),
            "low_tenth": robust.low_tenth, "lost_mean": round(robust.lost_mean, 3), "lost": robust.lost,
        },
    }  # fmt: skip


def result_data(result: Result) -> dict[str, Any]:
    """How good a plan is, as plain data."""
    return {
        "value": result.value, "bound": result.bound, "bound_source": result.bound_source,
        "gap": round(result.gap, 6), "proved": result.proved,
        "levels": [{"words": each.words, "reached": each.reached, "proved": each.proved} for each in result.levels],
        "greedy": dict(result.greedy), "effort": result.effort, "seed": result.seed,
        "iterations": result.iterations, "rounds": result.rounds, "versions": dict(result.versions),
        "stopped": result.stopped, "changes": list(result.changes),
    }  # fmt: skip


def what_if_text(found: WhatIf) -> str:
    """What one change of the facility would be worth."""
    least, most = found.interval
    if least > 0:
        says = f"adds between {least} and {most}"
    elif most < 0:
        says = f"takes between {-most} and {-least}"
    elif least == most == 0:
        says = "changes nothing; that is proved"
    else:
        says = f"changes the value by {least} to {most}: not separable from nothing at this gap"
    more = sorted(set(found.changed.served) - set(found.base.served))
    fewer = sorted(set(found.base.served) - set(found.changed.served))
    return "\n".join([
        labelled("What if", f"{found.words}: {says}."),
        labelled("As it is", f"{found.base.value} of at most {found.base.bound}, {len(found.base.served)} served."),
        labelled("Changed", f"{found.changed.value} of at most {found.changed.bound}, "
                 f"{len(found.changed.served)} served."),
        labelled("Gained", ", ".join(more) or "nobody"), labelled("Lost", ", ".join(fewer) or "nobody"),
    ])  # fmt: skip


def what_if_data(found: WhatIf) -> dict[str, Any]:
    """The same as plain data."""
    least, most = found.interval
    return {"what_if": found.words, "least": least, "most": most, "base": result_data(found.base),
            "changed": result_data(found.changed), "served": found.changed.served}  # fmt: skip


def csv_text(answer: Answer) -> str:
    """One row per cooldown and one per proposal without a place; no cell begins a spreadsheet formula."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(
        ["proposal", "title", "status", "cooldown", "platform", "first", "last", "shares", "quality", "why"]
    )
    why = {each.project: each.why for each in answer.granted}
    for visit in answer.result.plan:
        first, last = _dates(answer.question, visit)
        mode = answer.question.problem.mode(visit.project, visit.platform)
        writer.writerow(map(_cell, [
            visit.project, answer.question.title(visit.project), "served", visit.number + 1, visit.platform, first,
            last, "no" if visit.leads else "yes", mode.quality if mode else "", why.get(visit.project, ""),
        ]))  # fmt: skip
    for each in answer.unserved:
        writer.writerow(map(_cell, [each.project, answer.question.title(each.project), "not served", "", "", "", "", "",
                                    "", unserved_words(answer.question, each)]))  # fmt: skip
    return out.getvalue()


def _cell(value: object) -> str:
    text = str(value)
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text


def calendar_bytes(answer: Answer) -> bytes:
    """The plan as an iCalendar file (RFC 5545), one all-day event per cooldown of a proposal."""
    from icalendar import Calendar, Event, vText

    question = answer.question
    calendar = Calendar()
    calendar.add("prodid", f"-//cold-triage//{triage.__version__}//EN")
    calendar.add("version", "2.0")
    # The stamp is the calendar's own first day, so that the same plan gives the same bytes.
    stamp = datetime.datetime.combine(question.calendar.start, datetime.time(), tzinfo=datetime.UTC)
    for visit in answer.result.plan:
        event = Event()
        place = question.names[visit.platform]
        event.add("uid", f"{question.calendar.start}-{visit.project.replace('/', '-')}-{visit.number + 1}@cold-triage")
        event.add("dtstamp", stamp)
        event.add("dtstart", question.date(visit.start))
        event.add("dtend", question.date(visit.end))
        event.add("summary", f"{visit.project} on {place}")
        event["location"] = vText(place)
        role = "leads the cooldown" if visit.leads else "shares the cooldown"
        event.add("description", f"{question.title(visit.project)}; cooldown {visit.number + 1}, {role}.")
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    text: bytes = calendar.to_ical()
    return text


def picture(answer: Answer, theme: Theme = "light") -> Drawing:
    """The plan as a Gantt chart."""
    question = answer.question
    problem = question.problem
    together: dict[tuple[str, int, int], list[Visit]] = {}
    for visit in answer.result.plan:
        together.setdefault((visit.platform, visit.start, visit.end), []).append(visit)
    runs = [
        Run(
            platform,
            start,
            end,
            tuple(each.project for each in sorted(members, key=lambda v: (not v.leads, v.project))),
        )
        for (platform, start, end), members in together.items()
    ]
    shut = [Shut(each.id, first, end) for each in problem.platforms for first, end in each.closed]
    result = answer.result
    title = (
        f"{question.calendar.title or question.facility}: value {result.value} of at most {result.bound}, "
        + ("proved" if result.proved else f"gap {result.gap:.1%}")
    )  # fmt: skip
    dates = [question.date(slot) for slot in range(problem.horizon + 1)]
    rows = [(each.id, question.names[each.id]) for each in problem.platforms]
    return gantt(rows, runs, shut, dates, title=title, theme=theme)
