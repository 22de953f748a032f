"""The tables that pages print from the code: columns of a trace, constants, figures of the catalogue."""

import ast
import re
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

import tidalbay
from tidalbay.catalogue.devices import device_kinds
from tidalbay.catalogue.patients import presets
from tidalbay.catalogue.supplies import (
    concentrator_kinds,
    flowmeter_kinds,
    outlet_kinds,
    passages,
    regulator_kinds,
)

SOURCE = Path(tidalbay.__file__).parent

# --- columns of a trace ---------------------------------------------------------------------------

# What `about` leaves to the name, for readers of the page.
MEANINGS = {
    "t_s": "The clock: the row holds what was so at the end of this second.",
    "pao2_mmhg": "Oxygen pressure of arterial blood.",
    "paco2_mmhg": "Carbon dioxide pressure of arterial blood.",
    "ph": "Of arterial blood.",
    "end_tidal_o2_frac": "Oxygen in the last of the gas breathed out.",
    "end_tidal_co2_mmhg": "Carbon dioxide in the last of the gas breathed out.",
    "rate_per_min": "Breaths a minute, by the length of the last whole breath.",
    "tidal_ml": "Depth of the last whole breath. [mL BTPS]",
    "demand_l_min": "Ventilation that brain and carotid bodies ask for. [L/min BTPS]",
    "heart_rate_per_min": "Beats a minute.",
    "shunt_frac": "Share of the blood that passes lung without gas.",
    "cohb_frac": "Share of haemoglobin that carries carbon monoxide.",
    "effort_index_frac": "Pressure-time index of the breathing muscles.",
    "fatigue_frac": "Of the breathing muscles: 0 fresh, 1 spent.",
    "alertness_frac": "1 awake, 0 unrousable.",
    "confusion_frac": "0 clear; above 0.5 new confusion is found on asking.",
    "systolic_mmhg": "Upper blood pressure.",
    "diastolic_mmhg": "Lower blood pressure.",
    "bag_full_pct": "How full the worn reservoir bag is; empty without one.",
    "start_s": "When the breath began.",
    "duration_s": "How long it lasted.",
    "inspiratory_s": "How long it went in.",
    "inspired_ml": "Gas that passed the windpipe on the way in. [mL BTPS]",
    "throat_mean_o2_frac": "What a sampling tube behind the uvula reads, mean over the breath in.",
    "throat_peak_o2_frac": "The same, highest.",
    "inspired_co2_ml": "Carbon dioxide breathed in again. [mL BTPS]",
    "peak_inspiratory_flow_lpm": "Highest flow through the windpipe. [L/min BTPS]",
    "bag_min_ml": "Least that the reservoir bag held during the breath. [mL BTPS]",
}


def trace_columns() -> str:
    """Every column of a trace without equipment, then how those of the equipment are named."""
    trace = tidalbay.simulate(tidalbay.load_case("post-operative"), acts=[], minutes=0.1)
    of_equipment = [name for name in trace.seconds if name.endswith(("_flow_lpm", "_shown_lpm"))]
    lines = []
    for table in ("seconds", "breaths"):
        columns = getattr(trace, table)
        rows = []
        for name in columns:
            if name in of_equipment:
                continue
            column = trace.columns[name]
            meaning = _escaped(column.about or MEANINGS.get(name, ""))
            rows.append((f"`{name}`", "" if column.unit == "1" else column.unit, meaning))
        head = "A row a second" if table == "seconds" else "A row a breath"
        lines += [f"**{head}** (`trace.{table}`)", "", _table(("column", "unit", "what"), rows)]
    return "\n".join(lines).rstrip() + "\n"


# --- constants in the code ------------------------------------------------------------------------

# Where constants of the model stand, in the order of the data.  Left out are published coefficients
# (blood, gas, acid and base), which name their paper where they stand, and plain arithmetic.
FILES = (
    "catalogue/body_formulas.py",
    "attempt/body.py",
    "attempt/breath.py",
    "science/airway.py",
    "engine/airway.py",
    "science/ventilation.py",
    "science/circulation.py",
    "science/effort.py",
    "science/mind.py",
    "engine/breathing.py",
    "engine/lungs.py",
    "engine/run.py",
    "engine/kernel.py",
    "science/nebuliser_cup.py",
    "science/aerosol.py",
    "science/inhaled_drug.py",
    "engine/treatment.py",
    "science/skin.py",
    "science/mucosa.py",
    "engine/wear.py",
)

# For constants whose file says nothing beside them.
WORDS = {
    "LONGEST_BREATH_S": "assumed",
    "BRAIN_LAG_S": "central receptors, 100 to 200 s (Bellville 1979, Clement & Robbins; from memory)",
    "CAROTID_LAG_S": "carotid bodies, 10 to 20 s with 6 to 10 s of delay (same; from memory)",
    "DECLINE_LAG_S": "fall of the answer in lasting hypoxia; assumed",
    "DECLINE_FRAC": "how far it falls; assumed",
    "HEART_LAG_S": "assumed",
    "VASOCONSTRICTION_LAG_S": "assumed, between 200 and 240",
    "REST_VOLUME_LAG_S": "assumed",
    "CO2_DEAD_SPACE_FRAC": "share of a breath that meets no blood, for the choice of rate; textbook 0.3",
    "FALLING_STEPS": "sub-intervals of breathing out",
    "SETTLING_ROUNDS": "of the search for the ventilation at rest",
    "SETTLING_ROUND_S": "length of one",
    "SETTLED_RUN_S": "breathing by itself before the clock starts",
    "SETTLING_S": "before a breath counts as settled",
    "SMALLEST_UNIT_ML": "a lung unit is never divided by less",
    "NOT_SHOWN": "how an absent reading is written inside",
}


def constants() -> str:
    """Every constant of the model that is not a published coefficient, with what its file says of it."""
    rows = []
    for name in FILES:
        if (SOURCE / name).exists():
            rows += [
                (f"`{constant}`", value, _escaped(words), f"`{name}`")
                for constant, value, words in constants_of(name)
            ]
    return _table(("constant", "value", "what is said of it", "where"), rows)


def constants_of(name: str) -> list[tuple[str, str, str]]:
    """Names, values and comments of the numeric constants of one file."""
    text = (SOURCE / name).read_text(encoding="utf-8")
    lines = text.splitlines()
    found = []
    for node in ast.parse(text).body:
        target = _target(node)
        value = ast.get_source_segment(text, node.value) if target else ""  # type: ignore[attr-defined]
        if target is None or not value or not _is_number(node.value):  # type: ignore[attr-defined]
            continue
        words = _comment(lines, node.lineno - 1, node.end_lineno or node.lineno)
        names = [part.strip() for part in target.split(",")]
        words = words or "; ".join(WORDS[each] for each in names if each in WORDS)
        if not words:
            raise AssertionError(
                f"{name}: {target} does not say where it comes from. Write a comment beside it: "
                "the published source, tuned and on which data, or assumed."
            )
        if len(value) < 80:
            found.append((target, value, words))
    return found


_ALONE = re.compile(r"[A-Z_0-9, ]+ = \S+( \S+)*$")  # a constant on a line of its own


def _target(node: ast.stmt) -> str | None:
    if isinstance(node, ast.Assign) and len(node.targets) == 1:
        target = ast.unparse(node.targets[0]).strip("()")
    elif isinstance(node, ast.AnnAssign) and node.value is not None:
        target = ast.unparse(node.target)
    else:
        return None
    is_constant = target.replace(",", "").replace(" ", "").isupper() and not target.startswith("_")
    return target if is_constant else None


def _is_number(node: ast.expr) -> bool:
    """Whether an expression is made of literal numbers alone."""
    if isinstance(node, ast.Tuple):
        return all(map(_is_number, node.elts))
    if isinstance(node, ast.BinOp):
        return _is_number(node.left) and _is_number(node.right)
    if isinstance(node, ast.UnaryOp):
        return _is_number(node.operand)
    return isinstance(node, ast.Constant) and isinstance(node.value, int | float)


def _comment(lines: list[str], first: int, after: int) -> str:
    """What stands behind a constant, or else above it and its neighbours of the same paragraph."""
    beside = lines[after - 1].partition("  # ")[2]
    if beside:
        return beside
    above: list[str] = []
    for line in reversed(lines[:first]):
        if line.startswith("# ") and not line.startswith("# ---"):
            above.insert(0, line[2:])
        elif above or "  # " in line or not _ALONE.match(line):
            break
    return " ".join(above)


# --- figures of the catalogue ---------------------------------------------------------------------


def device_figures() -> str:
    """What is tuned or assumed about devices and supplies; equal figures of several share a row."""
    owners: dict[tuple[str, str, str, str], list[str]] = {}
    for owner, name, value, mark, basis in [*_of_devices(), *_of_supplies()]:
        if mark in ("tuned", "assumed"):
            owners.setdefault((name, value, mark, basis), []).append(owner)
    rows = [
        (f"`{name}`", value, mark, _escaped(basis), ", ".join(of))
        for (name, value, mark, basis), of in sorted(owners.items(), key=lambda item: item[0][0])
    ]
    return _table(("figure", "value", "mark", "basis", "of"), rows)


def _of_devices() -> Iterable[tuple[str, str, str, str, str]]:
    for kind in device_kinds().values():
        for name, figure in kind.figures.items():
            yield kind.words, name, f"{figure.value:g}", figure.mark, figure.basis
        for name in ("seal_ml_s_cmh2o", "draught_ml_s"):
            fit = getattr(kind, name)
            if fit is not None:
                value = f"{fit.loose.value:g} loose, {fit.snug.value:g} snug, {fit.tight.value:g} tight"
                yield kind.words, name, value, fit.snug.mark, fit.snug.basis


def _of_supplies() -> Iterable[tuple[str, str, str, str, str]]:
    kinds = (outlet_kinds(), regulator_kinds(), concentrator_kinds(), flowmeter_kinds(), passages())
    for part in (part for rows in kinds for part in rows.values()):
        for name, figure in part.figures.items():
            yield part.words, name, f"{figure.value:g}", figure.mark, figure.basis


def preset_figures() -> str:
    """Numbers of presets that were chosen so that the model behaves, not read anywhere."""
    rows = [
        (f"`{preset.id}`", f"`{name}`", f"{figure.value:g}", _escaped(figure.basis))
        for preset in presets().values()
        for name, figure in preset.figures.items()
        if figure.mark == "tuned"
    ]
    return _table(("preset", "number", "value", "so that"), rows)


# --- tables ---------------------------------------------------------------------------------------


def _table(head: tuple[str, ...], rows: list[tuple[str, ...]]) -> str:
    lines = ["| " + " | ".join(row) + " |" for row in (head, ("---",) * len(head), *rows)]
    return "\n".join(lines) + "\n"


def _escaped(words: str) -> str:
    return words.replace("|", "\\|")


TABLES: Mapping[str, Callable[[], str]] = {
    "columns of a trace": trace_columns,
    "constants": constants,
    "figures of devices and supplies": device_figures,
    "figures of presets": preset_figures,
}
