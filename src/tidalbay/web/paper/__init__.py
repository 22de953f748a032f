"""What a page is made of: templates, and the files that it loads.

The package's own files come in, once, when the server starts. What goes out are pages that know who looks at
them, and files under an address that changes with their content.
"""

from tidalbay.web.paper.shelf import Shelf
from tidalbay.web.paper.templating import Pages

__all__ = ["Pages", "Shelf"]
