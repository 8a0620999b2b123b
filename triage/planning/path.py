"""A path over several platforms: which screens, in which order, before the cold run, with odds and a price.

Model. Devices are good or bad, independently, with one yield; a screen passes a good device with
`keeps_good` and a bad one with `1 - stops_bad`, independently of other screens given the kind of device.
Every ordered subset of screens is worked out. The runs follow a pull policy: cold runs as soon as a load is
ready, else the full batch furthest down, else the first devices waiting; stop at the wanted number. Expected
time, cost and chance of success are exact for that policy; the law of the time is exact to the minute.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import permutations
from math import ceil, comb

from triage.physics.statistics import devices_to_start

MOST_SCREENS = 3
MOST_CANDIDATES = 200


@dataclass(frozen=True)
class Stage:
    """A platform as a stage of a path; times in minutes, money in EUR."""

    platform: str
    keeps_good: float
    stops_bad: float
    batch: int
    minutes_per_run: int
    minutes_per_device: int
    cost_per_run: float = 0.0
    cost_per_minute: float = 0.0
    hold_minutes: int | None = None
    recycle_minutes: int = 0
    lost_per_cycle: float = 0.0

    def minutes(self, devices: int) -> int:
        """One run with so many devices."""
        data = self.minutes_per_device * devices
        pieces = 1 if not self.hold_minutes else max(1, ceil(data / self.hold_minutes))
        return self.minutes_per_run + data + (pieces - 1) * self.recycle_minutes

    def cost(self, devices: int) -> float:
        """One run with so many devices."""
        return self.cost_per_run + self.cost_per_minute * self.minutes(devices)


@dataclass(frozen=True)
class Campaign:
    """What is wanted of how many devices."""

    device_yield: float
    wanted: int
    confidence: float = 0.9
    candidates: int | None = None
    cost_per_device: float = 0.0


@dataclass(frozen=True)
class Ladder:
    """One ordered sequence of screens before the final platform, worked out."""

    stages: tuple[str, ...]
    devices: int
    feasible: bool
    chance: float
    minutes: float
    cost: float
    load: int
    reason: str = ""


def ladders(screens: Sequence[Stage], final: Stage, campaign: Campaign, *, cheapest: bool = False) -> list[Ladder]:
    """Every ordered subset of at most three screens, best first; without any screen among them.

    Best is the least expected time (or cost, with `cheapest`) among those that reach the confidence with the
    devices at hand; those that cannot come last, with the reason.
    """
    found = [
        best_load(chosen, final, campaign, cheapest=cheapest)
        for size in range(min(len(screens), MOST_SCREENS) + 1)
        for chosen in permutations(screens, size)
    ]
    return sorted(found, key=lambda each: (not each.feasible, each.cost if cheapest else each.minutes, each.stages))


def best_load(screens: Sequence[Stage], final: Stage, campaign: Campaign, *, cheapest: bool = False) -> Ladder:
    """One sequence with the size of the cold load that serves it best."""
    names = (*(each.platform for each in screens), final.platform)
    chance = success_per_device(screens, final, campaign.device_yield)
    if chance <= 0:
        return Ladder(names, 0, False, 0.0, float("inf"), float("inf"), 0, "no device gets through")
    started = devices_to_start(campaign.wanted, chance, campaign.confidence)
    needed = int(min(started, 10 * MOST_CANDIDATES))
    if campaign.candidates is not None and needed > campaign.candidates:
        reason = f"needs {needed} devices for {campaign.confidence:.0%}, {campaign.candidates} are there"
        return Ladder(names, needed, False, 0.0, float("inf"), float("inf"), 0, reason)
    if needed > MOST_CANDIDATES:
        reason = f"needs {needed} devices, more than the {MOST_CANDIDATES} that are worked out"
        return Ladder(names, needed, False, 0.0, float("inf"), float("inf"), 0, reason)
    devices = needed if campaign.candidates is None else campaign.candidates
    tried = []
    for load in range(1, final.batch + 1):
        success, minutes, cost = _expected(tuple(screens), final, campaign, devices, load)
        tried.append(Ladder(names, devices, True, success, minutes, cost + devices * campaign.cost_per_device, load))
    return min(tried, key=lambda each: (each.cost if cheapest else each.minutes, each.load))


def pass_rates(screens: Sequence[Stage], final: Stage, device_yield: float) -> list[float]:
    """The chance that a device which has come this far passes each stage, the final one last."""
    good, bad = device_yield, 1.0 - device_yield
    rates = []
    for stage in (*screens, final):
        kept = 1.0 - stage.lost_per_cycle
        passed_good, passed_bad = good * stage.keeps_good * kept, bad * (1.0 - stage.stops_bad) * kept
        rates.append((passed_good + passed_bad) / (good + bad) if good + bad > 0 else 0.0)
        good, bad = passed_good, passed_bad
    return rates


def success_per_device(screens: Sequence[Stage], final: Stage, device_yield: float) -> float:
    """The chance that a device started at the first stage passes them all."""
    chance = 1.0
    for rate in pass_rates(screens, final, device_yield):
        chance *= rate
    return chance


State = tuple[tuple[int, ...], int]


def next_run(waiting: Sequence[int], stages: Sequence[Stage], load: int) -> tuple[int, int] | None:
    """Which stage runs next, and with how many devices, by the pull policy; None where nothing waits."""
    last = len(stages) - 1
    upstream = any(waiting[:last])
    if waiting[last] and (waiting[last] >= min(load, stages[last].batch) or not upstream):
        return last, min(waiting[last], stages[last].batch)
    for index in range(last - 1, -1, -1):
        if waiting[index] >= stages[index].batch:
            return index, stages[index].batch
    for index in range(last):
        if waiting[index]:
            return index, waiting[index]
    return None


def after_run(waiting: tuple[int, ...], wanted: int, stage: int, used: int, passed: int) -> State:
    """The devices waiting, and the number still wanted, when so many have passed."""
    left = list(waiting)
    left[stage] -= used
    if stage + 1 < len(left):
        left[stage + 1] += passed
        return tuple(left), wanted
    return tuple(left), max(wanted - passed, 0)


def _expected(
    screens: tuple[Stage, ...], final: Stage, campaign: Campaign, devices: int, load: int
) -> tuple[float, float, float]:
    """Chance of success, expected minutes and expected cost of a campaign, exactly."""
    stages = (*screens, final)
    rates = pass_rates(screens, final, campaign.device_yield)
    known: dict[State, tuple[float, float, float]] = {}

    def value(state: State) -> tuple[float, float, float]:
        waiting, wanted = state
        if wanted == 0:
            return 1.0, 0.0, 0.0
        if state in known:
            return known[state]
        run = next_run(waiting, stages, load)
        if run is None:
            return 0.0, 0.0, 0.0
        stage, used = run
        success, minutes, cost = 0.0, float(stages[stage].minutes(used)), stages[stage].cost(used)
        for passed, weight in enumerate(binomial(used, rates[stage])):
            if weight:
                then = value(after_run(waiting, wanted, stage, used, passed))
                success += weight * then[0]
                minutes += weight * then[1]
                cost += weight * then[2]
        known[state] = success, minutes, cost
        return known[state]

    return value(((devices, *(0,) * len(screens)), campaign.wanted))


def time_law(screens: Sequence[Stage], final: Stage, campaign: Campaign, devices: int, load: int) -> dict[int, float]:
    """The law of the time to success: minutes to probability; what is missing from one is failure."""
    stages = (*screens, final)
    rates = pass_rates(screens, final, campaign.device_yield)
    law: dict[int, float] = {}
    open_states: dict[State, dict[int, float]] = {((devices, *(0,) * len(screens)), campaign.wanted): {0: 1.0}}
    while open_states:
        # Every run shortens what is left to do, so taking the fullest state first visits each state once.
        state = max(open_states, key=lambda each: (_work_left(each, len(stages)), each))
        times = open_states.pop(state)
        waiting, wanted = state
        run = next_run(waiting, stages, load)
        if run is None:
            continue
        stage, used = run
        length = stages[stage].minutes(used)
        for passed, weight in enumerate(binomial(used, rates[stage])):
            then = after_run(waiting, wanted, stage, used, passed)
            target = law if then[1] == 0 else open_states.setdefault(then, {})
            for time, chance in times.items():
                target[time + length] = target.get(time + length, 0.0) + chance * weight
    return dict(sorted(law.items()))


def _work_left(state: State, stages: int) -> int:
    return sum(count * (stages - index) for index, count in enumerate(state[0]))


def quantile(law: dict[int, float], chance: float) -> int | None:
    """The time by which the campaign has succeeded with a chance; None where it never has."""
    total = 0.0
    for time, weight in law.items():
        total += weight
        if total >= chance - 1e-12:
            return time
    return None


@lru_cache(maxsize=4096)
def binomial(count: int, chance: float) -> tuple[float, ...]:
    """The binomial law for 0 to `count` successes."""
    return tuple(comb(count, good) * chance**good * (1.0 - chance) ** (count - good) for good in range(count + 1))
