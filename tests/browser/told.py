"""What a station tells whoever leads it, read as a page reads it."""

from typing import Any

_HELLO = """async (station) => {
  const socket = new WebSocket(`ws://${location.host}/live/${station}?after=0&screen=reader`);
  const said = await new Promise((done) => { socket.onmessage = (event) => done(JSON.parse(event.data)); });
  socket.close();
  return said; }"""
_OF_THE_CLOCK = ("attempt_started", "resumed", "paused")


class Told:
    """The log of a station, by an instructor's page of its own."""

    def __init__(self, screen: Any, station: str) -> None:
        self._page = screen("instructor", station, path="/reach")
        self._station = station

    def entries(self) -> list[dict[str, Any]]:
        """Every entry but those of the clock, as they stand now."""
        said = self._page.evaluate(_HELLO, self._station)
        return [entry for entry in said["entries"] if entry["act"] not in _OF_THE_CLOCK]

    def acts(self) -> list[str]:
        """The words of the acts, in their order."""
        return [entry["act"] for entry in self.entries()]

    def now(self) -> dict[str, Any]:
        """The newest breath as the instructor is told of it, the truth with it."""
        return self._page.evaluate(_HELLO, self._station)["breath"]
