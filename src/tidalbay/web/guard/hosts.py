"""By which names this server may be called: its addresses and the machine's own name, nothing else.

A page of somebody else's whose name was made to point here (DNS rebinding) says its own name, and is refused.
"""

from collections.abc import Iterable


class Hosts:
    """The allowed values of `Host`; addresses are added as the server begins to listen on them."""

    def __init__(self, names: Iterable[str] = ()) -> None:
        """Begin with the names of this machine."""
        self._names: set[str] = set()
        for name in names:
            self.allow(name)

    def allow(self, name: str) -> None:
        """Add a name or an address, without port; IPv6 without brackets."""
        name = name.strip().rstrip(".").lower()
        if name:
            self._names.add(f"[{name}]" if ":" in name else name)

    def has(self, host: str) -> bool:
        """Whether a request may say this after `Host:`; the port is looked at by whoever compares origins."""
        name, _, port = host.lower().rpartition(":")
        if not name or host.endswith("]"):
            name, port = host.lower(), "80"
        return name in self._names and port.isascii() and port.isdigit()
