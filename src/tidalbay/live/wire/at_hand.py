"""What the instructor can make go wrong here and now, by the parts that are there."""

from typing import Any

from tidalbay.attempt import Attempt
from tidalbay.catalogue.causes import causes
from tidalbay.catalogue.lab_faults import LabFault, lab_faults
from tidalbay.equipment import ActRefused, Equipment


def every_fault() -> list[dict[str, Any]]:
    """The catalogue's faults as pages list them: thrown by one act `cause_thrown` for each cause.

    Returns
    -------
    list of dict
        `id`, `title`, `cue`, `answer`, `throws`: a list of `cause` and perhaps `value`.
    """
    return [
        {
            "id": fault.id,
            "title": fault.title,
            "cue": fault.cue,
            "answer": fault.answer,
            "throws": [
                {"cause": cause} if value is None else {"cause": cause, "value": value}
                for cause, value in fault.throws
            ],
        }
        for fault in lab_faults().values()
    ]


def faults_at_hand(attempt: Attempt) -> dict[str, list[str]]:
    """Faults that would change something now, each with the parts it could strike.

    Returns
    -------
    dict
        Names of parts by fault; no name where none is to be said.
    """
    equipment = attempt.equipment
    at_hand: dict[str, list[str]] = {}
    for fault in lab_faults().values():
        if fault.only_if and not getattr(attempt.body.now, fault.only_if, 0.0) > 0.0:
            continue
        on = [part for part in _parts(equipment, fault.on) if _strikes(equipment, fault, part)]
        if on or (not fault.on and _strikes(equipment, fault, None)):
            at_hand[fault.id] = on
    return at_hand


def _parts(equipment: Equipment, sorts: tuple[str, ...]) -> list[str]:
    """Names of the parts of these sorts; where a tube can be struck, its device need not be named."""
    of_sort = {
        "outlet": [part.id for part in equipment.outlets()],
        "cylinder": [part.id for part in equipment.cylinders()],
        "concentrator": [part.id for part in equipment.concentrators()],
        "flowmeter": [part.id for part in equipment.flowmeters],
        "tube": [part.id for part in equipment.tubes],
        "device": [] if "tube" in sorts else [part.id for part in equipment.devices],
    }
    return [name for sort in sorts for name in of_sort[sort]]


def _strikes(equipment: Equipment, fault: LabFault, on: str | None) -> bool:
    """Whether every cause finds what it strikes, and changes something."""
    for name, value in fault.throws:
        if causes()[name].strikes == "patient":
            continue
        try:
            if equipment.with_fault(name, on, True if value is None else value) == equipment:
                return False
        except ActRefused:
            return False
    return True
