"""What identifies the catalogue: one hash of every file of data in it."""

import hashlib
from functools import cache
from importlib.resources import files


@cache
def catalogue_sha256() -> str:
    """Return the SHA-256 of the catalogue's files, names included, 64 hexadecimal digits.

    A recording keeps it, so that a later reader can say whether the rows have changed since.
    """
    hashed = hashlib.sha256()
    folder = files("tidalbay.catalogue")
    for name in sorted(entry.name for entry in folder.iterdir() if entry.name.endswith(".yaml")):
        data = folder.joinpath(name).read_bytes().replace(b"\r\n", b"\n")
        hashed.update(f"{name} {len(data)}\n".encode())
        hashed.update(data)
    return hashed.hexdigest()
