"""The equipment between the wall and the face: a graph of parts that hands change and gas flows through.

In come a case's set-up, acts that name their object, causes thrown by events, and stretches of time.
Out come the controls of the breathing model, readings, sentences that trace each path, and warnings.

Public names: `Equipment`, `Controls`, `equipment_from_setup`, `ActRefused`, `EquipmentError`,
`EQUIPMENT_ACTS`, `CAUSES`; `check_said`, the one door of acts, and `squeezed_bag`; for cylinders
`cylinder_duration`, `CylinderAnswer`, `pressure_kpa_from_text`, `minutes_by_factor`,
`minutes_by_water_capacity`, `usual_reserve_kpa`.

Inside: `parts` and the `graph` of them; `sources` by themselves; `flow` through it all; what `hands` do and
what `faults` do; what is `told` of it; and in `controls`, `contacts` and `nebuliser` what the patient gets.
"""

from tidalbay.equipment.contacts import Touch, touches, water_asked_by_gas_mg_min
from tidalbay.equipment.door import check_said, squeezed_bag
from tidalbay.equipment.equipment import CAUSES, EQUIPMENT_ACTS, Equipment
from tidalbay.equipment.nebuliser import DrivenCup, cup_in_use, driven_cup, parts_poured
from tidalbay.equipment.parts import ActRefused, EquipmentError
from tidalbay.equipment.setup import equipment_from_setup
from tidalbay.equipment.sources.cylinder import (
    CylinderAnswer,
    cylinder_duration,
    minutes_by_factor,
    minutes_by_water_capacity,
    pressure_kpa_from_text,
    usual_reserve_kpa,
)
from tidalbay.science.controls import Controls

__all__ = [
    "CAUSES",
    "EQUIPMENT_ACTS",
    "ActRefused",
    "Controls",
    "CylinderAnswer",
    "DrivenCup",
    "Equipment",
    "EquipmentError",
    "Touch",
    "check_said",
    "cup_in_use",
    "cylinder_duration",
    "driven_cup",
    "equipment_from_setup",
    "minutes_by_factor",
    "minutes_by_water_capacity",
    "parts_poured",
    "pressure_kpa_from_text",
    "squeezed_bag",
    "touches",
    "usual_reserve_kpa",
    "water_asked_by_gas_mg_min",
]
