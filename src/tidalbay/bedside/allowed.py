"""Who may see what: the one allow-list, by role and mode. What is not on it does not pass.

Names are those of readings as they travel. A name that begins with `*_` stands for that ending after the name
of any object: `*_gauge_psi` allows `cylinder_gauge_psi`.
"""

import re
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any, Final

from tidalbay.catalogue.findings import finding_ladders
from tidalbay.trace import MODES

ROLES: Final = ("learner", "checker", "instructor", "projector")

# What eyes at the bedside see, whoever they are and whatever the mode: what the drawing needs, and the
# display.
SEEN: Final = frozenset(
    {
        "t_s",
        "wearing",
        "chest_ml",
        "breath_start_s",
        "breath_duration_s",
        "breath_inspiratory_s",
        "bag_full_pct",
        "spo2_shown_pct",
        "pulse_shown_per_min",
        "oximeter_signal",
        "oximeter_last_pct",
        "oximeter_age_s",
        "oximeter_words",
        "*_float_frac",
        "*_gauge_psi",
        "*_gauge_bar",
    }
)

# What is measured or asked for, and then known to those who did it. The learner's own counts stand apart.
MEASURED: Final = frozenset(
    {
        "felt_pulse_per_min",
        "felt_pulse_seconds",
        "felt_pulse_age_s",
        "measured_temperature_degc",
        "measured_temperature_age_s",
        "measured_systolic_mmhg",
        "measured_diastolic_mmhg",
        "blood_pressure_age_s",
        "end_tidal_co2_shown_mmhg",
        "capnogram",
        "capnogram_start_s",
        "capnogram_words",
        "gas_drawn_s",
        "gas_due_in_s",
        "gas_age_s",
        "gas_ph",
        "gas_po2_mmhg",
        "gas_pco2_mmhg",
        "gas_bicarbonate_mmol_l",
        "gas_base_excess_mmol_l",
        "gas_haemoglobin_g_dl",
        "gas_o2hb_pct",
        "gas_cohb_pct",
        "gas_methb_pct",
        "gas_hhb_pct",
        "gas_saturation_pct",
        "gas_words",
    }
)

# What does the learner's work for them; nothing of it while they are assessed: they read the float, count the
# breaths, remember the order and work out the score.
IN_PRINT: Final = frozenset(
    {
        "counted_rate_per_min",
        "counted_rate_seconds",
        "counted_rate_age_s",
        "*_shown_lpm",
        "order_text",
        "act_flags",
        "early_warning_score",
        "early_warning_scale",
        "early_warning_single_three",
        "early_warning_parts",
        "early_warning_response",
        "early_warning_words",
        "early_warning_credit",
    }
)

# Where each millilitre of the breath came from: the demonstration's cut-open view, on the projector and
# nowhere else.
CUT_OPEN: Final = frozenset(
    {
        "fio2_frac",
        "inspired_ml",
        "supplied_ml",
        "nose_and_throat_ml",
        "mask_ml",
        "bag_ml",
        "room_ml",
        "expired_ml",
    }
)

# What no nurse at a bedside can see.
HIDDEN: Final = CUT_OPEN | frozenset(
    {
        "sao2_pct",
        "pao2_mmhg",
        "paco2_mmhg",
        "ph",
        "end_tidal_o2_frac",
        "end_tidal_co2_mmhg",
        "rate_per_min",
        "tidal_ml",
        "demand_l_min",
        "heart_rate_per_min",
        "shunt_frac",
        "throat_pressure_cmh2o",
        "cohb_frac",
        "effort_index_frac",
        "fatigue_frac",
        "alertness_frac",
        "confusion_frac",
        "systolic_mmhg",
        "diastolic_mmhg",
        "temperature_degc",
        "*_flow_lpm",
    }
)

# Fields of the parts that a message is made of, by the part's name; for every role, as eyes see them.
PARTS: Final[Mapping[str, frozenset[str]]] = {
    "patient": frozenset(
        {
            "name",
            "born",
            "identity_number",
            "bed",
            "age_years",
            "sex",
            "build",
            "skin_tone",
            "hair",
            "hair_tone",
            "says",
        }
    ),
    "breath": frozenset({"n", "from_s", "lasts_s", "step_s", "air_ml", "breathing_in_s"}),
    "look": frozenset(
        {"effort", "blue", "pale", "lids", "nod_deg", "mouth", "sweat", "recline_deg", "posture", "speaks"}
    ),
    "findings": frozenset({"what", "words", "since_s", "at_s"}),
    "inspected": frozenset({"site", "words", "stage", "at_s"}),
    "supplies": frozenset(
        {
            "id",
            "kind",
            "gas_name",
            "size",
            "gauge_frac",
            "gauge_psi",
            "gauge_bar",
            "valve_open",
            "secured",
            "regulator",
            "switched_on",
            "alarms",
            "hisses",
        }
    ),
    "flowmeters": frozenset(
        {
            "id",
            "supply",
            "style",
            "max_lpm",
            "float_frac",
            "set_frac",
            "flush",
            "humidified",
            "water",
            "bubbling",
            "whistles",
            "hisses",
        }
    ),
    "tubes": frozenset({"id", "from", "to", "kinked", "wet_frac", "gurgles", "hisses"}),
    "devices": frozenset(
        {
            "id",
            "kind",
            "worn",
            "snug",
            "prongs",
            "clip_pinched",
            "port_discs",
            "bag_valve",
            "bag_twisted",
            "entrainment_pct",
            "ports_covered_frac",
            "oxygen_share_pct",
            "misting",
            "sputtering",
            "joined_to",
            "joined_kind",
            "joined_worn",
            "cup_in_line",
            "cup_ml",
            "tilt_deg",
            "squeezed",
            "padded",
            "hisses",
        }
    ),
    "probe": frozenset({"site"}),
    "sampling_line": frozenset({"site"}),
    "entries": frozenset(
        {
            "n",
            "t_ms",
            "act",
            "button",
            "sentence",
            "by",
            "hands",
            "manner",
            "on",
            "taken_back",
            "seen_at_ms",
        }
    ),
}
ORDER: Final = frozenset({"text", "device", "flow_lpm", "entrainment_pct", "target_spo2_pct", "review"})
# Who may see what was judged, and of each kind of mark which values travel.
JUDGES: Final = frozenset({"checker", "instructor"})
# Who is told what the record says while an attempt goes on; a learner opens the debrief when it is over.
LIVE_VERDICTS: Final[Mapping[str, frozenset[str]]] = dict.fromkeys(MODES, JUDGES)
MARK_VALUES: Final[Mapping[str, frozenset[str]]] = {
    "step_state": frozenset({"state", "from_paper", "at_s"}),
    "note": frozenset({"text", "from_paper", "at_s"}),
    "global_rating": frozenset({"rating", "from_paper"}),
    "which_first": frozenset({"first", "second"}),
    "overrule": frozenset({"verdict", "reason"}),
}
# Entries that would tell a learner what the instructor has done to them.
BEHIND_THE_SCENES: Final = frozenset({"event_thrown", "cause_thrown"})

_OBJECT: Final = re.compile(r"[a-z][a-z0-9_]*")


@cache
def allowed(role: str, mode: str) -> frozenset[str]:
    """Names that may pass to a role in a mode.

    Parameters
    ----------
    role : str
        One of `ROLES`.
    mode : str
        demonstration, practice, formative or summative.

    Raises
    ------
    ValueError
        For a role or mode that does not exist.
    """
    if role not in ROLES:
        raise ValueError(f"There is no role {role!r}; roles are {', '.join(ROLES)}.")
    if mode not in MODES:
        raise ValueError(f"There is no mode {mode!r}; modes are {', '.join(MODES)}.")
    names = SEEN | MEASURED | finding_names()
    if role in ("instructor", "checker") or mode != "summative":
        names |= IN_PRINT
    if role == "projector" and mode == "demonstration":
        names |= CUT_OPEN
    return names | HIDDEN if role == "instructor" else names


def finding_names() -> frozenset[str]:
    """Names of the findings as they travel."""
    return frozenset(f"finding_{what}{ending}" for what in finding_ladders() for ending in ("", "_since_s"))


def shown_to(role: str, mode: str, readings: Mapping[str, Any]) -> dict[str, Any]:
    """Of some readings, those that may pass, with unknown numbers as None.

    Parameters
    ----------
    role, mode : str
        As for `allowed`.
    readings : mapping
        Plain values by name: numbers, words, yes or no, None, and lists of these.

    Raises
    ------
    ValueError
        For a role or mode that does not exist, and for an allowed name whose value could hold others.
    """
    names = allowed(role, mode)
    return {name: _plain(name, value) for name, value in readings.items() if _passes(name, names)}


def may_see_verdicts(role: str, mode: str) -> bool:
    """Whether a role is told verdicts while an attempt in this mode goes on."""
    return role in LIVE_VERDICTS.get(mode, frozenset())


def mark_shown(kind: str, values: Mapping[str, Any]) -> dict[str, Any]:
    """Of a mark's values those that may pass to whoever judges."""
    return {name: _plain(name, value) for name, value in values.items() if name in MARK_VALUES[kind]}


def part_shown(part: str, said: Mapping[str, Any]) -> dict[str, Any]:
    """Of one part of a message, the fields that may pass to anybody.

    Parameters
    ----------
    part : str
        One of `PARTS`.
    said : mapping
        Plain values by field.

    Raises
    ------
    ValueError
        For a part that is not listed, and for a value that could hold other readings.
    """
    if part not in PARTS:
        raise ValueError(f"There is no list for {part!r}; parts of a message are {', '.join(PARTS)}.")
    return {name: _plain(f"{part}.{name}", value) for name, value in said.items() if name in PARTS[part]}


def parts_shown(part: str, rows: Iterable[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """The same for each of several parts of one name."""
    return [part_shown(part, row) for row in rows]


def order_shown(role: str, mode: str, order: Mapping[str, Any] | None) -> dict[str, Any] | None:
    """The order, where its text may pass to this role in this mode; None otherwise."""
    if order is None or "order_text" not in allowed(role, mode):
        return None
    return {name: _plain(f"order.{name}", value) for name, value in order.items() if name in ORDER}


def entry_passes(role: str, mode: str, act: str) -> bool:
    """Whether a role may know, in this mode, that an act of this kind stands in the log."""
    if role in ("instructor", "checker"):
        return True
    return "act_flags" in allowed(role, mode) and act not in BEHIND_THE_SCENES


def truth_passes(role: str) -> bool:
    """Whether a role may receive what no nurse at a bedside can see."""
    return role == "instructor"


def _passes(name: str, names: frozenset[str]) -> bool:
    if name in names:
        return not name.startswith("*")
    # The name of an object never turns a hidden reading into a shown one.
    if name in HIDDEN or not _OBJECT.fullmatch(name):
        return False
    return any(entry.startswith("*_") and name.endswith(entry[1:]) for entry in names)


def _plain(name: str, value: Any) -> Any:
    if value is None or isinstance(value, bool | str | int):
        return value
    if isinstance(value, float):
        return None if value != value else value
    if isinstance(value, list | tuple):
        return [_plain(name, item) for item in value]
    raise ValueError(
        f"{name} holds a {type(value).__name__}, which may hide other readings; "
        "pass a number, a word, yes or no, or a list of them."
    )
