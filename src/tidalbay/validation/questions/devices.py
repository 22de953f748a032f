"""Questions on devices: what a breath holds, where it is sampled, what a jet and prongs do."""

from itertools import product
from typing import Any

from tidalbay.equipment import equipment_from_setup
from tidalbay.units import btps_ml_s_from_lpm
from tidalbay.validation.asking import Words, breath, course, late_mean, solved, ventilation_l_min
from tidalbay.validation.questions.gas_exchange import R

DRY_MMHG = 713.0  # 760 less 47 of water


def windpipe_oxygen(**breathing: Any) -> float:
    """Oxygen in the gas that enters the windpipe, weighted by volume. [1]"""
    return breath(**breathing).fio2_frac


def throat_oxygen(**breathing: Any) -> float:
    """Oxygen that a sampling tube behind the uvula reads on average while breathing in. [1]"""
    return breath(**breathing).throat_mean_o2_frac


def expired_oxygen(**breathing: Any) -> float:
    """Oxygen at the end of breathing out, as a share of dry gas. [1]"""
    return breath(**breathing).end_tidal_o2_frac


def expired_oxygen_wet(**breathing: Any) -> float:
    """The same as a share of gas that still holds its water vapour. [1]"""
    return breath(**breathing).end_tidal_o2_frac * DRY_MMHG / 760.0


def inspired_carbon_dioxide_pct(**breathing: Any) -> float:
    """Carbon dioxide in the gas breathed in, weighted by volume. [%]"""
    answer = breath(**breathing)
    return 100.0 * answer.inspired_co2_ml / answer.inspired_ml


def inspired_carbon_dioxide_mmhg(**breathing: Any) -> float:
    """The same as a pressure. [mmHg]"""
    return 0.01 * DRY_MMHG * inspired_carbon_dioxide_pct(**breathing)


def spread_of_oxygen(**breathing: Any) -> float:
    """How far windpipe oxygen spans plausible breathing round a pattern, the device as it sits. [1]"""
    answer = breath(**{"fit": 0.5, "mouth_share": 0.0, **breathing})
    return answer.fio2_high_frac - answer.fio2_low_frac


def relative_spread_of_oxygen(**breathing: Any) -> float:
    """The same over what the pattern itself gives. [1]"""
    return spread_of_oxygen(**breathing) / breath(**breathing).fio2_frac


def effective_oxygen(**breathing: Any) -> float:
    """Inspired oxygen worked back from settled alveolar gas by the alveolar gas equation. [1]"""
    words = dict(breathing)
    patient = {name: words.pop(name) for name in ("patient", "overrides") if name in words}
    trace = course([{"minutes": 90, "breathing": "held", **words}], **patient)
    alveolar = late_mean(trace, "end_tidal_o2_frac") * DRY_MMHG
    co2 = late_mean(trace, "end_tidal_co2_mmhg")
    return (alveolar + co2 / R) / (DRY_MMHG - co2 + co2 / R)


def oxygen_over_patterns(which: str, rates: list[float], tidals: list[float], **breathing: Any) -> float:
    """Least, most, or most over least windpipe oxygen over a grid of breathing. [1]"""
    found = [
        breath(rate_per_min=rate, tidal_ml=tidal, **breathing).fio2_frac
        for rate, tidal in product(rates, tidals)
    ]
    return {"least": min(found), "most": max(found), "ratio": max(found) / min(found)}[which]


def oxygen_per_litre(low_lpm: float, high_lpm: float, **breathing: Any) -> float:
    """Slope of windpipe oxygen over flow. [per L/min]"""
    low, high = (breath(flow_lpm=flow, **breathing).fio2_frac for flow in (low_lpm, high_lpm))
    return (high - low) / (high_lpm - low_lpm)


def throat_pressure(flow_lpm: float, mouth_share: float = 0.0) -> float:
    """Pressure that high flow holds in the throat, mean over the breath. [cmH2O]"""
    stage = {
        "minutes": 3,
        "breathing": "held",
        "device": "high_flow_nasal_cannula",
        "flow_lpm": flow_lpm,
        "mouth_share": mouth_share,
    }
    return late_mean(course([stage]), "throat_pressure_cmh2o")


def total_flow(setting_pct: int, oxygen_lpm: float) -> float:
    """Oxygen and entrained air of an air-entrainment mask together. [L/min]"""
    mask = {"id": "mask", "kind": "air_entrainment_mask", "connected_to": "wall"}
    equipment = equipment_from_setup(
        {
            "supplies": [{"id": "wall", "kind": "wall_oxygen", "flowmeter": {"flow_lpm": oxygen_lpm}}],
            "devices": [{**mask, "entrainment_pct": setting_pct}],
        }
    )
    controls = equipment.controls(760.0)
    driving_lpm = controls.face_flow_btps_ml_s / btps_ml_s_from_lpm(1.0, 760.0)
    return driving_lpm * (1.0 + controls.face_entrainment_ratio)


def ventilation_with(device: Words, patient: str = "healthy_adult") -> float:
    """Ventilation of somebody who breathes as they please with this on, over that without. [1]"""
    bare, worn = (course([{"minutes": 30, **worn}], patient=patient) for worn in ({"device": "none"}, device))
    return ventilation_l_min(worn) / ventilation_l_min(bare)


def carbon_dioxide_with(device: Words, patient: str = "healthy_adult") -> float:
    """Arterial carbon dioxide with this on, less that without, breathing free. [mmHg]"""
    bare, worn = (course([{"minutes": 30, **worn}], patient=patient) for worn in ({"device": "none"}, device))
    return late_mean(worn, "paco2_mmhg") - late_mean(bare, "paco2_mmhg")


def arterial_oxygen_on(device: Words, matched_mmhg: float, matched_on: Words) -> float:
    """Arterial oxygen on one device of a patient who is made to have a stated one on another. [mmHg]

    The shunt of a patient with pneumonia is what is matched; breathing is free.
    """

    def reached(shunt: float, worn: Words) -> float:
        trace = course([{"minutes": 20, **worn}], patient="pneumonia", overrides={"shunt_frac": shunt})
        return late_mean(trace, "pao2_mmhg")

    shunt = solved(lambda share: reached(share, matched_on), matched_mmhg, 0.55, 0.02)
    return reached(shunt, device)
