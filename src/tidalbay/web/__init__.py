"""The door for browsers: pages, the sockets they listen to, and the requests by which hands speak.

Requests come in, each from somebody with a role, and go on to the lab after the guard has looked at them.
What goes out are pages, messages of a station, receipts and sentences: nothing here computes or judges.
"""

from tidalbay.web.application import app
from tidalbay.web.cases import CaseShelf
from tidalbay.web.demonstration import demonstrate

__all__ = ["CaseShelf", "app", "demonstrate"]
