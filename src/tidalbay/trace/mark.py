"""One mark of the log: what somebody judged. A mark has a rater and never touches the world."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from tidalbay.trace.entry import EntryError, Key, as_key, check_id, check_number_and_time, frozen_values
from tidalbay.trace.values import Values

# Kinds of mark, and the version in which each is written today.
MARK_VERSIONS: Final[Mapping[str, int]] = {
    "step_state": 1,  # done, said only, prompted, missed, not seen: of one criterion
    "note": 1,
    "global_rating": 1,
    "overrule": 1,  # stands beside the record's verdict, with a reason
    "which_first": 1,  # the answer to "which came first?"
}


@dataclass(frozen=True, kw_only=True)
class Mark:
    """What a rater judged: numbered and timed like an act, and kept in the same log.

    Parameters
    ----------
    n, t_ms : int
        Number in the log, and the attempt's clock when the mark was received. [ms]
    kind : str
        One of `MARK_VERSIONS`.
    rater : str
        Who judged; an opaque id.
    about : str or None
        The criterion the mark is about, where it is about one.
    key, v, values
        As in an entry.
    """

    n: int
    t_ms: int
    kind: str
    rater: str
    about: str | None = None
    key: Key | None = None
    v: int = 1
    values: Mapping[str, Any] = field(default_factory=Values)

    def __post_init__(self) -> None:
        """Refuse an impossible envelope, and freeze the values."""
        check_number_and_time(self.n, self.t_ms, self.v, self.kind)
        if self.kind not in MARK_VERSIONS:
            raise EntryError(
                f"entry {self.n}: {self.kind} is not a kind of mark; marks are {', '.join(MARK_VERSIONS)}."
            )
        check_id("rater", self.rater, self.n)
        if self.about is not None:
            check_id("about", self.about, self.n)
        if self.key is not None:
            object.__setattr__(self, "key", as_key(self.key, self.n))
        object.__setattr__(self, "values", frozen_values(self.values, self.n))
