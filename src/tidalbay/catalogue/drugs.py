"""Nebulised drugs: what each does, what can be poured into a cup, and what may share one."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cache

from tidalbay.catalogue.fault import Fault, choice_fault, number_fault, said
from tidalbay.catalogue.figure import Figure, figures_from_rows
from tidalbay.catalogue.yaml_rows import mapping

_ACTION = frozenset(
    {
        "half_effect_mg",
        "most_relief_frac",
        "onset_s",
        "airway_half_time_s",
        "most_heart_rate_per_min",
        "half_heart_rate_mg",
        "heart_onset_s",
        "body_half_time_s",
        "swallowed_counts_frac",
        "most_release_frac",
        "half_release_mg",
        "vessel_half_time_s",
    }
)
_DOSE = frozenset({"usual_least_mg", "usual_most_mg", "child_most_mg", "strongest_mg_ml"})
MOST_DOSE_MG = 100.0  # above it a slip of the finger rather than an overdose
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Drug:
    """One drug and what it does.

    Attributes
    ----------
    id, words : str
        Its name in files, and in a sentence.
    also : tuple of str
        Other names of the same drug.
    figures : mapping of str to Figure
    """

    id: str
    words: str
    also: tuple[str, ...]
    figures: Mapping[str, Figure]

    @property
    def numbers(self) -> dict[str, float]:
        """Every figure's value by name, as the equations read them."""
        return {name: figure.value for name, figure in self.figures.items()}


@dataclass(frozen=True, slots=True)
class Preparation:
    """What is poured into a cup under one name.

    Attributes
    ----------
    id, words : str
        Its name in files, and in a sentence.
    parts : mapping of drug id to float
        Milligrams of each drug per milligram of the dose that is said; empty for saline.
    figures : mapping of str to Figure
        Usual doses and the strongest solution. [mg, mg/mL]
    note : str
        A sentence for whoever loads it.
    """

    id: str
    words: str
    parts: Mapping[str, float]
    figures: Mapping[str, Figure]
    note: str

    def value(self, name: str) -> float:
        """The value of one figure; its unit is in the name."""
        return self.figures[name].value

    def parts_mg(self, dose_mg: float) -> dict[str, float]:
        """Milligrams of each drug in a dose."""
        return {drug: share * dose_mg for drug, share in self.parts.items()}


@cache
def drugs() -> Mapping[str, Drug]:
    """Every drug by id."""
    return {
        row["id"]: Drug(
            row["id"],
            row["words"],
            tuple(row["also"]),
            _whole(row["figures"], _ACTION, f"drugs.yaml, {row['id']}"),
        )
        for row in mapping("drugs.yaml")["drugs"]
    }


@cache
def preparations() -> Mapping[str, Preparation]:
    """Everything that can be poured into a cup, by id."""
    found = {}
    for row in mapping("drugs.yaml")["preparations"]:
        where = f"drugs.yaml, {row['id']}"
        for drug in row["parts"]:
            if drug not in drugs():
                raise ValueError(f"{where}: part {drug} is no drug; write one of {', '.join(drugs())}.")
        parts = {drug: float(share) for drug, share in row["parts"].items()}
        figures = _whole(row["figures"], _DOSE, where)
        found[row["id"]] = Preparation(row["id"], row["words"], parts, figures, row["note"])
    return found


@cache
def mixtures() -> tuple[frozenset[str], ...]:
    """Sets of drugs that may share a cup."""
    return tuple(frozenset(row) for row in mapping("drugs.yaml")["mixtures"])


def _whole(row: Mapping[str, object], known: frozenset[str], where: str) -> Mapping[str, Figure]:
    figures = figures_from_rows(row, known, where)
    missing = sorted(known - set(figures))
    if missing:
        raise ValueError(f"{where}: lacks {', '.join(missing)}; write them all, 0 where there is no effect.")
    return figures


def loading_fault(
    drug: str, dose_mg: object, volume_ml: object, in_cup: Collection[str], held_ml: float, holds_ml: float
) -> Fault | None:
    """What is wrong with pouring this into that cup, or None.

    Parameters
    ----------
    drug : str
        Id of a preparation.
    dose_mg, volume_ml : what was said. [mg, mL]
    in_cup : collection of drug ids that are in the cup already
    held_ml, holds_ml : float, liquid in the cup, and what it can hold. [mL]

    Notes
    -----
    An overdose is no fault: hands can do it, and it has its consequences (`loading_remarks`).
    """
    known = preparations()
    if drug not in known:
        return choice_fault("drug", drug, known)
    poured = known[drug]
    numbers = number_fault("volume_ml", volume_ml, 0, holds_ml, "mL") or number_fault(
        "dose_mg", dose_mg, 0, MOST_DOSE_MG, "mg"
    )
    if numbers:
        return numbers
    dose, volume = float(dose_mg), float(volume_ml)  # type: ignore[arg-type]  # both are numbers by now
    return (
        _amount_fault(poured, dose, volume)
        or _room_fault(volume, held_ml, holds_ml)
        or _mixture_fault(poured, in_cup)
    )


def _amount_fault(poured: Preparation, dose_mg: float, volume_ml: float) -> Fault | None:
    if volume_ml == 0.0:
        what = f"{said(dose_mg)} mg of {poured.words} in no liquid" if dose_mg > 0.0 else "Nothing was poured"
        return Fault("volume_ml", f"{what}: volume_ml is 0", "more than 0 mL")
    if not poured.parts:
        return Fault("dose_mg", f"There is no drug in {poured.words}", "0 mg") if dose_mg > 0.0 else None
    if dose_mg == 0.0:
        what = f"0 mg of {poured.words} is no dose"
        return Fault("dose_mg", what, "more than 0 mg", "for no drug, write saline")
    strongest_mg_ml = poured.value("strongest_mg_ml")
    least_ml = dose_mg / strongest_mg_ml
    if volume_ml >= least_ml - _ROUNDING:
        return None
    return Fault(
        "volume_ml",
        f"{said(dose_mg)} mg of {poured.words} do not fit into {said(volume_ml)} mL; "
        f"its strongest solution has {said(strongest_mg_ml)} mg/mL",
        f"{said(round(least_ml, 2))} mL or more",
    )


def _room_fault(volume_ml: float, held_ml: float, holds_ml: float) -> Fault | None:
    if held_ml + volume_ml <= holds_ml + _ROUNDING:
        return None
    return Fault(
        "volume_ml",
        f"The cup holds {said(holds_ml)} mL and {said(round(held_ml, 1))} mL are in it already",
        f"0 to {said(round(max(0.0, holds_ml - held_ml), 1))} mL",
    )


def _mixture_fault(poured: Preparation, in_cup: Collection[str]) -> Fault | None:
    together = frozenset(in_cup) | frozenset(poured.parts)
    if len(together) < 2 or together in mixtures():
        return None
    *others, last = sorted(drugs()[drug].words for drug in together)
    pairs = "; ".join(" with ".join(sorted(drugs()[drug].words for drug in pair)) for pair in mixtures())
    return Fault(
        "drug",
        f"{', '.join(others).capitalize()} and {last} are not known to go together in one cup",
        pairs,
        "give one after the other, and ask a pharmacist",
    )


def loading_remarks(
    drug: str, dose_mg: float, volume_ml: float, held_ml: float, least_fill_ml: float
) -> tuple[str, ...]:
    """What is unusual about a loading that is possible, in sentences for an instructor; often none.

    Parameters
    ----------
    drug : str
        Id of a preparation.
    dose_mg, volume_ml : float, poured now. [mg, mL]
    held_ml : float, in the cup before. [mL]
    least_fill_ml : float, below which most of the drug stays behind. [mL]
    """
    poured = preparations()[drug]
    least, most = poured.value("usual_least_mg"), poured.value("usual_most_mg")
    usual = (
        f"than the usual {said(least) if least == most else f'{said(least)} to {said(most)}'} mg for an adult"
    )
    remarks = []
    if dose_mg > most:
        remarks.append(f"{said(dose_mg)} mg of {poured.words} is more {usual}.")
    if 0.0 < dose_mg < least:
        remarks.append(f"{said(dose_mg)} mg of {poured.words} is less {usual}.")
    if held_ml + volume_ml < least_fill_ml:
        remarks.append(
            f"With {said(round(held_ml + volume_ml, 2))} mL in the cup most of the drug stays in it; "
            f"{said(least_fill_ml)} mL or more leave less behind."
        )
    return tuple(remarks)
