"""How a page looks that stands alone, and how it is set for print.

Numbers come in and are written with a true minus sign; a folder with a form, its words and its drawings
comes in and a tagged PDF goes out, the same bytes from the same files.  Colours and typeface have their
names here, once.
Public names: `number`, `typeset`, and in `look` the colours and the typeface.
"""

from tidalbay.printed.look import number
from tidalbay.printed.typesetting import typeset

__all__ = ["number", "typeset"]
