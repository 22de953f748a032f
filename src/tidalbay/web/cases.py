"""The shelf of cases: each is read when somebody first asks for it."""

from collections.abc import Iterator, Mapping
from pathlib import Path

from tidalbay.ask import demonstrations
from tidalbay.case import Case, load_case


class CaseShelf(Mapping[str, Case]):
    """Packaged cases by id. Reading one raises `CaseErrors` with every error of its file."""

    def __init__(self, paths: Mapping[str, Path] | None = None, school: Path | None = None) -> None:
        """Begin with the packaged demonstrations, or with the files given; and a school's own procedures."""
        self._school = school
        self._paths = dict(demonstrations() if paths is None else paths)
        self._read: dict[str, Case] = {}

    def __getitem__(self, id: str) -> Case:
        """Return a case; KeyError where the shelf has none of that id."""
        if id not in self._read:
            self._read[id] = load_case(self._paths[id], self._school)
        return self._read[id]

    def __iter__(self) -> Iterator[str]:
        """Ids, in order."""
        return iter(self._paths)

    def __len__(self) -> int:
        """How many there are."""
        return len(self._paths)
