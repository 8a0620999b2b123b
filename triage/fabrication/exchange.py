"""Fabrication against cold: what a smaller feature costs that lets a warmer platform serve, and what it saves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from triage.display import show
from triage.fabrication.figures import figure
from triage.fabrication.route import Job, plans
from triage.models.estimate import Estimate
from triage.models.fabrication import Layer
from triage.models.quantity import Value
from triage.models.recommendation import Flip, PlatformResult, Recommendation
from triage.models.route import Exchange, Plan

_SCALE = "device.charging_energy"
# Energy goes with size to this power: a junction's capacitance with its area, an island's with its length.
_POWER = {"angle evaporated": 2.0}
_OTHERWISE = 1.0


def exchanges(job: Job, best: Plan, answer: Recommendation) -> tuple[Exchange, ...]:
    """For each warmer, cheaper platform that a larger charging energy would bring in: the price on both sides."""
    chosen = answer.platform(answer.recommended)
    layer = _finest(job)
    if chosen is None or layer is None:
        return ()
    found = []
    for flip in answer.flips:
        other = answer.platform(flip.platform)
        if flip.field == _SCALE and flip.at > flip.now and other is not None and other is not chosen:
            found += list(_exchange(job, best, layer, flip, chosen, other))
    return tuple(found)


def _finest(job: Job) -> Layer | None:
    patterned = [layer for layer in job.layers if layer.smallest_feature is not None]
    return min(patterned, key=lambda layer: layer.smallest_feature.nominal, default=None)  # type: ignore[union-attr]


def shrink(layer: Layer, energy_ratio: float) -> Layer:
    """A layer drawn smaller so that its charging energy grows by a ratio."""
    power = _POWER.get(layer.deposition, _OTHERWISE)
    factor = energy_ratio ** (-1.0 / power)

    def scaled(value: Value | None) -> Value | None:
        if value is None:
            return None
        text = show(value.nominal * factor, "m")
        return replace(value, nominal=value.nominal * factor, low=value.low * factor, high=value.high * factor,
                       text=text, basis="common practice")  # fmt: skip

    return layer.model_copy(update={"smallest_feature": scaled(layer.smallest_feature)})


def _exchange(
    job: Job, best: Plan, layer: Layer, flip: Flip, chosen: PlatformResult, other: PlatformResult
) -> Iterator[Exchange]:
    smaller = shrink(layer, flip.at / flip.now)
    if layer.smallest_feature is None or smaller.smallest_feature is None:
        return
    changed = replace(job, layers=tuple(smaller if each is layer else each for each in job.layers))
    then = plans(changed)[0]
    now_size, then_size = layer.smallest_feature, smaller.smallest_feature
    extra_price, extra_time = (_difference(then, best, name) for name in ("price", "time_to_chips"))
    saved_price, saved_time = (_saved(chosen, other, name) for name in ("price", "time_to_answer"))
    makeable = not then.vetoes
    says = (
        f"{other.name} would serve if {layer.name} is drawn at "
        f"{show(then_size.nominal, 'm')} instead of {show(now_size.nominal, 'm')}"
    )
    if makeable:
        says += (
            f" ({then.name}): {_change(extra_price, 'EUR')} and {_change(extra_time, 's')} in the cleanroom, "
            f"against {_change(saved_price, 'EUR', -1)} and {_change(saved_time, 's', -1)} at the cold platform."
        )
    else:
        says += f"; it cannot be made here: {then.vetoes[0].because}"
    yield Exchange(
        platform=other.platform, layer=layer.name,
        feature_now=figure("feature_now", now_size.nominal, "m", "stated", {"smallest_feature": now_size}),
        feature_then=figure("feature_then", then_size.nominal, "m", "f (E/E')^(1/p), p = 2 for junctions, else 1",
                            {"smallest_feature": now_size, "scaling": then_size}),
        makeable=makeable, extra_price=extra_price, extra_time=extra_time, saved_price=saved_price,
        saved_time=saved_time, says=says,
    )  # fmt: skip


def _change(amount: Estimate, unit: str, sign: int = 1) -> str:
    value = sign * float(amount.value)
    return f"{show(abs(value), unit)} {'more' if value >= 0 else 'less'}"


def _difference(then: Plan, now: Plan, name: str) -> Estimate:
    after, before = then.figures[name], now.figures[name]
    return figure(f"extra_{name}", float(after.value) - float(before.value), before.unit, "smaller less present",
                  {"smaller": after, "present": before})  # fmt: skip


def _saved(chosen: PlatformResult, other: PlatformResult, name: str) -> Estimate:
    cold, warm = chosen.estimates[name], other.estimates[name]
    return figure(f"saved_{name}", float(cold.value) - float(warm.value), cold.unit, "colder less warmer",
                  {"colder": cold, "warmer": warm})  # fmt: skip
