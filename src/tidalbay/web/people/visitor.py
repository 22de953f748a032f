"""Who stands before a screen: a role, the one station it is bound to, and nothing of a name."""

from dataclasses import dataclass
from typing import Final

NOBODY: Final = "nobody"


@dataclass(frozen=True)
class Visitor:
    """Somebody whose request has come in.

    Parameters
    ----------
    role : str
        learner, checker, projector, instructor, or nobody.
    id : str
        Opaque; what the log says under `by` and `rater`.
    station : str or None
        The only station this visitor may see; None for an instructor (all) and for nobody (none).
    may_sign_out : bool
        Whether there is a session to end.
    """

    role: str = NOBODY
    id: str = ""
    station: str | None = None
    may_sign_out: bool = False

    def may_see(self, station: str) -> bool:
        """Whether a station's screens are open to this visitor."""
        return self.role == "instructor" or (self.role != NOBODY and self.station == station)
