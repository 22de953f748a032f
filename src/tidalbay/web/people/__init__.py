"""Who comes in, and to what: visitors and their roles, join codes, the afternoon with its line of learners.

Cookies, station keys, codes and passwords come in; what goes out is a visitor with a role and at most one
station, and opaque ids. Names stay in the one table that can be erased.
"""

from tidalbay.web.people.afternoon import Afternoon
from tidalbay.web.people.visitor import NOBODY, Visitor
from tidalbay.web.people.visitors import Visitors

__all__ = ["NOBODY", "Afternoon", "Visitor", "Visitors"]
