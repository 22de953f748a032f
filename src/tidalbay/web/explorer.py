"""The explorer's answers: a breath on a device, where each millilitre came from, and the same over flows."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from tidalbay.ask import breath, breath_warnings
from tidalbay.attempt import NO_DEVICE, ORIGINS, Breath, whole_ml, why
from tidalbay.catalogue.breath_ranges import SET_FLOW_LPM
from tidalbay.catalogue.devices import DeviceKind, at_the_patient, device_kinds
from tidalbay.catalogue.patients import patient_numbers, presets
from tidalbay.trace import CAUTION

# What the page's sliders reach: what people breathe, not what the model can compute. low, high, step, usual
SLIDERS: Final[Mapping[str, tuple[float, float, float, float]]] = {
    "rate_per_min": (8, 40, 1, 15),
    "tidal_ml": (200, 1000, 10, 500),
    "mouth_share": (0, 1, 0.05, 0),
    "fit": (0, 1, 0.05, 0.5),
}
CURVE_POINTS: Final = 7


class AskedWronglyError(ValueError):
    """A question that cannot be asked; the sentence says what would do."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A device, a flow and a pattern, as `tidalbay.breath` takes them."""

    device: str
    flow_lpm: float
    of_device: Mapping[str, Any]
    pattern: Mapping[str, float]
    patient: str

    @property
    def set_flow_lpm(self) -> float:
        """Flow of the set that an in-line device is fitted into; 0 for all others. [L/min]"""
        kind = device_kinds().get(self.device)
        return SET_FLOW_LPM if kind is not None and kind.joins else 0.0

    def breath(self, flow_lpm: float | None = None) -> Breath:
        """The settled breath, at this flow or another. [L/min]"""
        flow = self.flow_lpm if flow_lpm is None else flow_lpm
        more: dict[str, Any] = {**self.pattern, **self.of_device}
        return breath(self.device, flow, patient=self.patient, **more)


def asked(said: Mapping[str, str]) -> Asked:
    """Read a question from the words of an address.

    Raises
    ------
    AskedWronglyError
        With one sentence on the first thing that cannot be.
    """
    device = said.get("device", "nasal_cannula")
    if device != NO_DEVICE and device not in device_kinds():
        raise AskedWronglyError(f"There is no device {device!r}. Choose one from the page.")
    patient = said.get("patient", "healthy_adult")
    if patient not in presets():
        raise AskedWronglyError(f"There is no patient {patient!r}. Choose one from the page.")
    kind = device_kinds().get(device)
    most_lpm = kind.flowmeter_max_lpm if kind else 0.0
    flow_lpm = _number(said, "flow_lpm", 0.0, most_lpm, min(4.0, most_lpm))
    names = ("rate_per_min", "tidal_ml", "mouth_share")
    pattern = {name: _number(said, name, *SLIDERS[name][:2], SLIDERS[name][3]) for name in names}
    return Asked(device, flow_lpm, _of_device(kind, said), pattern, patient)


def answer(question: Asked, with_curve: bool = True) -> dict[str, Any]:
    """What one breath holds, as plain values for the page.

    Parameters
    ----------
    question : Asked
    with_curve : bool
        Whether the same is asked over the flows of the device; several times as much work.

    Raises
    ------
    AskedWronglyError
        Where the device cannot be set up so.
    """
    try:
        found = question.breath()
        flow = {"flow_lpm": question.flow_lpm, **question.of_device}
        warnings = [] if question.device == NO_DEVICE else breath_warnings(question.device, **flow)
    except ValueError as error:
        raise AskedWronglyError(str(error)) from None
    return {
        "device": question.device,
        "flow_lpm": question.flow_lpm,
        "fio2_pct": 100.0 * found.fio2_frac,
        "low_pct": 100.0 * found.fio2_low_frac,
        "high_pct": 100.0 * found.fio2_high_frac,
        "room_air_pct": 100.0 * found.fio2_if_room_air_frac,
        "throat_mean_pct": 100.0 * found.throat_mean_o2_frac,
        "inspired_ml": round(found.inspired_ml),
        "ledger": _ledger(found),
        "gas": _gas(found, question.patient),
        "bag_min_ml": found.bag_min_ml,
        "why": why(found, question.device, question.flow_lpm + question.set_flow_lpm),
        "warnings": warnings,
        "curve": _curve(question) if with_curve else [],
        "caution": CAUTION,
    }


def choices() -> dict[str, Any]:
    """What the page offers: devices with what each has, patients, and how far the sliders reach."""
    return {
        "devices": [_offer(kind) for kind in device_kinds().values()],
        "patients": [{"id": preset.id, "words": preset.words} for preset in presets().values()],
        "sliders": {name: list(reach) for name, reach in SLIDERS.items()},
    }


def _offer(kind: DeviceKind) -> dict[str, Any]:
    return {
        "id": kind.id,
        "words": f"{kind.words}, set at {SET_FLOW_LPM:.0f} L/min" if kind.joins else kind.words,
        "max_lpm": kind.flowmeter_max_lpm,
        "is_mask": kind.has_edge,
        "settings": {str(pct): lpm for pct, lpm in kind.entrainment_flow_lpm.items()},
        "discs": int(kind.value("port_discs")),
        "blends": at_the_patient(kind).blends_oxygen,
    }


def _of_device(kind: DeviceKind | None, said: Mapping[str, str]) -> dict[str, Any]:
    """What only some devices have; what another device had is passed over when one changes to it."""
    found: dict[str, Any] = {}
    if kind is None:
        return found
    if kind.has_edge and "fit" in said:
        found["fit"] = _number(said, "fit", 0.0, 1.0, 0.5)
    if kind.entrainment_flow_lpm and "setting_pct" in said:
        pct = int(_number(said, "setting_pct", 0, 100, 28))
        if pct in kind.entrainment_flow_lpm:
            found["setting_pct"] = pct
    if kind.value("port_discs") > 0 and "valves" in said:
        found["valves"] = int(_number(said, "valves", 0, kind.value("port_discs"), kind.value("port_discs")))
    if at_the_patient(kind).blends_oxygen and "fio2_pct" in said:
        found["fio2_set"] = _number(said, "fio2_pct", 21, 100, 40) / 100.0
    return found


def _ledger(found: Breath) -> list[dict[str, Any]]:
    amounts = whole_ml(list(found.ledger_ml.values()))
    return [
        {"origin": origin, "words": ORIGINS[origin][0], "gas": ORIGINS[origin][1], "ml": ml}
        for origin, ml in zip(found.ledger_ml, amounts, strict=True)
        if ml > 0
    ]


def _gas(found: Breath, patient: str) -> dict[str, dict[str, float]]:
    """Shares of the three gases by place, for the section: the ledger on the way in, mixed in the lungs."""
    shares = {"supplied": 0.0, "room": 0.0, "expired": 0.0}
    for origin, ml in found.ledger_ml.items():
        shares[ORIGINS[origin][1]] += ml / found.inspired_ml
    held_ml = float(patient_numbers(patient, None)["frc_ml"])
    new = found.inspired_ml / (found.inspired_ml + held_ml)
    lung = {name: new * share for name, share in shares.items()}
    lung["expired"] += 1.0 - new
    return {**dict.fromkeys(("nose", "mouth", "throat", "windpipe"), shares), "lung": lung}


def _curve(question: Asked) -> list[dict[str, float]]:
    """Inspired oxygen and its band over the flows of the device. [L/min], [%]"""
    kind = device_kinds().get(question.device)
    if kind is None:
        return []
    usual_lpm = kind.value("most_flow_lpm") or kind.flowmeter_max_lpm
    most_lpm = max(usual_lpm, question.flow_lpm)
    flows = sorted(
        {round(most_lpm * i / (CURVE_POINTS - 1), 1) for i in range(CURVE_POINTS)} | {question.flow_lpm}
    )
    points = []
    for flow_lpm in flows:
        at = question.breath(flow_lpm)
        points.append(
            {
                "flow_lpm": flow_lpm,
                "pct": 100.0 * at.fio2_frac,
                "low_pct": 100.0 * at.fio2_low_frac,
                "high_pct": 100.0 * at.fio2_high_frac,
            }
        )
    return points


def _number(said: Mapping[str, str], name: str, low: float, high: float, usual: float) -> float:
    text = said.get(name)
    if text is None or text == "":
        return usual
    try:
        value = float(text)
    except ValueError:
        raise AskedWronglyError(
            f"{name} is {text[:40]!r}, not a number. Write {low:g} to {high:g}."
        ) from None
    if not low <= value <= high:
        raise AskedWronglyError(f"{name} is {value:g}. Write {low:g} to {high:g}.")
    return value
