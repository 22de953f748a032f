"""The files that pages load: read once, served under an address that carries the digest of them all."""

import gzip
import hashlib
import mimetypes
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Final

from starlette.requests import Request
from starlette.responses import Response

from tidalbay.web.refusal import Refused

_TYPES: Final = {
    ".mjs": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".svg": "image/svg+xml",
    ".woff2": "font/woff2",
    ".txt": "text/plain; charset=utf-8",
}
_PACKED: Final = frozenset({".mjs", ".css", ".svg", ".txt"})
_FOR_A_YEAR: Final = "public, max-age=31536000, immutable"


@dataclass(frozen=True)
class Shelf:
    """Every file by its path below `static`, and the digest that stands in their addresses.

    One digest for all: modules import each other by relative paths, so a page that was opened before an
    update never mixes old modules with new ones.
    """

    contents: dict[str, bytes]
    digest: str

    @classmethod
    def read(cls) -> "Shelf":
        """Read the package's own files."""
        contents = dict(sorted(_walk(files("tidalbay.web") / "static", "")))
        total = hashlib.sha256()
        for path, content in contents.items():
            total.update(f"{path}\0{len(content)}\0".encode())
            total.update(content)
        return cls(contents, total.hexdigest()[:16])

    def address(self, path: str) -> str:
        """Return the address of a file; KeyError where a template asks for one that is not there."""
        if path not in self.contents:
            raise KeyError(f"{path} is not among the files in web/static.")
        return f"/static/{self.digest}/{path}"

    async def serve(self, request: Request) -> Response:
        """Answer GET /static/{digest}/{path}."""
        path = request.path_params["path"]
        if request.path_params["digest"] != self.digest or path not in self.contents:
            raise Refused(404, "This file belongs to another version of Tidalbay. Load the page again.")
        ending = "." + path.rpartition(".")[2]
        headers = {"cache-control": _FOR_A_YEAR}
        content = self.contents[path]
        if ending in _PACKED:
            headers["vary"] = "accept-encoding"
            if "gzip" in request.headers.get("accept-encoding", ""):
                content = _packed(content)
                headers["content-encoding"] = "gzip"
        kind = _TYPES.get(ending) or mimetypes.guess_type(path)[0] or "application/octet-stream"
        return Response(content, media_type=kind, headers=headers)


@cache
def _packed(content: bytes) -> bytes:
    return gzip.compress(content, 6, mtime=0)


def _walk(folder: Traversable, prefix: str) -> list[tuple[str, bytes]]:
    found = []
    for item in folder.iterdir():
        if item.is_dir():
            found += _walk(item, f"{prefix}{item.name}/")
        elif "." + item.name.rpartition(".")[2] in _TYPES:
            found.append((prefix + item.name, item.read_bytes()))
    return found
