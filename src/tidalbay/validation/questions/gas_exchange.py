"""Questions on gas between lung and blood: alveolar gas, differences, shunts."""

from tidalbay.catalogue.patients import patient_numbers
from tidalbay.science.blood import oxygen_content_ml_dl, oxygen_saturation_frac
from tidalbay.science.gas import (
    DRY_AIR_OXYGEN_FRAC,
    alveolar_co2_mmhg,
    alveolar_oxygen_mmhg,
    inspired_oxygen_mmhg,
    shunt_frac,
)
from tidalbay.trace import Trace
from tidalbay.validation.asking import Words, course, late_mean, solved

R = 0.8  # respiratory quotient of every patient in the catalogue
TAKEN_ML_DL = 5.0  # what bedside shunt sums take blood to give up


def alveolar_carbon_dioxide(co2_output_ml_min: float, alveolar_l_min: float) -> float:
    """Alveolar carbon dioxide pressure by the alveolar ventilation equation. [mmHg]"""
    return alveolar_co2_mmhg(co2_output_ml_min, alveolar_l_min)


def alveolar_oxygen(fio2_frac: float, paco2_mmhg: float) -> float:
    """Alveolar oxygen pressure by the full equation at sea level. [mmHg]"""
    return alveolar_oxygen_mmhg(fio2_frac, 760.0, paco2_mmhg, R)


def inspired_oxygen_pressure(fio2_frac: float, barometric_mmhg: float) -> float:
    """Oxygen pressure of moist inspired gas. [mmHg]"""
    return inspired_oxygen_mmhg(fio2_frac, barometric_mmhg)


def arterial_oxygen(
    patient: str = "healthy_adult", overrides: Words | None = None, altitude_m: float = 0.0
) -> float:
    """Arterial oxygen pressure at rest on room air. [mmHg]"""
    return late_mean(_at_rest(patient, overrides, altitude_m), "pao2_mmhg")


def oxygen_difference(patient: str = "healthy_adult", overrides: Words | None = None) -> float:
    """Alveolar less arterial oxygen pressure at rest on room air, by the bedside equation. [mmHg]"""
    trace = _at_rest(patient, overrides, 0.0)
    alveolar = alveolar_oxygen_mmhg(DRY_AIR_OXYGEN_FRAC, 760.0, late_mean(trace, "paco2_mmhg"), R)
    return alveolar - late_mean(trace, "pao2_mmhg")


def iso_shunt(shunt_frac: float, fio2_frac: float) -> float:
    """Arterial oxygen pressure of a lung with a pure shunt, by the whole model. [mmHg]

    Breathing is held so that arterial carbon dioxide is 40 mmHg, and output of the heart so that
    blood gives up 5 mL/dL.
    """
    return iso_shunt_held(shunt_frac, fio2_frac, iso_shunt_tidal_ml(shunt_frac, fio2_frac))


def iso_shunt_tidal_ml(shunt_frac: float, fio2_frac: float) -> float:
    """Breaths, twelve a minute, that hold carbon dioxide at 40 mmHg with this shunt. [mL]"""
    return solved(
        lambda tidal_ml: late_mean(_shunted(shunt_frac, fio2_frac, tidal_ml), "paco2_mmhg"),
        40.0,
        300.0,
        900.0,
    )


def iso_shunt_held(shunt_frac: float, fio2_frac: float, tidal_ml: float) -> float:
    """The same with breaths of a stated size. [mmHg]"""
    return late_mean(_shunted(shunt_frac, fio2_frac, tidal_ml), "pao2_mmhg")


def _shunted(shunt_frac: float, fio2_frac: float, tidal_ml: float) -> Trace:
    stage = {
        "minutes": 25,
        "breathing": "held",
        "room_oxygen_frac": fio2_frac,
        "rate_per_min": 12,
        "tidal_ml": tidal_ml,
    }
    overrides = {
        "shunt_frac": shunt_frac,
        "vq_log_sd": 0.1,
        "vasoconstriction": 0.0,
        "haemoglobin_g_dl": 14.0,
        "carboxyhaemoglobin_frac": 0.0,
        "methaemoglobin_frac": 0.0,
        "oxygen_use_ml_min": 250.0,
        "co2_output_ml_min": 200.0,
        "cardiac_output_l_min": 5.0,
    }
    return course([stage], overrides=overrides)


def venous_admixture(
    fio2_frac: float, patient: str = "healthy_adult", overrides: Words | None = None
) -> float:
    """Share of blood that would have to bypass the lung for this arterial oxygen. [1]

    As at the bedside: from alveolar and arterial gas, blood giving up 5 mL/dL, breathing held as
    at rest.
    """
    trace = course(
        [{"minutes": 30, "breathing": "held", "room_oxygen_frac": fio2_frac}],
        patient=patient,
        overrides=dict(overrides or {}),
    )
    haemoglobin = float(patient_numbers(patient, overrides)["haemoglobin_g_dl"])
    paco2, pao2, ph = (late_mean(trace, name) for name in ("paco2_mmhg", "pao2_mmhg", "ph"))
    alveolar = alveolar_oxygen_mmhg(fio2_frac, 760.0, paco2, R)

    def content(po2_mmhg: float) -> float:
        saturation = oxygen_saturation_frac(po2_mmhg, ph, 37.0)
        return oxygen_content_ml_dl(po2_mmhg, saturation, haemoglobin, 0.0)

    arterial = content(pao2)
    return shunt_frac(content(alveolar), arterial, arterial - TAKEN_ML_DL)


def saturation_over_inspired(pressure_over_inspired: float, fio2_frac: float) -> float:
    """Saturation in per cent over inspired share, in a shunted lung with that PaO2 over share. [1]"""

    def trace_with(shunt: float) -> Trace:
        stage = {"minutes": 20, "breathing": "held", "room_oxygen_frac": fio2_frac}
        return course([stage], patient="pneumonia", overrides={"shunt_frac": shunt})

    shunt = solved(
        lambda share: late_mean(trace_with(share), "pao2_mmhg") / fio2_frac,
        pressure_over_inspired,
        0.55,
        0.02,
    )
    return late_mean(trace_with(shunt), "sao2_pct") / fio2_frac


def gas_pressure_on_pure_oxygen() -> float:
    """Arterial oxygen and carbon dioxide pressure together, no shunt, pure oxygen. [mmHg]"""
    trace = course(
        [{"minutes": 60, "breathing": "held", "room_oxygen_frac": 1.0}],
        overrides={"shunt_frac": 0.0, "carboxyhaemoglobin_frac": 0.0},
    )
    return late_mean(trace, "pao2_mmhg") + late_mean(trace, "paco2_mmhg")


def _at_rest(patient: str, overrides: Words | None, altitude_m: float) -> Trace:
    return course(
        [{"minutes": 20, "altitude_m": altitude_m}], patient=patient, overrides=dict(overrides or {})
    )
