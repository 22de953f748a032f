"""Arterial blood gas on request: drawn now, known later, with the analyser's own error."""

from dataclasses import dataclass
from typing import Final

from tidalbay.bedside.moment import NOBODY, NothingToReadError, Numbers, number_at, patient_number, second_at
from tidalbay.science.acid_base import bicarbonate_mmol_l, standard_base_excess_mmol_l
from tidalbay.science.chance import BLOOD_GAS_STREAM, normal
from tidalbay.trace import Trace
from tidalbay.units import SECONDS_PER_MINUTE, kpa_from_mmhg

USUAL_TURNAROUND_MIN: Final = 10.0  # syringe, walk, analyser, walk; common practice, no source

# 17 analysers of 10 models measured the same blood at PO2 60.8 and PCO2 39.9 mmHg with a standard deviation
# of 1.46 and 1.02 mmHg (Kampelmacher MJ et al. Eur Respir J 1997;10:1341-1344); taken in proportion, and
# not below a floor.
PO2_SPREAD_FRAC: Final = 1.46 / 60.8
PCO2_SPREAD_FRAC: Final = 1.02 / 39.9
LEAST_SPREAD_MMHG: Final = 0.5  # assumed
# US proficiency testing allows 0.04 in pH (CLIA '88); a quarter of it as standard deviation (assumed).
PH_SPREAD: Final = 0.01
# Two methods differed in carboxyhaemoglobin by -0.98 to 0.86 % in 95 of 100 samples, most of it scatter of
# the optical one (comparison of spectrophotometry with gas chromatography, 109 samples).
COHB_SPREAD_PCT: Final = 0.46
METHB_SPREAD_PCT: Final = 0.2  # assumed
O2HB_SPREAD_PCT: Final = 0.5  # assumed
HAEMOGLOBIN_SPREAD_G_DL: Final = 0.15  # assumed
_FURTHEST: Final = 3.0

LACTATE_WORDS: Final = "lactate is not modelled, so none is reported"
TEMPERATURE_WORDS: Final = "at the patient's own temperature"

_PH, _PCO2, _PO2, _O2HB, _COHB, _METHB, _HAEMOGLOBIN = range(7)  # substeps of the stream


@dataclass(frozen=True, slots=True)
class BloodGas:
    """One sample's result.

    Attributes
    ----------
    drawn_s, ready_s : float
        When the blood was drawn and when the result comes back. [s]
    ph : float
        Two decimals. [1]
    po2_mmhg, pco2_mmhg : float
        One decimal, at the patient's temperature. [mmHg]
    bicarbonate_mmol_l, base_excess_mmol_l : float
        Worked out by the analyser from what it measured. [mmol/L]
    haemoglobin_g_dl : float
        [g/dL]
    o2hb_pct, cohb_pct, methb_pct, hhb_pct : float
        Co-oximetry: shares of all haemoglobin, 100 together. [%]
    saturation_pct : float
        O2Hb over O2Hb and HHb: what is often printed as sO2, blind to carbon monoxide. [%]
    """

    drawn_s: float
    ready_s: float
    ph: float
    po2_mmhg: float
    pco2_mmhg: float
    bicarbonate_mmol_l: float
    base_excess_mmol_l: float
    haemoglobin_g_dl: float
    o2hb_pct: float
    cohb_pct: float
    methb_pct: float
    hhb_pct: float
    saturation_pct: float

    @property
    def words(self) -> str:
        """The result in one line, pressures in both units."""
        return (
            f"pH {self.ph:.2f}, PCO2 {self.pco2_mmhg:.0f} mmHg ({kpa_from_mmhg(self.pco2_mmhg):.1f} kPa), "
            f"PO2 {self.po2_mmhg:.0f} mmHg ({kpa_from_mmhg(self.po2_mmhg):.1f} kPa), "
            f"HCO3 {self.bicarbonate_mmol_l:.0f}, base excess {self.base_excess_mmol_l:+.0f} mmol/L, "
            f"O2Hb {self.o2hb_pct:.0f} %, COHb {self.cohb_pct:.1f} %, MetHb {self.methb_pct:.1f} %; "
            f"{TEMPERATURE_WORDS}; {LACTATE_WORDS}"
        )

    def as_plain(self, now_s: float) -> dict[str, object]:
        """Names and plain values; before the result is back, only when it is due.

        Parameters
        ----------
        now_s : float
            Now. [s]
        """
        if now_s < self.ready_s:
            return {"gas_drawn_s": self.drawn_s, "gas_due_in_s": self.ready_s - now_s}
        return {
            "gas_drawn_s": self.drawn_s,
            "gas_age_s": now_s - self.drawn_s,
            "gas_ph": self.ph,
            "gas_po2_mmhg": self.po2_mmhg,
            "gas_pco2_mmhg": self.pco2_mmhg,
            "gas_bicarbonate_mmol_l": self.bicarbonate_mmol_l,
            "gas_base_excess_mmol_l": self.base_excess_mmol_l,
            "gas_haemoglobin_g_dl": self.haemoglobin_g_dl,
            "gas_o2hb_pct": self.o2hb_pct,
            "gas_cohb_pct": self.cohb_pct,
            "gas_methb_pct": self.methb_pct,
            "gas_hhb_pct": self.hhb_pct,
            "gas_saturation_pct": self.saturation_pct,
            "gas_words": self.words,
        }


def blood_gas(
    trace: Trace,
    drawn_s: float,
    seed: int,
    patient: Numbers = NOBODY,
    turnaround_min: float = USUAL_TURNAROUND_MIN,
) -> BloodGas:
    """The result of blood drawn at a moment.

    Parameters
    ----------
    trace : Trace
        With `pao2_mmhg`, `paco2_mmhg`, `ph` and `sao2_pct`; `cohb_frac` where it has it.
    drawn_s : float
        When the blood was drawn. [s]
    seed : int
        Key of the attempt's chance.
    patient : mapping
        Numbers by field name: `haemoglobin_g_dl`, `methaemoglobin_frac`, and
        `carboxyhaemoglobin_frac` where the trace does not follow it. Left out, 15 g/dL, 0.5 and 1 %.
    turnaround_min : float
        From the needle to the paper, 0 to 240. [min]

    Raises
    ------
    ValueError
        For a turnaround that no laboratory has.
    NothingToReadError
        Where the recording holds no blood at that moment.
    """
    if not 0.0 <= turnaround_min <= 240.0:
        raise ValueError(
            f"a blood gas comes back after {turnaround_min:g} minutes; write 0 to 240, usually 5 to 30."
        )
    drawn_s = second_at(trace, drawn_s)

    def error(substep: int) -> float:
        drawn = normal(seed, BLOOD_GAS_STREAM, int(drawn_s), substep)
        return max(-_FURTHEST, min(_FURTHEST, drawn))

    ph = round(_blood(trace, "ph", drawn_s) + PH_SPREAD * error(_PH), 2)
    pco2 = _pressure(_blood(trace, "paco2_mmhg", drawn_s), PCO2_SPREAD_FRAC, error(_PCO2))
    po2 = _pressure(_blood(trace, "pao2_mmhg", drawn_s), PO2_SPREAD_FRAC, error(_PO2))
    cohb = 100.0 * _share(trace, drawn_s, patient, "cohb_frac", "carboxyhaemoglobin_frac", 0.01)
    methb = 100.0 * _share(trace, drawn_s, patient, "methaemoglobin_frac", "methaemoglobin_frac", 0.005)
    o2hb = _blood(trace, "sao2_pct", drawn_s) * (100.0 - cohb - methb) / 100.0
    cohb = _tenth(cohb + COHB_SPREAD_PCT * error(_COHB), 100.0)
    methb = _tenth(methb + METHB_SPREAD_PCT * error(_METHB), 100.0 - cohb)
    o2hb = _tenth(o2hb + O2HB_SPREAD_PCT * error(_O2HB), 100.0 - cohb - methb)
    hhb = round(100.0 - cohb - methb - o2hb, 1)
    haemoglobin = patient_number(patient, "haemoglobin_g_dl", 15.0) + HAEMOGLOBIN_SPREAD_G_DL * error(
        _HAEMOGLOBIN
    )
    return BloodGas(
        drawn_s=drawn_s,
        ready_s=drawn_s + SECONDS_PER_MINUTE * turnaround_min,
        ph=ph,
        po2_mmhg=po2,
        pco2_mmhg=pco2,
        bicarbonate_mmol_l=round(bicarbonate_mmol_l(pco2, ph), 1),
        base_excess_mmol_l=round(standard_base_excess_mmol_l(pco2, ph), 1),
        haemoglobin_g_dl=round(haemoglobin, 1),
        o2hb_pct=o2hb,
        cohb_pct=cohb,
        methb_pct=methb,
        hhb_pct=hhb,
        saturation_pct=round(100.0 * o2hb / max(0.1, o2hb + hhb), 1),
    )


def _blood(trace: Trace, name: str, at_s: float) -> float:
    value = number_at(trace, name, at_s)
    if value is None:
        raise NothingToReadError(
            f"No blood gas can be drawn: the recording does not hold {name} at {at_s:g} s."
        )
    return value


def _pressure(true_mmhg: float, spread_frac: float, error: float) -> float:
    return round(max(0.1, true_mmhg + max(LEAST_SPREAD_MMHG, spread_frac * true_mmhg) * error), 1)


def _tenth(value_pct: float, most_pct: float) -> float:
    return round(max(0.0, min(most_pct, value_pct)), 1)


def _share(
    trace: Trace, at_s: float, patient: Numbers, column: str, field: str, otherwise_frac: float
) -> float:
    value = number_at(trace, column, at_s)
    return patient_number(patient, field, otherwise_frac) if value is None else value
