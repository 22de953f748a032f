"""The addresses by which other machines in the room may reach this one."""

import ipaddress
import socket
import struct
import sys
from contextlib import suppress
from typing import Final

LOOPBACK: Final = "127.0.0.1"


def room_addresses() -> list[str]:
    """Return IPv4 addresses of this machine that others can use, the likeliest first; no packet is sent.

    Addresses of private networks come before public ones; where the network answers nothing, none.
    """
    found: dict[str, None] = {}
    for address in (*_of_the_way_out(), *_of_interfaces(), *_of_the_name()):
        with suppress(ValueError):
            if _is_reachable(ipaddress.IPv4Address(address)):
                found[address] = None
    return sorted(found, key=lambda address: not ipaddress.IPv4Address(address).is_private)


def machine_names() -> list[str]:
    """Return the names by which this machine may be called, its name in the room's network included."""
    name = socket.gethostname().split(".")[0].lower()
    return ["localhost", "127.0.0.1", "::1", name, f"{name}.local", socket.gethostname().lower()]


def is_loopback(address: str) -> bool:
    """Whether a client's address is this machine's own, which nobody else can send from."""
    try:
        ip = ipaddress.ip_address(address)
    except ValueError:
        return False
    mapped = getattr(ip, "ipv4_mapped", None)
    return bool((mapped or ip).is_loopback)


def _is_reachable(ip: ipaddress.IPv4Address) -> bool:
    return not (ip.is_loopback or ip.is_unspecified or ip.is_multicast)


def _of_the_way_out() -> list[str]:
    """The address that would be used to go out; asking sends nothing."""
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way:
        way.connect(("192.0.2.1", 9))  # reserved for documentation (RFC 5737): nobody lives there
        return [way.getsockname()[0]]
    return []


def _of_the_name() -> list[str]:
    with suppress(OSError):
        return socket.gethostbyname_ex(socket.gethostname())[2]
    return []


if sys.platform == "win32":

    def _of_interfaces() -> list[str]:
        return []  # there the name knows them all

else:
    import fcntl

    # Numbers of the question "which address has this interface?", from the systems' own headers.
    _SIOCGIFADDR = 0xC0206921 if sys.platform == "darwin" else 0x8915

    def _of_interfaces() -> list[str]:
        """The address of each interface, also where there is no way out (a router without internet)."""
        found = []
        with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
            for _, name in socket.if_nameindex():
                question = struct.pack("16s24x", name.encode()[:15])
                with suppress(OSError):
                    answer = fcntl.ioctl(asked.fileno(), _SIOCGIFADDR, question)
                    found.append(socket.inet_ntoa(answer[20:24]))
        return found
