"""A case in one of its parallel forms: the same trouble, another patient."""

from collections.abc import Mapping
from types import MappingProxyType

from tidalbay.case.forms import FIRST_FORM
from tidalbay.case.model import Case, Setup


def in_form(case: Case, id: str) -> Case:
    """Return a case in one of its forms.

    Parameters
    ----------
    case : Case
        As it is written, which is form a.
    id : str
        The letter of a form, large or small.

    Raises
    ------
    ValueError
        With a sentence, where it has no such form.
    """
    id = id.strip().lower()
    if id == case.form:
        return case
    form = next((form for form in case.forms if form.id == id), None)
    if form is None or case.form != FIRST_FORM:
        raise ValueError(
            f"The case {case.id} has no form {id.upper()[:20]};"
            f" it has {', '.join(form.upper() for form in case.form_ids)}."
        )
    said = {name: getattr(form.patient, name) for name in ("bed", "says")}
    changed = {name: value for name, value in said.items() if value is not None}
    changed |= {name: getattr(form.patient, name) for name in ("name", "born", "identity_number")}
    changed["numbers"] = MappingProxyType({**case.patient.numbers, **form.patient.numbers})
    patient = case.patient.model_copy(update=changed)
    return case.as_form(id, patient, _with_flows(case.setup, form.flows_lpm))


def _with_flows(setup: Setup, flows_lpm: Mapping[str, float]) -> Setup:
    """Return a set-up with some flowmeters standing at other flows."""
    if not flows_lpm:
        return setup
    supplies = []
    for supply in setup.supplies:
        meter = supply.flowmeter
        name = meter and (meter.id or f"{supply.id}_flowmeter")
        if meter is not None and name in flows_lpm:
            turned = meter.model_copy(update={"flow_lpm": flows_lpm[str(name)]})
            supply = supply.model_copy(update={"flowmeter": turned})
        supplies.append(supply)
    return setup.model_copy(update={"supplies": tuple(supplies)})
