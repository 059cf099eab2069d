"""The fact of a job that each input would be: what that cannot be is refused here too, and what is far from usual is told."""

from __future__ import annotations

from collections.abc import Mapping

PLACE = {"elevation": "site.elevation", "barometer": "site.barometer"}
MINUTE = "evacuation.decay_readings.elapsed"
# By quantity and input. `saturation` is of any refrigerant that CoolProp knows, and has bounds of its own.
FACTS: Mapping[str, Mapping[str, str]] = {
    "saturation": PLACE,
    "subcooling": {"pressure": "charge.liquid_pressure", "temperature": "charge.liquid_temperature", **PLACE},
    "superheat": {"pressure": "charge.suction_pressure", "temperature": "charge.suction_temperature", **PLACE},
    "target-superheat": {"indoor_wet_bulb": "charge.indoor_wet_bulb", "outdoor_dry_bulb": "charge.outdoor_dry_bulb"},
    "line-set-charge": {
        "length": "line_set.length",
        "included_length": "instructions.charge_included_length",
        "mass_per_length": "instructions.charge_per_length",
    },
    "recovery-level": {"charge": "removed.charge"},
    "pressure-test": {
        "start_pressure": "pressure_test.pressure",
        "start_temperature": "pressure_test.start_temperature",
        "end_temperature": "pressure_test.end_temperature",
        "end_pressure": "pressure_test.end_pressure",
        **PLACE,
    },
    "decay": {
        "readings": "evacuation.decay_readings.vacuum",
        "coldest": "evacuation.coldest_temperature",
        "dry_level": "instructions.evacuation_level",
    },
    "capacity": {
        "airflow": "airflow.total",
        "entering_dry_bulb": "airflow.return_dry_bulb",
        "entering_wet_bulb": "airflow.return_wet_bulb",
        "leaving_dry_bulb": "airflow.supply_dry_bulb",
        "leaving_wet_bulb": "airflow.supply_wet_bulb",
        **PLACE,
    },
    "conductor": {
        "ambient": "circuits.segments.ambient",
        "together": "circuits.segments.current_carrying_conductors",
    },
    "overcurrent": {"current": "panel.main_rating"},
    "circuit": {
        "rated_load_current": "outdoor_unit.nameplate.rated_load_current",
        "others": "outdoor_unit.nameplate.fan_current",
        "branch_selection_current": "outdoor_unit.nameplate.branch_selection_current",
    },
    "heat-kit": {
        "rated_power": "heating.heat_kit.power",
        "rated_voltage": "heating.heat_kit.voltage",
        "supply_voltage": "circuits.nameplate.supply_voltage",
        "blower": "heating.heat_kit.blower_current",
    },
}  # fmt: skip
