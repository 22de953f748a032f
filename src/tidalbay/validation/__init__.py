"""The model held against published measurements: rows of values with their sources, and one page of them.

Rows of data come in, each naming a question that is asked through the model's public doors and no other.
Out come results with every miss shown as a miss, plots of them, a page for a browser and one for print.
"""

from tidalbay.validation.result import Result, Summary, result, summary, validate
from tidalbay.validation.row import Row, RowError, rows

__all__ = ["Result", "Row", "RowError", "Summary", "result", "rows", "summary", "validate"]
