"""How a case is checked off and talked over: a procedure, criteria of its own, the decision, the debrief."""

from pathlib import Path
from typing import Annotated, ClassVar, Literal

from pydantic import Field, PrivateAttr

from tidalbay.case.criteria import Criterion, Share
from tidalbay.case.fields import Unit
from tidalbay.case.part import Id, Line, Ms, Part, Text


class Decision(Part):
    """When an attempt is enough. A school sets its own; what stands here is usual, no source."""

    noun: ClassVar[str] = "decision"

    cut: Share = 0.7
    """The share of points that is enough."""
    every_must: bool = True
    """Whether each must has to be met, whatever the points."""
    global_at_least: Annotated[int, Field(ge=1, le=4), Unit("1")] = 2
    """The least global rating: 1 unsafe, 2 borderline, 3 competent, 4 very good."""
    prompted: Literal["counts", "counts_half", "does_not_count"] = "counts_half"
    """What a step that was done after a prompt is worth; a must is met by it where it counts at all."""
    near: Share = 0.05
    """Closer to the cut than this, a second person looks."""
    attempts: Annotated[int, Field(ge=1, le=20), Unit("1")] = 3
    """How many attempts at an assessment a learner has; void ones and those stopped kindly do not count."""
    after_last: Line = "Practise what was missed for an hour at least, and come again on another day."
    """What is said when the last of them was not enough. Published rules of schools ask for this much."""


class CheckOff(Part):
    """What the record and the checker look for."""

    noun: ClassVar[str] = "check-off"

    procedure: Id | None = None
    """A procedure of the library, whose steps come first."""
    urgent: bool = False
    """Whether its urgent variant is meant: oxygen first, identity, order and history after."""
    without: tuple[Id, ...] = ()
    """Steps of the procedure that this case leaves out."""
    criteria: tuple[Criterion, ...] = ()
    """Criteria of this case; one with the id of a step stands in its place."""
    decision: Decision = Field(default_factory=Decision)
    """When it is enough."""

    _school: Path | None = PrivateAttr(default=None)

    @property
    def school(self) -> Path | None:
        """The folder in which a school keeps its own procedures; None for the packaged ones alone."""
        return self._school

    def of_school(self, folder: Path | None) -> "CheckOff":
        """Return the check-off with the procedures of a school's folder."""
        known = self.model_copy()
        known._school = folder
        return known


class Caption(Part):
    """A sentence shown while a recording plays."""

    noun: ClassVar[str] = "caption"

    at_ms: Ms = Field(alias="at")
    """When."""
    path: Id | None = None
    """On which path; on every one if not said."""
    say: Line
    """What it says."""


class Debrief(Part):
    """What is asked and shown afterwards."""

    noun: ClassVar[str] = "debrief"

    questions: tuple[Line, ...] = ()
    """Questions to begin with, without a verdict in them."""
    captions: tuple[Caption, ...] = ()
    """Sentences for a recording that is played."""


class Urgent(Part):
    """How a procedure goes when oxygen cannot wait."""

    noun: ClassVar[str] = "urgent variant"

    without: tuple[Id, ...] = ()
    """Steps that fall away."""
    steps: tuple[Criterion, ...] = ()
    """Steps that come, or stand in the place of the one of their id."""


class Procedure(Part):
    """A skill as steps that others may take over."""

    noun: ClassVar[str] = "procedure"

    id: Id
    """What it is called by programs."""
    title: Line
    """What it is called by people."""
    version: Annotated[int, Field(ge=1, le=10_000), Unit("1")]
    """Which edition; a stored attempt keeps the text it was judged by."""
    about: Text | None = None
    """When it is meant."""
    includes: tuple[Id, ...] = ()
    """Procedures whose steps come first."""
    without: tuple[Id, ...] = ()
    """Of those, steps that this skill does not have."""
    steps: tuple[Criterion, ...] = ()
    """Its own steps, in the order in which they are listed; the order of doing is what each step says."""
    urgent: Urgent = Field(default_factory=Urgent)
    """When oxygen cannot wait."""
