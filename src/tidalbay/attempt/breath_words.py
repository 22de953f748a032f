"""One settled breath in words and whole millilitres, for every page that shows one."""

from collections.abc import Mapping, Sequence
from typing import Final

from tidalbay.attempt.breath import Breath

NO_DEVICE: Final = "none"

# Each origin of gas: its words, and which of the three gases it is. The supply may be air.
ORIGINS: Final[Mapping[str, tuple[str, str]]] = {
    "supplied": ("supply, as it flowed", "supplied"),
    "nose_and_throat": ("waiting in nose, throat", "supplied"),
    "mask": ("waiting in the mask", "supplied"),
    "bag": ("from the bag", "supplied"),
    "room": ("room air", "room"),
    "expired": ("own breath, again", "expired"),
}
FLAT_ML: Final = 10.0  # a bag that holds no more hangs limp


def whole_ml(amounts_ml: Sequence[float]) -> list[int]:
    """Round amounts to whole millilitres so that they add up to the rounded whole."""
    down = [int(ml) for ml in amounts_ml]
    missing = round(sum(amounts_ml)) - sum(down)
    by_rest = sorted(range(len(down)), key=lambda i: down[i] - amounts_ml[i])
    for i in by_rest[: max(0, missing)]:
        down[i] += 1
    return down


def why(breath: Breath, device: str, flow_lpm: float) -> str:
    """Say in a sentence or two why the breath holds what it holds."""
    ledger = breath.ledger_ml
    if device == NO_DEVICE:
        return (
            f"Nothing is added: the breath is room air, and {ledger['expired']:.0f} mL of the breath before, "
            "which still stood in nose and throat."
        )
    if flow_lpm == 0:
        return "No gas flows: the device only adds room in which the last breath waits to be breathed again."
    peak = breath.peak_inspiratory_flow_lpm
    first = f"The breath in is drawn at up to {peak:.0f} L/min, and {flow_lpm:g} L/min of gas is supplied"
    if ledger["room"] < 0.02 * breath.inspired_ml:
        first += ", which leaves almost no place for room air."
    else:
        first += f", so {ledger['room']:.0f} of {breath.inspired_ml:.0f} mL are drawn from the room."
    sentences = [first]
    waited = ledger["nose_and_throat"] + ledger["mask"] + ledger["bag"]
    if waited >= 1.0:
        sentences.append(f"{waited:.0f} mL of supplied gas had gathered before the breath began.")
    if breath.bag_min_ml is not None:
        least = f"The bag keeps at least {breath.bag_min_ml:.0f} mL."
        sentences.append("The bag is sucked flat." if breath.bag_min_ml < FLAT_ML else least)
    return " ".join(sentences)
