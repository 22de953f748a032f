"""Messages as they travel: written once for all screens of a role, not once for each."""

import json
from collections import OrderedDict
from typing import Any, Final

# Messages that read the same for everybody of a role, whatever they saw before.
ALIKE: Final = frozenset({"breath", "beat", "clock", "station", "notice"})
KEPT: Final = 512


class Texts:
    """The last messages of every station as text, by station, role and number."""

    def __init__(self) -> None:
        """Begin with none."""
        self._texts: OrderedDict[tuple[str, str, int, str], str] = OrderedDict()

    def text(self, station: str, role: str, message: dict[str, Any]) -> str:
        """Return a message as one line of JSON."""
        if message["kind"] not in ALIKE:
            return _written(message)
        key = (station, role, message["seq"], message["kind"])
        text = self._texts.get(key)
        if text is None:
            text = self._texts[key] = _written(message)
            if len(self._texts) > KEPT:
                self._texts.popitem(last=False)
        return text


def _written(message: dict[str, Any]) -> str:
    return json.dumps(message, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
