"""A case as a teacher writes it: patient, order, set-up, what happens, and runs to play.

YAML text comes in, from a file or a string, and the catalogue says which words it may use.  What goes out
is a frozen case, its resolved form for a recording, and the schema for editors; or else every error of the
file at once, each with its line, what is wrong, what is allowed and what to write.
"""

from tidalbay.case.forms import FIRST_FORM, Believed, ParallelForm, form_words
from tidalbay.case.in_form import in_form
from tidalbay.case.model import (
    ActPattern,
    After,
    Case,
    Condition,
    DeviceSet,
    Event,
    FlowmeterSet,
    Order,
    PatientSaid,
    ScriptedAct,
    Setup,
    Supply,
)
from tidalbay.case.page import case_page
from tidalbay.case.problem import CaseErrors, CaseProblem, problem_page
from tidalbay.case.reading import load_acts, load_case, read_acts, read_case, said_at, scripted_act
from tidalbay.case.resolving import acts_plain, case_sha256, case_title, plain_setup, resolve
from tidalbay.case.schema import case_schema

__all__ = [
    "FIRST_FORM",
    "ActPattern",
    "After",
    "Believed",
    "Case",
    "CaseErrors",
    "CaseProblem",
    "Condition",
    "DeviceSet",
    "Event",
    "FlowmeterSet",
    "Order",
    "ParallelForm",
    "PatientSaid",
    "ScriptedAct",
    "Setup",
    "Supply",
    "acts_plain",
    "case_page",
    "case_schema",
    "case_sha256",
    "case_title",
    "form_words",
    "in_form",
    "load_acts",
    "load_case",
    "plain_setup",
    "problem_page",
    "read_acts",
    "read_case",
    "resolve",
    "said_at",
    "scripted_act",
]
