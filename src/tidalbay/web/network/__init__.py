"""Where the lab can be reached: this machine's addresses, and the listeners on them.

The application comes in; what goes out is a running server, on this computer alone until the room is opened.
Addresses are looked for again while it runs, because laptops join networks late.
"""

from tidalbay.web.network.addresses import is_loopback, room_addresses
from tidalbay.web.network.listeners import CannotListen, Listeners

__all__ = ["CannotListen", "Listeners", "is_loopback", "room_addresses"]
