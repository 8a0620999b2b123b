"""What each fact about a platform is made of: the estimates and inputs behind margins and words.

A fact that bears the name of an estimate is that estimate and is not listed. A name that nothing was
worked out for in a case, such as the homogeneity of a magnet that has none, is passed over.
"""

from __future__ import annotations

from collections.abc import Mapping

ORIGINS: Mapping[str, tuple[str, ...]] = {
    # temperature
    "thermal_margin": ("needed_temperature", "given_temperature"),
    "thermal_margin_to_see": ("needed_temperature_to_see", "given_temperature"),
    "thermal_margin_at_worst": ("needed_temperature", "electron_temperature_high"),
    "stage_over_saturation": ("stage_temperature", "electron_saturation"),
    "electrons_over_stage": ("electron_temperature", "stage_temperature"),
    "electron_temperature_basis": ("platform.electrons.measured", "electron_saturation"),
    "sweep_low_margin": ("sweep_low", "stage_temperature"),
    "sweep_high_margin": ("sweep_high", "platform.warmest"),
    "temperature_swept": ("sweep_low", "sweep_high"),
    "asked_margin": ("asked_temperature", "stage_temperature"),
    "sample_over_stage": ("sample_temperature", "stage_temperature"),
    "self_heating": ("electron_temperature", "electron_temperature_unheated"),
    # field
    "field_wanted": ("field_needed",),
    "field_margin": ("field_needed", "magnet_field"),
    "field_in_tesla": ("field_needed",),
    "field_across_margin": ("field.across", "platform.field.across"),
    "homogeneity_margin": (
        "field.homogeneity", "field.over", "platform.field.homogeneity", "platform.field.homogeneous_over",
    ),
    "residual_margin": ("field.residual", "residual_field"),
    "ramp_hours": ("field_ramp_time",),
    "stray_margin": ("stray_at_neighbour", "neighbour"),
    # lines
    "dc_margin": ("dc_lines_needed", "platform.wiring.dc_lines"),
    "coax_wanted": ("coax_lines_needed",),
    "coax_margin": ("coax_lines_needed", "platform.wiring.coax_lines"),
    "coax_lines_asked": ("coax_lines_needed",),
    "bandwidth_margin": ("lines.bandwidth", "platform.wiring.coax_bandwidth"),
    "fibre_margin": ("lines.fibres", "platform.wiring.fibres"),
    "line_voltage": ("lines.voltage",),
    "line_current": ("lines.current",),
    # size
    "size_margin": ("bore_needed", "tightest_dimension", "platform.space.bore", "platform.space.board_length",
                    "platform.space.board_width", "platform.space.puck", "platform.space.height"),
    "centre_margin": ("chip_from_end", "platform.space.below_centre"),
    "rotator_margin": ("swept_diameter", "platform.space.rotator"),
    "boards_margin": ("boards_per_load", "board.per_load"),
    "chip_in_millimetres": ("board.chip",),
    "board_in_grams": ("board.mass",),
    # heat
    "heat_margin": ("heat_load", "cooling_power"),
    "heat_wanted": ("heat_load",),
    "heat_at_sample": ("heat_load",),
    "beyond_measured": ("stage_temperature", "heat_load"),
    "stage_margin": ("tightest_stage",),
    "dominant_share": ("dominant_load", "dominant_stage"),
    # vibration
    "vibration_margin": ("vibration_tolerated", "vibration_level"),
    "disturbance_in_band": ("signal_band_low", "signal_band_high", "platform.vibration.comb"),
    "signal_in_picoamperes": ("signal.smallest",),
    "machine_cooled": ("platform.vibration.comb",),
    "disturbance_margin": ("smallest_signal", "disturbance"),
    "disturbed_by": ("disturbance",),
    "quiet_window_fits": ("quiet_window", "trace"),
    # hold
    "hold_margin": ("usable_hold", "data_time"),
    "data_in_days": ("data_time",),
    "bath_margin": ("bath_autonomy", "data_time"),
    "bath_described": ("platform.running.bath_volume",),
    "nitrogen_margin": ("nitrogen_autonomy", "data_time"),
    # turnaround
    "deadline_margin": ("time.deadline", "time_to_answer"),
    "queue_in_weeks": ("platform.clock.queue",),
    "weeks_sooner": ("time_to_answer",),
    "cooldown_over_data": ("platform.clock.cooldown", "data_time"),
    "working": ("devices.working",),
    "averaging_in_seconds": ("averaging",),
    "averaging_over_warmer": ("signal_current", "signal.excited_at"),
    "drift_margin": ("time.drift", "per_device"),
    "screening_gain_in_hours": ("devices.working", "per_device"),
    "proxy": ("devices.proxy",),
    "difference_margin": ("devices_needed", "devices_for_difference"),
    # risk and cost
    "budget_margin": ("price", "budget"),
    "runs_overnight": ("run",),
    "trained_people": ("platform.people.trained",),
    "room_described": ("platform.stored.helium", "platform.stored.nitrogen"),
    "displaced_days": ("displaced_time",),
    "helium_supply_margin": ("helium_boil_off", "lab.supply.volume", "lab.supply.delivery"),
    "escape_minutes": ("escape_time",),
    "quench_share": ("quench_gas", "room.volume"),
    "cryogens": ("platform.stored.helium", "platform.stored.nitrogen"),
}  # fmt: skip
